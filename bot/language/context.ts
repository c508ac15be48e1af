import type { Quantity } from "./interpretation.js";

/** A place of the household: a house, a bench, a frame. */
export interface KnownPlace {
  name: string;
  aliases?: string[];
  /** Temperature it is kept above. */
  floor?: Quantity;
  default?: boolean;
}

/** A plant the household knows by tag or by name. */
export interface KnownPlant {
  tag?: string;
  genus?: string;
  species?: string;
  cultivar?: string;
  name?: string;
  place?: string;
}

/**
 * What the reader of a sentence may know of its surroundings. Plain data: the same file a person
 * writes for the command line, a chat's household in production.
 */
export interface HouseholdContext {
  /** BCP 47; "en-US" reads 3/4 as 4 March, every other English as 3 April. */
  locale: string;
  units: "metric" | "imperial";
  latitude?: number;
  longitude?: number;
  /** IANA time zone. */
  zone?: string;
  places: KnownPlace[];
  members: string[];
  plants: KnownPlant[];
  /** Genera mentioned lately in this chat, latest first: what "A. polyphylla" abbreviates. */
  recentGenera?: string[];
}

/** One sentence's circumstances: local wall-clock now, its zone, whether it was spoken to the bot. */
export interface InterpretContext extends HouseholdContext {
  /** "YYYY-MM-DDTHH:MM[:SS]", local wall-clock in `zone`. */
  now: string;
  zone: string;
  addressed: boolean;
}

export const EMPTY_HOUSEHOLD: HouseholdContext = {
  locale: "en-GB",
  units: "metric",
  places: [],
  members: [],
  plants: [],
};
