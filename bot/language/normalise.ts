/** Invisible and directional characters that change nothing a grower means. */
const INVISIBLE =
  // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what it takes out
  // biome-ignore lint/suspicious/noMisleadingCharacterClass: each of them stands for itself
  /[\u0000-\u0008\u000B-\u001F\u007F-\u009F\u00AD\u034F\u061C\u115F\u1160\u17B4\u17B5\u180B-\u180E\u200B-\u200F\u202A-\u202E\u2060-\u206F\u3164\uFE00-\uFE0F\uFEFF\uFFA0\uFFF9-\uFFFB\uFFFD]|\uDB40[\uDC00-\uDDEF]/g;

const FOLDED: Record<string, string> = {
  "\u2018": "'",
  "\u2019": "'",
  "\u201A": "'",
  "\u201B": "'",
  "\u02BC": "'",
  "\u00B4": "'",
  "\u0060": "'",
  "\u2032": "'",
  "\u201C": '"',
  "\u201D": '"',
  "\u201E": '"',
  "\u201F": '"',
  "\u00AB": '"',
  "\u00BB": '"',
  "\u2033": '"',
  "\u2212": "-",
  "\uFE63": "-",
  "\uFF0D": "-",
  "\u2010": "-",
  "\u2011": "-",
  "\u2012": "-",
  "\u00BA": "°",
  "\u02DA": "°",
  "\u2044": "/",
  "\u2215": "/",
  "\u2236": ":",
  "\uFF1A": ":",
  "\uFF0C": ",",
  "\uFF0E": ".",
  "\u2103": "°C",
  "\u2109": "°F",
  "\u2026": "...",
  "\u2013": "–",
};
const FOLDABLE = new RegExp(`[${Object.keys(FOLDED).join("")}]`, "g");
const FULL_WIDTH = /[\uFF10-\uFF19\uFF21-\uFF3A\uFF41-\uFF5A\uFF05]/g;
const ASCII_ONLY = /^[\x20-\x5F\x61-\x7E]*$/;

/**
 * One spelling for characters that look or mean the same: quotes, minus signs, degree signs, full-width
 * digits; characters nobody sees are dropped. Runs of blanks become one. Letters, words and their
 * order stay as typed.
 */
export function normalise(message: string): string {
  const text = ASCII_ONLY.test(message) ? message : folded(message);
  return text.includes("  ") ? text.replace(/ {2,}/g, " ") : text;
}

const folded = (message: string): string =>
  message
    .replace(INVISIBLE, "")
    .replace(FULL_WIDTH, (char) => String.fromCharCode(char.charCodeAt(0) - 0xfee0))
    .replace(FOLDABLE, (char) => FOLDED[char] ?? char)
    .replace(/[\t\u00A0\u1680\u2000-\u200A\u202F\u205F\u3000]/g, " ");
