import type { Language } from "./language.js";
import type { Sense } from "./sense.js";

/** A unit of measure as its table gives it. */
export interface UnitWord {
  /** UCUM code; "deg" for a degree whose scale was not said. */
  unit: string;
  dimension: string;
  /** Only in this customary system: "us" or "gb"; empty for both. */
  system: "" | "us" | "gb";
}
export interface NumberWord {
  kind: string;
  value: number;
}
/** A word of the calendar: a weekday, a month, "yesterday", "ago". */
export interface TimeWord {
  cls: string;
  value: string;
}

/** A phrase that may stand around a message: class "lead" or "trail". */
export interface EdgeWord {
  cls: string;
  value: string;
  phrase: string;
}

export type Layer = "ask" | "instruct";

/** The words of one language, as its tables give them, and the rules of its grammar. */
export interface Lexicon {
  language: Language;
  phrases: readonly (readonly [phrase: string, sense: Sense])[];
  /** Words that ask or command: read only where a message may be a question or an instruction. */
  layers: Readonly<Record<Layer, readonly (readonly [phrase: string, sense: Sense])[]>>;
  units: readonly (readonly [phrase: string, unit: UnitWord])[];
  numbers: ReadonlyMap<string, NumberWord>;
  times: readonly (readonly [phrase: string, word: TimeWord])[];
  /** Words around a message that say nothing of it. */
  edges: readonly EdgeWord[];
  /** Single words by the cue that a rule looks for: "also" to "adds". */
  cues: readonly (readonly [word: string, cue: string])[];
  /** Things of which many are told as one: "pellets" to "pellet". */
  singulars: ReadonlyMap<string, string>;
  /** Words by a hasty spelling: "abt" to "about". */
  spellings: ReadonlyMap<string, string>;
  /** Ordinary words, which are never taken for a misspelt name. */
  ordinary: ReadonlySet<string>;
}
