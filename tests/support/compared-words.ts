/** A string or a pattern that holds a letter, and not only punctuation. */
const QUOTED = String.raw`"(?:\\.|[^"\\\n])*"|'(?:\\.|[^'\\\n])*'|${"`"}(?:\\.|[^${"`"}\\$])*${"`"}`;
const PATTERN = String.raw`/(?![*/])(?:\\.|\[(?:\\.|[^\]\\\n])*\]|[^/\\\n[])+/[dgimsuvy]*`;
const LITERAL = `(?:${QUOTED}|${PATTERN})`;

/** Code without its remarks; lines stay where they are. */
const bare = (code: string): string =>
  code.replace(new RegExp(`(${QUOTED})|/\\*[\\s\\S]*?\\*/|//[^\\n]*`, "g"), (whole, kept?: string) =>
    kept === undefined ? whole.replace(/[^\n]/g, "") : kept,
  );

/** Whether a literal has a letter: "\n" has none, and neither has \p{L}. */
const holdsWord = (literal: string): boolean =>
  /\p{L}/u.test(
    literal
      .replace(/\/[dgimsuvy]*$/, "/")
      .replace(/\\[pP]\{[^}]*\}|\\u\{?[0-9a-fA-F]+\}?|\\x[0-9a-fA-F]{2}|\\./g, ""),
  );

const holdsWords = (code: string): boolean =>
  [...code.matchAll(new RegExp(LITERAL, "g"))].some(([literal]) => holdsWord(literal));

/** Names that hold a word of the message as it was written, beside the fields of a token. */
function aliases(code: string): string[] {
  const assigned = [
    ...code.matchAll(/\b(?:const|let) (\w+)(?:: \w+)? = [^;]*?\.(?:key|lower|text)\b[^;(.]*;/g),
  ];
  const taken = [
    ...code.matchAll(/\{([^{}]*\b(?:key|lower|text)\b[^{}]*)\}\s*(?:=\s*[^;]*?[tT]oken|:\s*Token\b)/g),
    ...code.matchAll(/\btoken:\s*\{([^{}]*)\}/g),
  ];
  return [
    ...assigned.map(([, name = ""]) => name),
    ...taken.flatMap(([, names = ""]) =>
      names.split(",").flatMap((one) => {
        const [field = "", name = field] = one.split(/[:=]/).map((part) => part.trim());
        return ["key", "lower", "text"].includes(field) ? [name] : [];
      }),
    ),
  ];
}

/** Names of the lists, sets, maps and patterns of words in this code. */
const wordLists = (code: string): string[] =>
  [...code.matchAll(/\bconst (\w+)[^=\n]*=\s*([^;]*);/g)].flatMap(([, name = "", value = ""]) =>
    /^(?:new (?:Set|Map)\b|\[|\{|\/|"|')/.test(value) && holdsWords(value) ? [name] : [],
  );

/**
 * The lines of code that compare the written word of a token (its key, lower or text) with a literal that holds letters,
 * or that put an ending to a word: what a language has to itself, and only its tables and its own files may hold.
 */
export function comparedWords(source: string): string[] {
  const code = bare(source);
  const names = [
    "\\.(?:key|lower|text)\\b",
    "\\bkeyOf\\([^()]*\\)",
    "\\bkeys\\[[^\\]]*\\]",
    "(?<![.\\w])(?:word|lower|text)\\b(?!\\[)",
    ...aliases(code).map((name) => `(?<![.\\w])${name}\\b`),
  ];
  const read = `(?:${names.join("|")})(?!\\s*:)`;
  const rest = String.raw`[\s!?)]*(?:\?\?\s*(?:""|'')\s*)?\)*\s*`;
  const lists = wordLists(code);
  const list = String.raw`(?:\[[^\][]*\]|${LITERAL}${lists.map((name) => `|\\b${name}`).join("")})`;
  const inside = String.raw`(?:[^();]|\((?:[^();]|\([^();]*\))*\))*?`;
  const suspects = [
    // token.key === "the"
    `${read}${rest}[!=]==?\\s*${LITERAL}`,
    // "the" === token.key
    `${LITERAL}\\s*[!=]==?\\s*[\\w.?![\\]]*${read}`,
    // token.key.endsWith("ed")
    `${read}${rest}\\??\\.(?:endsWith|startsWith|includes|indexOf|match|matchAll|search|replace|replaceAll|split)\\(\\s*${list}`,
    // ARTICLES.has(token.key), ["a", "an"].includes(token.key), /^an?$/.test(token.key)
    `${list}\\s*\\.(?:has|get|includes|indexOf|test|exec)\\(${inside}${read}`,
    // FORMS[token.key]
    ...lists.map((name) => `\\b${name}\\[[^\\]]*${read}`),
    // switch (token.key)
    `\\bswitch \\(${inside}${read}`,
    // `${word}s`, a form of a word made by its ending
    "\\$\\{[^}]*\\b(?:key|lower|word|name|phrase|stem)\\b[^}]*\\}[a-z]+`",
  ];
  const lines = code.split("\n");
  const found = new Set<number>();
  for (const suspect of suspects)
    for (const match of code.matchAll(new RegExp(suspect, "g"))) {
      const named = lists.some((name) => new RegExp(`\\b${name}\\b`).test(match[0]));
      if (named || /^(?:switch|\$\{)/.test(match[0]) || holdsWords(match[0]))
        found.add(code.slice(0, match.index).split("\n").length - 1);
    }
  return [...found].sort((a, b) => a - b).map((at) => `${at + 1}: ${(lines[at] ?? "").trim()}`);
}
