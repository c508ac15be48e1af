import type { Token } from "./tokenise.js";

const ENDS = new Set([".", "!", "?", "…", ";", "\n"]);
const LEADING_MARKS = new Set([",", ".", "!", "…", ";", ":", "\n", "•", "*", "_", "~", ">", "|"]);
const DASHES = new Set(["-", "–", "—"]);
const TRAILING_MARKS = new Set([".", "!", "…", "\n", ",", "*", "_", "~"]);

/** Whether a mark that ends a sentence, or a line, stands there. */
export const endsSentence = (tokens: readonly Token[], at: number): boolean => {
  const token = tokens[at] as Token;
  return token.kind === "mark" && ENDS.has(token.text);
};

/** Before the comma or dash that stands before `at`, unless nothing else does. */
export const beforeComma = (tokens: readonly Token[], from: number, at: number): number =>
  at - 1 > from && (tokens[at - 1]?.text === "," || DASHES.has(tokens[at - 1]?.text ?? "")) ? at - 1 : at;

/** A bullet or a stray comma; a dash before a number is a minus sign. */
export function leadingMark(tokens: readonly Token[], at: number): boolean {
  const text = tokens[at]?.text ?? "";
  if (DASHES.has(text)) return tokens[at + 1]?.kind !== "number";
  return LEADING_MARKS.has(text);
}

/** A full stop, a comma or a star behind everything. */
export const trailingMark = (mark: Token): boolean => TRAILING_MARKS.has(mark.text);

/** Behind the marks that stand at `from`. */
export function afterMarks(tokens: readonly Token[], from: number): number {
  let at = from;
  while (tokens[at]?.kind === "mark" && /^[,:;!.…–—-]+$/.test(tokens[at]?.text ?? "")) {
    const next = tokens[at + 1];
    // "ok, -6 outside": that dash is a minus sign; "update - 3 lithops died": that one is none.
    if (/^[–-]$/.test(tokens[at]?.text ?? "") && next?.kind === "number" && next.glued) break;
    at++;
  }
  return at;
}

/** Index behind the marks that stand at `from`, or 0 where none stands there. */
export function behindMarks(tokens: readonly Token[], from: number): number {
  const behind = afterMarks(tokens, from);
  return behind > from ? behind : 0;
}

/** "(watered the aloes)" */
export function withoutBrackets(tokens: readonly Token[]): readonly Token[] {
  if (tokens[0]?.text !== "(") return tokens;
  return tokens.findIndex((token) => token.text === ")") === tokens.length - 1 ? tokens.slice(1, -1) : tokens;
}

/**
 * Without the marks at either end; of "?!!" the question mark stays.
 * @param means whether an emoji says something and stays too
 */
export function withoutMarks(tokens: readonly Token[], means: (emoji: Token) => boolean): readonly Token[] {
  let start = 0;
  while (start < tokens.length && tokens[start]?.kind === "mark" && leadingMark(tokens, start)) start++;
  let end = tokens.length;
  let asked: Token | undefined;
  for (; end > start; end--) {
    const last = tokens[end - 1] as Token;
    if (last.kind === "mark" && last.text === "?") asked = last;
    else if (last.kind === "emoji" ? means(last) : !(last.kind === "mark" && trailingMark(last))) break;
  }
  const whole = start === 0 && end === tokens.length;
  if (whole) return tokens;
  const left = tokens.slice(start, end);
  if (asked && left.length > 0) left.push(asked);
  return left;
}
