import type { TimeExpr } from "./calendar/expression.js";
import type { Measure } from "./measure.js";
import type { Token } from "./tokenise.js";

/** Forms of words that a language tells by the ending. */
export const SHAPES = { past: 1, gerund: 2, adverb: 4, plural: 8, many: 16, owners: 32 } as const;

export type Shape = keyof typeof SHAPES;

/** What a language contributes beside its word tables: readers of phrases that have a grammar. */
export interface Language {
  code: string;
  /** The whole form of a word that may have lost its ending in speech: "thinkin" to "thinking". */
  wholeForm(word: string): string | undefined;
  /** The forms that a word may be by its ending, {@link SHAPES} added up. */
  shapeOf(word: string): number;
  /** The name in a word that tells whose something is: "pete" of "pete's"; undefined for any other word. */
  ownerOf(word: string): string | undefined;
  /** The word that joins two of a list: "and". */
  and: string;
  /** The singular of a noun: "vent" of "vents". */
  singular(word: string): string;
  /** For every token, whether a phrase of time may begin there: 1 or 0. */
  timeHints(tokens: readonly Token[]): Uint8Array;
  /** Reads a phrase of time that begins at token `from`. */
  readTime(tokens: readonly Token[], from: number, options: LocaleOptions): TimeMatch | undefined;
  /** Reads a number with or without its unit that begins at token `from`. */
  readMeasure(tokens: readonly Token[], from: number, options: LocaleOptions): MeasureMatch | undefined;
}
export interface LocaleOptions {
  /** 3/4 is 4 March. */
  monthFirst: boolean;
  /** Whose gallons, quarts and fluid ounces. */
  system: "us" | "gb";
  /** ISO 4217 code of the dollar that is meant by "$". */
  dollar: string;
  /** ISO 4217 code of the money that is meant where none is named; absent where the locale does not tell. */
  money?: string;
}
export interface TimeMatch {
  end: number;
  expr: TimeExpr;
}
export interface MeasureMatch {
  end: number;
  measure: Measure;
}
