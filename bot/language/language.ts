import type { TimeExpr } from "./calendar/expression.js";
import type { Measure } from "./measure.js";
import type { Token } from "./tokenise.js";

/** Forms of words that a language tells by the ending. */
export const SHAPES = { past: 1, gerund: 2, adverb: 4, plural: 8, many: 16, owners: 32 } as const;

export type Shape = keyof typeof SHAPES;

/** How a language is written, as far as it must be known to cut a text into words and to look these up. */
export interface Writing {
  /** Whether the letter at `from`, which has an apostrophe behind it, is a word by itself: "t'" of "t'aloes". */
  clips(text: string, from: number): boolean;
  /** A word without the apostrophes that say nothing: "dont" of "don't", but "we're", which is not "were". */
  bare(word: string): string;
}

/** What a language contributes beside its word tables: readers of phrases that have a grammar. */
export interface Language {
  code: string;
  writing: Writing;
  /** The whole form of a word that may have lost its ending in speech: "thinkin" to "thinking". */
  wholeForm(word: string): string | undefined;
  /** The forms that a word may be by its ending, {@link SHAPES} added up. */
  shapeOf(word: string): number;
  /** The name in a word that tells whose something is: "pete" of "pete's"; undefined for any other word. */
  ownerOf(word: string): string | undefined;
  /** The name in a word that may tell whose something is, its apostrophe left out: "dev" of "devs". */
  looseOwnerOf(word: string): string | undefined;
  /** The word that joins two of a list: "and". */
  and: string;
  /** The singular of a noun: "vent" of "vents". */
  singular(word: string): string;
  /** Plurals of a name, in lower case, the usual one first. */
  pluralsOf(name: string): readonly string[];
  /** What a word could be the plural of: "aloe" of "aloes", "echinocactus" of "echinocacti". */
  singularsOf(word: string): readonly string[];
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
