import type { NumberWord } from "../lexicon.js";
import type { Token } from "../tokenise.js";
import { readWholeNumber } from "./number-words.js";
import { keyAt as key } from "./time/words.js";
import type { UnitReader } from "./unit-reader.js";

/** A number as it stands in a message. */
export interface Found {
  end: number;
  value: number;
  signed?: true;
  article?: true;
  fraction?: readonly [number, number];
}
const SIGN_AFTER = new Set([
  "at",
  "to",
  "of",
  "is",
  "was",
  "hit",
  "reached",
  "min",
  "max",
  "low",
  "high",
  "minimum",
  "maximum",
  "under",
  "below",
  "above",
  "about",
  "around",
  "only",
  "temp",
  "temperature",
  "s",
  "its",
  "and",
  "(",
]);

/** Reads numbers in figures and in words. */
export class FigureReader {
  readonly #numbers: ReadonlyMap<string, NumberWord>;
  readonly #units: UnitReader;

  constructor(numbers: ReadonlyMap<string, NumberWord>, units: UnitReader) {
    this.#numbers = numbers;
    this.#units = units;
  }

  /** The number itself, with its sign: "-3", "minus three", "2 1/2", "half a", "a dozen", "one and a half". */
  read(tokens: readonly Token[], from: number): Found | undefined {
    const first = tokens[from];
    if (!first) return undefined;
    if (first.key === "minus" || first.key === "negative") {
      const inner = this.unsigned(tokens, from + 1);
      return inner ? { end: inner.end, value: -inner.value, signed: true } : undefined;
    }
    if (first.text === "-" || first.text === "+") {
      const next = tokens[from + 1];
      if (next?.kind !== "number") return undefined;
      const before = tokens[from - 1];
      const attached =
        next.glued && (!first.glued || before === undefined || before.text === "(" || before.text === ":");
      const spaced = !next.glued && (before === undefined || SIGN_AFTER.has(before.key));
      if (!attached && !spaced) return undefined;
      const inner = this.unsigned(tokens, from + 1);
      if (!inner) return undefined;
      return { end: inner.end, value: first.text === "-" ? -inner.value : inner.value, signed: true };
    }
    return this.unsigned(tokens, from);
  }

  /** The number without a sign. */
  unsigned(tokens: readonly Token[], from: number): Found | undefined {
    const first = tokens[from];
    if (!first) return undefined;
    const suffix = tokens[from + 1];
    if (first.kind === "number" && suffix?.glued && this.#numbers.get(suffix.key)?.kind === "suffix")
      return undefined;
    if (first.kind === "number") return this.#digits(tokens, from);
    if (first.kind !== "word") return undefined;
    if (first.key === "half" || first.key === "quarter") {
      const article = key(tokens, from + 1);
      const value = first.key === "half" ? 0.5 : 0.25;
      const dozen = this.#numbers.get(tokens[article === "a" ? from + 2 : from + 1]?.key ?? "");
      if (dozen?.kind === "dozen")
        return { end: article === "a" ? from + 3 : from + 2, value: dozen.value * value };
      if (article === "a" || article === "an") return { end: from + 2, value };
      return { end: from + 1, value };
    }
    const whole = readWholeNumber(tokens, from, this.#numbers);
    if (whole) return this.#withHalf(tokens, this.#pointed(tokens, whole));
    const word = this.#numbers.get(first.key);
    if (word?.kind === "pair") return { end: key(tokens, from + 1) === "of" ? from + 2 : from + 1, value: 2 };
    if (first.key === "a" || first.key === "an") {
      const pair = this.#numbers.get(key(tokens, from + 1));
      if (pair?.kind === "pair")
        return { end: key(tokens, from + 2) === "of" ? from + 3 : from + 2, value: 2 };
      if (key(tokens, from + 1) === "half" || key(tokens, from + 1) === "quarter") {
        return { end: from + 2, value: key(tokens, from + 1) === "half" ? 0.5 : 0.25, article: true };
      }
      return { end: from + 1, value: 1, article: true };
    }
    return undefined;
  }

  #digits(tokens: readonly Token[], from: number): Found {
    const first = tokens[from] as Token;
    const slash = tokens[from + 1];
    const below = tokens[from + 2];
    if (slash?.text === "/" && slash.glued && below?.kind === "number" && below.glued && below.value > 0) {
      return { end: from + 3, value: first.value / below.value, fraction: [first.value, below.value] };
    }
    if (tokens[from + 1]?.glued && key(tokens, from + 1) === "k" && this.#units.stands(tokens, from + 2))
      return { end: from + 2, value: first.value * 1000 };
    const group = tokens[from + 1];
    if (
      group?.kind === "number" &&
      !group.glued &&
      /^\d{3}$/.test(group.text) &&
      /^\d{1,3}$/.test(first.text) &&
      this.#units.stands(tokens, from + 2)
    ) {
      return { end: from + 2, value: first.value * 1000 + group.value };
    }
    const part = tokens[from + 1];
    const bar = tokens[from + 2];
    const third = tokens[from + 3];
    if (
      part?.kind === "number" &&
      !part.glued &&
      bar?.text === "/" &&
      bar.glued &&
      third?.kind === "number" &&
      third.glued &&
      part.value < third.value
    ) {
      return { end: from + 4, value: first.value + part.value / third.value };
    }
    if (
      part?.kind === "number" &&
      part.value < 1 &&
      part.value > 0 &&
      !/\d/.test(part.text[0] ?? "") &&
      part.text[0] !== "."
    ) {
      return { end: from + 2, value: first.value + part.value };
    }
    const dozen = this.#numbers.get(key(tokens, from + 1));
    if (dozen?.kind === "dozen") return { end: from + 2, value: first.value * dozen.value };
    if (
      dozen?.kind === "scale" &&
      key(tokens, from + 1).length > 2 &&
      (dozen.value < 1000 || this.#units.stands(tokens, from + 2))
    )
      return { end: from + 2, value: first.value * dozen.value };
    return this.#withHalf(tokens, { end: from + 1, value: first.value });
  }

  /** "nine point nought four". */
  #pointed(tokens: readonly Token[], whole: Found): Found {
    if (key(tokens, whole.end) !== "point") return whole;
    let digits = "";
    let at = whole.end + 1;
    for (; at < tokens.length; at++) {
      const word = this.#numbers.get(key(tokens, at));
      if (word?.kind !== "unit") break;
      digits += String(word.value);
    }
    return digits ? { end: at, value: Number(`${whole.value}.${digits}`) } : whole;
  }

  #withHalf(tokens: readonly Token[], found: Found): Found {
    if (
      key(tokens, found.end) === "and" &&
      (key(tokens, found.end + 1) === "a" || key(tokens, found.end + 1) === "one")
    ) {
      const part = this.#numbers.get(key(tokens, found.end + 2));
      if (part?.kind === "fraction") return { end: found.end + 3, value: found.value + 1 / part.value };
      if (key(tokens, found.end + 2) === "half") return { end: found.end + 3, value: found.value + 0.5 };
      if (key(tokens, found.end + 2) === "quarter") return { end: found.end + 3, value: found.value + 0.25 };
    }
    return found;
  }
}
