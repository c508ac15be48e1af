import type { Rank } from "./names.js";

/** Meteorological seasons: whole months, winter being December to February in the north. */
export const SEASONS = ["winter", "spring", "summer", "autumn"] as const;
export type Season = (typeof SEASONS)[number];

export const PHASES = ["resting", "waking", "growing", "slowing"] as const;
export type Phase = (typeof PHASES)[number];

/**
 * How a plant is watered: `none` bone dry, `sips` a wetting of the top that keeps shrivel off, `light` half of a
 * normal watering, `normal` through and then dry out, `generous` through and never quite dry. In rising order.
 */
export const WATER_MODES = ["none", "sips", "light", "normal", "generous"] as const;
export type WaterMode = (typeof WATER_MODES)[number];

export const CYCLES = ["summer grower", "winter grower", "spring and autumn grower", "opportunist"] as const;
export type Cycle = (typeof CYCLES)[number];

/** How sure a row is: a source names it, growers generally hold it, or it stands from memory. */
export const BASES = ["published", "common practice", "from memory"] as const;
export type Basis = (typeof BASES)[number];

/** Both ends belong to the range; the first is never above the second. */
export type Range = readonly [lo: number, hi: number];

/** Where a row stands, so that an answer or an error can point at it. */
export interface RowPlace {
  /** From the root of the project, e.g. "db/care/rules/aloe.csv". */
  file: string;
  /** 1 is the header. */
  line: number;
}

/** What one taxon wants in one season; written for the northern hemisphere, turned by who reads it. */
export interface CareRule {
  taxon: string;
  season: Season;
  phase: Phase;
  water: {
    mode: WaterMode;
    /** Days between two waterings; null with `none`. */
    days: Range | null;
  };
  /** Least air temperature at which the plant is safely kept, °C; `moist` is never under `dry`. */
  least: { dry: number; moist: number };
  light: string;
  feed: string;
  /** What is normal now and looks alarming; empty if nothing. */
  normal: string;
  /** What to do now. */
  todo: string;
  basis: Basis;
  /** Key of a source; null unless published. */
  source: string | null;
  remarks: string;
  at: RowPlace;
}

export type RuleSet = Readonly<Record<Season, CareRule>>;

/** One row of the taxa: what holds for the whole year. Months are northern. */
export interface Taxon {
  /** `Copiapoa`, `Euphorbia obesa`, `Euphorbia [leafy]`, `Cactaceae`, `epiphytic cacti`. */
  name: string;
  rank: Rank;
  /** The genus of a genus, section or species; null of a family or a group. */
  genus: string | null;
  family: string;
  groups: readonly string[];
  cycle: Cycle;
  /** Epithets that a section covers. */
  members: readonly string[];
  /** Months 1-12, in the order of the window ("11-2": 11, 12, 1, 2). */
  repot: readonly number[];
  repotEveryYears: Range | null;
  sow: readonly number[];
  germination: { celsius: Range | null; days: Range | null };
  /** What sets buds, in words; may be empty. */
  budTrigger: string;
  /** Takes frost when dry. */
  frostDry: boolean;
  basis: Basis;
  source: string | null;
  remarks: string;
  at: RowPlace;
}

/** Where a figure was published. */
export interface Source {
  key: string;
  author: string;
  title: string;
  year: string;
  address: string;
}

/** The care table, checked and indexed. */
export interface CareTable {
  taxa: ReadonlyMap<string, Taxon>;
  /** Rules by the taxon's name; a taxon without an entry is spoken for by its group or family. */
  rules: ReadonlyMap<string, RuleSet>;
  /** Sections by genus and epithet: "Euphorbia milii" -> `Euphorbia [leafy]`. */
  sections: ReadonlyMap<string, Taxon>;
  sources: ReadonlyMap<string, Source>;
}
