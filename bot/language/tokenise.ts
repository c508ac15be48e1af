import type { Writing } from "./language.js";

export type TokenKind = "word" | "number" | "mark" | "emoji";

/** One word, number, punctuation mark or emoji of a normalised message. */
export interface Token {
  kind: TokenKind;
  /** As written. */
  text: string;
  /** Lower case, without accents, the apostrophe kept. */
  lower: string;
  /** Lower case without the apostrophes that say nothing: the key under which words are looked up. */
  key: string;
  start: number;
  end: number;
  /** Value of a number token. */
  value: number;
  /** No space lies between this token and the one before. */
  glued: boolean;
  /** A hyphen stood between this token and the one before ("lean-to", "5-inch", "L-014"). */
  hyphen: boolean;
  /** Begins with a capital letter. */
  capital: boolean;
  /** Names of the cues that the language's table gives this word; none before it was marked. */
  cues: ReadonlySet<string>;
  /** The endings that the language sees in this word, as flags; 0 before it was marked. */
  shape: number;
  /** "pete" of "pete's": whose something is; undefined for any other word and before it was marked. */
  owner: string | undefined;
}

const NO_CUES: ReadonlySet<string> = new Set();

const VULGAR: Record<string, number> = {
  "¼": 1 / 4,
  "½": 1 / 2,
  "¾": 3 / 4,
  "⅓": 1 / 3,
  "⅔": 2 / 3,
  "⅕": 1 / 5,
  "⅖": 2 / 5,
  "⅗": 3 / 5,
  "⅘": 4 / 5,
  "⅙": 1 / 6,
  "⅚": 5 / 6,
  "⅛": 1 / 8,
  "⅜": 3 / 8,
  "⅝": 5 / 8,
  "⅞": 7 / 8,
};

const isDigit = (code: number): boolean => code >= 48 && code <= 57;
const isAsciiLetter = (code: number): boolean => (code >= 97 && code <= 122) || (code >= 65 && code <= 90);
const LETTER = /\p{L}/u;
const COMBINING = /\p{M}/u;
const EMOJI = /\p{Extended_Pictographic}/u;
const isLetter = (text: string, at: number): boolean => {
  const code = text.charCodeAt(at);
  if (code < 128) return isAsciiLetter(code);
  if (code >= 0xd800 && code <= 0xdfff) return false;
  const char = text[at] as string;
  return (LETTER.test(char) && !VULGAR[char]) || COMBINING.test(char);
};
const HYPHEN = 45;
const APOSTROPHE = 39;

function endOfWord(text: string, from: number, writing: Writing): number {
  let at = from + 1;
  if (text.charCodeAt(at) === APOSTROPHE && writing.clips(text, from)) return at + 1;
  while (at < text.length) {
    if (isLetter(text, at)) at++;
    else if (text.charCodeAt(at) === APOSTROPHE && isLetter(text, at + 1) && at + 1 < text.length) at += 2;
    else break;
  }
  return at;
}

/** Reads "1,200", "9,2", "4.5" or "12"; a third group ("12.5.2027") is a date and stays apart. */
function readNumber(text: string, from: number): { end: number; value: number } {
  let at = from;
  while (isDigit(text.charCodeAt(at))) at++;
  const whole = text.slice(from, at);
  const sign = text[at];
  if ((sign === "," || sign === ".") && isDigit(text.charCodeAt(at + 1))) {
    let end = at + 1;
    while (isDigit(text.charCodeAt(end))) end++;
    const digits = end - at - 1;
    const more = (text[end] === "." || text[end] === ",") && isDigit(text.charCodeAt(end + 1));
    if (sign === "," && digits === 3 && whole.length <= 3 && whole !== "0")
      return readThousands(text, from, end);
    const decimalComma = sign === "," && digits <= 2;
    if ((sign === "." || decimalComma) && !more) {
      return { end, value: Number(`${whole}.${text.slice(at + 1, end)}`) };
    }
  }
  return { end: at, value: Number(whole) };
}

function readThousands(text: string, from: number, firstEnd: number): { end: number; value: number } {
  let end = firstEnd;
  while (
    text[end] === "," &&
    isDigit(text.charCodeAt(end + 1)) &&
    isDigit(text.charCodeAt(end + 2)) &&
    isDigit(text.charCodeAt(end + 3)) &&
    !isDigit(text.charCodeAt(end + 4))
  ) {
    end += 4;
  }
  let value = text.slice(from, end).replaceAll(",", "");
  if (text[end] === "." && isDigit(text.charCodeAt(end + 1))) {
    let stop = end + 1;
    while (isDigit(text.charCodeAt(stop))) stop++;
    value += text.slice(end, stop);
    end = stop;
  }
  return { end, value: Number(value) };
}

/** "soooo", "wateredddd": a letter that stands three times in a row was drawn out; "xxx" and "iii" are no words. */
const DRAWN_OUT = /([a-z])\1{2,}/g;

