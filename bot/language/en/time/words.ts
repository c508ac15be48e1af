import type { NumberWord, TimeWord } from "../../lexicon.js";
import { PhraseTrie } from "../../phrase-trie.js";
import type { Token } from "../../tokenise.js";
import { readWholeNumber } from "../number-words.js";
import { writing } from "../writing.js";

const SURE = new Set([
  "day",
  "weekday",
  "month",
  "part",
  "clock",
  "holiday",
  "season",
  "weekend",
  "tonight",
  "unit",
  "now",
]);
/** Words of calendar phrases that stand everywhere else too. */
const COMMON = [
  "the",
  "before",
  "after",
  "at",
  "right",
  "just",
  "new",
  "day's",
  "over",
  "good",
  "mid",
  "guy",
  "end",
];

/** The calendar words of English, ready for look-up. */
export class TimeWords {
  readonly #trie = new PhraseTrie(writing);
  readonly #sure = new Set<string>();
  /** The classes of all phrases that begin with a word, a bit each. */
  readonly #starts = new Map<string, number>();
  readonly #classes = new Map<string, number>();
  readonly numbers: ReadonlyMap<string, NumberWord>;
  /** What begins at each token of the message that is being read. */
  #message: readonly Token[] = [];
  #starting = new Int32Array(0);

  constructor(times: readonly (readonly [string, TimeWord])[], numbers: ReadonlyMap<string, NumberWord>) {
    for (const [phrase, word] of times) {
      this.#trie.add(phrase, word);
      if (SURE.has(word.cls)) for (const part of phrase.split(" ")) if (part.length > 1) this.#sure.add(part);
    }
    for (const start of this.#trie.starts()) {
      let classes = 0;
      for (const cls of this.#trie.classes(start)) classes |= this.#bit(cls);
      this.#starts.set(start, classes);
    }
    for (const common of COMMON) this.#sure.delete(common);
    this.numbers = numbers;
  }

  #bit(cls: string): number {
    let bit = this.#classes.get(cls);
    if (bit === undefined) {
      bit = 1 << this.#classes.size;
      if (bit === 0) throw new Error("more classes of calendar words than bits");
      this.#classes.set(cls, bit);
    }
    return bit;
  }

  /** Whether a word belongs to the calendar and to nothing else that is common. */
  sure(key: string): boolean {
    return this.#sure.has(key);
  }

  /** Whether a time word begins with this key. */
  begins(key: string): boolean {
    return this.#starts.has(key);
  }

  /** The word of class `cls` that begins at `at`. */
  find(tokens: readonly Token[], at: number, cls: string): { end: number; value: string } | undefined {
    if (at >= tokens.length) return undefined;
    if (tokens !== this.#message) this.#attend(tokens);
    const starting = this.#starting[at] as number;
    if (starting === 0 || (starting & (this.#classes.get(cls) ?? 0)) === 0) return undefined;
    const match = this.#trie.longest(tokens, at);
    const sense = match?.senses.find((one) => one.cls === cls);
    if (match && sense) return { end: match.end, value: sense.value };
    return this.alone((tokens[at] as Token).key, cls, at);
  }

  /** The class's word that is this one key. */
  alone(key: string, cls: string, at: number): { end: number; value: string } | undefined {
    const single = this.#trie.word(key)?.find((one) => one.cls === cls);
    return single ? { end: at + 1, value: single.value } : undefined;
  }

  /** Looks up once what may begin at each token, since every reader asks it of every token. */
  #attend(tokens: readonly Token[]): void {
    this.#message = tokens;
    if (this.#starting.length < tokens.length) this.#starting = new Int32Array(tokens.length);
    for (let at = 0; at < tokens.length; at++)
      this.#starting[at] = this.#starts.get((tokens[at] as Token).key) ?? 0;
  }

  /** A whole number, in digits or words. */
  count(tokens: readonly Token[], at: number): { end: number; value: number } | undefined {
    const token = tokens[at];
    if (!token) return undefined;
    if (token.kind === "number") return { end: at + 1, value: token.value };
    return readWholeNumber(tokens, at, this.numbers);
  }

  /** An ordinal: "3rd", "third", "twenty third"; the number of a day, 1 to 31. */
  ordinal(tokens: readonly Token[], at: number): { end: number; value: number } | undefined {
    const token = tokens[at];
    if (!token) return undefined;
    if (token.kind === "number" && Number.isInteger(token.value)) {
      const suffix = tokens[at + 1];
      if (suffix?.glued && this.numbers.get(suffix.key)?.kind === "suffix")
        return { end: at + 2, value: token.value };
      return undefined;
    }
    const word = this.numbers.get(token.key);
    // "sat first one since oct": the first of a row, and no first of the month.
    const counts = word?.kind === "ordinal" && COUNTED.has(tokens[at + 1]?.key ?? "");
    if (word?.kind === "ordinal" && word.value <= 31 && !counts) return { end: at + 1, value: word.value };
    if (word?.kind === "ten") {
      const next = this.numbers.get(tokens[at + 1]?.key ?? "");
      if (next?.kind === "ordinal" && next.value < 10) return { end: at + 2, value: word.value + next.value };
    }
    return undefined;
  }
}

/** Years as they are said of plants and weather: four digits, or two after a date. */
export function readYear(
  words: TimeWords,
  tokens: readonly Token[],
  at: number,
): { end: number; value: number } | undefined {
  const token = tokens[at];
  if (!token) return undefined;
  if (token.kind === "number") {
    if (/^(18|19|20|21)\d\d$/.test(token.text)) return { end: at + 1, value: token.value };
    return undefined;
  }
  return readSpokenYear(words, tokens, at);
}

/** Two-digit years: 82 is 1982, 15 is 2015. */
export const fullYear = (short: number): number => (short >= 70 ? 1900 + short : 2000 + short);

/** "nineteen eighty six", "two thousand and five", "nineteen hundred ninety three". */
function readSpokenYear(
  words: TimeWords,
  tokens: readonly Token[],
  at: number,
): { end: number; value: number } | undefined {
  const century = words.numbers.get((tokens[at] as Token).key);
  if (!century) return undefined;
  const next = tokens[at + 1];
  const nextWord = next && words.numbers.get(next.key);
  if (century.kind === "unit" && century.value === 2 && nextWord?.value === 1000) {
    const joint = tokens[at + 2]?.key === "and" ? at + 3 : at + 2;
    const rest = readWholeNumber(tokens, joint, words.numbers);
    return rest && rest.value < 100
      ? { end: rest.end, value: 2000 + rest.value }
      : { end: at + 2, value: 2000 };
  }
  const start =
    century.kind === "teen" && century.value >= 18
      ? century.value
      : century.kind === "ten" && century.value === 20
        ? 20
        : 0;
  if (start === 0) return undefined;
  const from = nextWord?.value === 100 ? at + 2 : at + 1;
  const rest = readWholeNumber(tokens, from, words.numbers);
  return rest && rest.value >= 10 && rest.value < 100
    ? { end: rest.end, value: start * 100 + rest.value }
    : undefined;
}

/** The word at a place as it is looked up; empty behind the last. */
export const keyAt = (tokens: readonly Token[], at: number): string => tokens[at]?.key ?? "";

/** Words behind an ordinal that numbers what was done: "first one", "second time", "first since". */
const COUNTED: ReadonlySet<string> = new Set([
  "one",
  "time",
  "since",
  "drink",
  "water",
  "watering",
  "feed",
  "soak",
]);
