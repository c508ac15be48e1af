import { badRequest } from "./failures.js";

/** Tags the Bot API takes in parse mode HTML. */
const TAGS = new Set([
  ..."b strong i em u ins s strike del code pre a blockquote span tg-spoiler tg-emoji".split(" "),
]);
const NAMED: Record<string, string> = { lt: "<", gt: ">", amp: "&", quot: '"' };

/**
 * Reads text in parse mode HTML as the Bot API does: the plain text that remains, or the refusal it would give.
 * @throws {ApiFailure} 400 "can't parse entities: ..." with the byte offset
 */
export function plainOfHtml(html: string): string {
  let plain = "";
  const open: { tag: string; offset: number }[] = [];
  for (let at = 0; at < html.length; ) {
    const char = html[at] as string;
    if (char === "&") {
      const [decoded, length] = decode(html, at);
      plain += decoded;
      at += length;
    } else if (char === "<") {
      at = readTag(html, at, open);
    } else {
      plain += char;
      at += 1;
    }
  }
  const left = open.at(-1);
  if (left) throw cannot(`Can't find end tag corresponding to start tag "${left.tag}"`);
  return plain;
}

/** Unknown entities stay as written; only the four named ones and numbers are decoded. */
function decode(html: string, at: number): [string, number] {
  const match = /^&(?:#(\d{1,7})|#x([0-9a-f]{1,6})|([a-z]{1,8}));?/i.exec(html.slice(at, at + 12));
  if (!match) return ["&", 1];
  const [whole, decimal, hex, name] = match;
  if (name !== undefined) {
    const known = NAMED[name];
    return known === undefined ? ["&", 1] : [known, whole.length];
  }
  const code = decimal === undefined ? Number.parseInt(hex as string, 16) : Number(decimal);
  return code > 0 && code <= 0x10ffff ? [String.fromCodePoint(code), whole.length] : ["&", 1];
}

function readTag(html: string, at: number, open: { tag: string; offset: number }[]): number {
  const offset = Buffer.byteLength(html.slice(0, at));
  const closing = html[at + 1] === "/";
  const unclosed = () => cannot(`Unclosed ${closing ? "end" : "start"} tag at byte offset ${offset}`);
  const from = at + (closing ? 2 : 1);
  const tag = (/^[^\s>]*/.exec(html.slice(from))?.[0] ?? "").toLowerCase();
  if (from + tag.length >= html.length) throw unclosed();
  if (!closing && !TAGS.has(tag)) throw cannot(`Unsupported start tag "${tag}" at byte offset ${offset}`);
  const end = html.indexOf(">", from);
  if (end < 0) throw unclosed();
  if (!closing) {
    open.push({ tag, offset });
    return end + 1;
  }
  const last = open.pop();
  if (!last) throw cannot(`Unexpected end tag at byte offset ${offset}`);
  if (tag !== "" && tag !== last.tag)
    throw cannot(`Unmatched end tag at byte offset ${offset}, expected "</${last.tag}>", found "</${tag}>"`);
  return end + 1;
}

const cannot = (why: string) => badRequest(`can't parse entities: ${why}`);