function keyOf(lower: string, writing: Writing): string {
  const key = lower.includes("'") ? writing.bare(lower) : lower;
  if (!drawnOut(key)) return key;
  const short = key.replace(DRAWN_OUT, "$1");
  return short.length > 1 ? short : key;
}

function drawnOut(word: string): boolean {
  let run = 1;
  for (let i = 1; i < word.length; i++) {
    run = word.charCodeAt(i) === word.charCodeAt(i - 1) ? run + 1 : 1;
    if (run === 3) return true;
  }
  return false;
}

const fold = (text: string): string => {
  const lower = text.toLowerCase();
  for (let i = 0; i < lower.length; i++) {
    if (lower.charCodeAt(i) > 127) return lower.normalize("NFD").replace(/\p{M}/gu, "");
  }
  return lower;
};

/**
 * Cuts a normalised message into tokens, left to right in linear time. A hyphen inside a word is kept as
 * a flag of the token after it, digits and letters part ("12cm" is two tokens, the second glued).
 * @param writing of the language that the text is in
 */
export function tokenise(text: string, writing: Writing): Token[] {
  const tokens: Token[] = [];
  let at = 0;
  let spaced = true;
  let hyphen = false;
  while (at < text.length) {
    const code = text.charCodeAt(at);
    if (code === 32 || code === 9 || code === 13) {
      spaced = true;
      at++;
      continue;
    }
    const start = at;
    let kind: TokenKind = "mark";
    let value = Number.NaN;
    const char = text[at] as string;
    if (isDigit(code) || (char === "." && isDigit(text.charCodeAt(at + 1)) && startsDecimal(text, at))) {
      kind = "number";
      if (char === ".") {
        at++;
        while (isDigit(text.charCodeAt(at))) at++;
        value = Number(text.slice(start, at));
      } else {
        const number = readNumber(text, at);
        at = number.end;
        value = number.value;
        const part = VULGAR[text[at] ?? ""];
        if (part !== undefined) {
          value += part;
          at++;
        }
      }
    } else if (VULGAR[char] !== undefined) {
      kind = "number";
      value = VULGAR[char] as number;
      at++;
    } else if (isLetter(text, at)) {
      kind = "word";
      at = endOfWord(text, at, writing);
    } else if (code > 127) {
      const point = text.codePointAt(at) as number;
      const whole = String.fromCodePoint(point);
      at += whole.length;
      if (EMOJI.test(whole)) kind = "emoji";
    } else if (endOfSmile(text, at) > at) {
      kind = "emoji";
      at = endOfSmile(text, at);
    } else {
      at++;
      const joins =
        code === HYPHEN &&
        !spaced &&
        tokens.length > 0 &&
        (isLetter(text, at) || isDigit(text.charCodeAt(at))) &&
        (tokens.at(-1)?.kind === "word" || (tokens.at(-1)?.kind === "number" && isLetter(text, at)));
      if (joins) {
        hyphen = true;
        continue;
      }
    }
    const written = text.slice(start, at);
    const lower = kind === "word" ? fold(written) : written;
    tokens.push({
      kind,
      text: written,
      lower,
      key: kind === "word" ? keyOf(lower, writing) : lower,
      start,
      end: at,
      value,
      glued: !spaced && !hyphen,
      hyphen,
      capital: kind === "word" && written[0] !== lower[0] && written[0] === written[0]?.toUpperCase(),
      cues: NO_CUES,
      shape: 0,
      owner: undefined,
    });
    spaced = false;
    hyphen = false;
  }
  return levelled(tokens);
}

/** Fewer words than this may all be names. */
const LEAST_SHOUTED = 4;

/** In a message whose words all begin with a capital a capital tells no name. */
function levelled(tokens: Token[]): Token[] {
  const words = tokens.filter((token) => token.kind === "word");
  if (words.length < LEAST_SHOUTED || words.some((word) => !word.capital)) return tokens;
  for (const word of words) word.capital = false;
  return tokens;
}

const EYES = ":;=";
const NOSES = "-'^";
const MOUTHS = ")(]DPpOo/\\|*$";

/** ":)", ";-)", ":D": index behind a smile written with marks, or `from`. Behind it a word must end. */
function endOfSmile(text: string, from: number): number {
  if (!EYES.includes(text[from] as string)) return from;
  let at = from + 1;
  if (at < text.length && NOSES.includes(text[at] as string)) at++;
  if (at >= text.length || !MOUTHS.includes(text[at] as string)) return from;
  while (text[at + 1] === text[at]) at++;
  return at + 1 < text.length && (isLetter(text, at + 1) || isDigit(text.charCodeAt(at + 1))) ? from : at + 1;
}

function startsDecimal(text: string, at: number): boolean {
  if (at === 0) return true;
  const before = text[at - 1] as string;
  return before === " " || before === "-" || before === "(" || before === "~" || before === "$";
}
