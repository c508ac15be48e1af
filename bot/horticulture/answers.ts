import type { Temporal } from "temporal-polyfill";
import type { Basis, Range, RuleSet, Season, Source, Taxon, WaterMode } from "./care.js";
import type { Caution } from "./cautions.js";
import type { SubjectLike } from "./coverage.js";
import type { SpeaksFor } from "./lookup.js";
import type { Rank } from "./names.js";
import type { CareNow, OwnCareRule } from "./own-rules.js";
import type { PlaceConditions, PlaceSeason } from "./place-season.js";
import type { ResolvedTaxon } from "./resolution.js";
import type { Hemisphere } from "./seasons.js";

/** What is asked and answered about care, as structures; the words are the messenger's. */

export const CARE_TOPICS = [
  "water",
  "temperature",
  "light",
  "feed",
  "repot",
  "sow",
  "rest",
  "hazard",
  "any",
] as const;
export type CareTopic = (typeof CARE_TOPICS)[number];

/** A subject of a question: a taxon by accepted name, a tagged plant, a group or everything. */
export interface AskedSubject extends SubjectLike {
  /** The name as written where it differs. */
  as?: string;
}

export interface CareQuestion {
  topic: CareTopic;
  subjects?: readonly AskedSubject[];
  place?: string;
  season?: Season;
  /** 1-12 */
  month?: number;
  /** "can melocactus take 6 °C": a temperature, `Cel` (or no unit) or `[degF]`. */
  value?: { value: number; unit: string };
  /** "is it normal that it drops its leaves": an act of the kind seen. */
  sign?: string;
}

/** A place of the household with what was measured there. */
export interface KnownPlace extends PlaceConditions {
  name: string;
  /** Coldest of the last three nights, °C. */
  coldestC?: number | null;
}

/** A tagged plant, or the household's plants of one taxon in one place. */
export interface KnownPlant {
  genus: string;
  species: string | null;
  cultivar: string | null;
  tag: string | null;
  name: string | null;
  place: string | null;
  count: number | null;
  lastWatered: Temporal.PlainDate | null;
  lastWateredBy?: string | null;
}

/** What surrounds a question. Everything but date and hemisphere may be empty. */
export interface Circumstances {
  date: Temporal.PlainDate;
  hemisphere: Hemisphere;
  latitude?: number | null;
  places: readonly KnownPlace[];
  /** Taken where neither question nor plants name a place. */
  defaultPlace?: string | null;
  plants: readonly KnownPlant[];
  ownRules: readonly OwnCareRule[];
}

/** How the household's plants of the taxon stand with their water. */
export interface Standing {
  plants: readonly KnownPlant[];
  place: string | null;
  /** Latest watering of any of them. */
  lastWatered: Temporal.PlainDate | null;
  by: string | null;
  daysAgo: number | null;
  state:
    | "keep dry"
    | "not yet"
    | "due"
    | "overdue"
    /** Due, but the place was colder lately than moist roots bear. */
    | "too cold"
    | "never noted";
  /** How they are watered now, the group's own rules counted in. */
  mode: WaterMode;
  /** Coldest of the last nights, °C, where that holds it back. */
  coldestC: number | null;
  /** Floor of the place where it is under what the taxon takes dry, °C. */
  floorTooLowC: number | null;
}

/** Whether a temperature is borne. */
export interface Verdict {
  valueC: number;
  answer: "yes" | "only dry" | "no" | "not known";
  /** The row's season that was judged by: winter unless another was asked. */
  season: Season;
  least: { dry: number; moist: number };
  frostDry: boolean;
}

/** Whether what was seen is normal in the season. */
export interface SignFound {
  sign: string;
  /** Null: the table says nothing of it. */
  normal: boolean | null;
  /** The table's words, of the season or of the section that says it. */
  words: string;
  /** Whom the words speak for, where not the taxon itself. */
  of: string | null;
  /** Other seasons in which it is normal. */
  seasons: readonly Season[];
}

/** A window of months, in the household's hemisphere. */
export interface Window {
  months: readonly number[];
  open: boolean;
  /** First day of the next window if it is not open; null if there is none. */
  opens: Temporal.PlainDate | null;
}

export interface TaxonAnswer {
  kind: "taxon";
  topic: CareTopic;
  /** As the person wrote it; the accepted name if they wrote that. */
  asked: string;
  accepted: string;
  rank: Rank;
  /** Where authorities differ on the name; may be empty. */
  nameNote: string;
  /** Row of the taxa nearest to the name: cycle, germination, bud trigger. */
  taxon: Taxon;
  speaksFor: SpeaksFor;
  /** Taxon of the rule row. */
  by: string;
  at: PlaceSeason;
  /** The season was named in the question, not taken from the day. */
  seasonAsked: boolean;
  /** Place whose season was used. */
  place: string | null;
  hemisphere: Hemisphere;
  care: CareNow;
  /** The whole year, as it stands in the table. */
  rules: RuleSet;
  /** Seasons of the taxon's year in which it rests. */
  restsIn: readonly Season[];
  repot: Window;
  /** Its repotting falls into a rest without water: substrate bone dry, no water after it. */
  repotDry: boolean;
  sow: Window;
  verdict: Verdict | null;
  sign: SignFound | null;
  standings: readonly Standing[];
  cautions: readonly Caution[];
  /** Grounds of the rule row; those of repotting and sowing stand with the taxon. */
  basis: Basis;
  source: Source | null;
  taxonSource: Source | null;
}

export interface ListItem {
  accepted: string;
  place: string | null;
  count: number | null;
  care: CareNow;
  speaksFor: SpeaksFor;
  daysAgo: number | null;
  state: Standing["state"];
}

/** "which of our plants want water in winter", "what must not go below 10" */
export interface ListAnswer {
  kind: "list";
  about: "water" | "not below";
  season: Season;
  seasonAsked: boolean;
  place: string | null;
  group: string | null;
  valueC: number | null;
  /** Plants of the household; false: taken from the table, the household has none. */
  ofHousehold: boolean;
  /** Those that answer the question, and for water those that stay dry. */
  items: readonly ListItem[];
  others: readonly ListItem[];
  /** Plants that no rule speaks for. */
  withoutRule: readonly string[];
  basis: Basis;
}

export interface NameAnswer {
  kind: "name";
  name: ResolvedTaxon;
  /** Other names that lead to the accepted one. */
  alsoCalled: readonly string[];
  speaksFor: SpeaksFor | null;
}

export type CareAnswer =
  | TaxonAnswer
  | { kind: "several"; answers: readonly TaxonAnswer[]; withoutRule: readonly string[] }
  | ListAnswer
  | NameAnswer
  | { kind: "ambiguous"; asked: string; candidates: readonly string[] }
  | { kind: "doubtful"; asked: string; nearest: readonly string[] }
  | { kind: "unknown"; asked: string }
  /** Known by name, but neither it nor its family has a rule: offer to keep the group's own. */
  | { kind: "no rule"; asked: string; accepted: string; family: string | null }
  /** Nothing to answer about was named. */
  | { kind: "no subject"; topic: CareTopic };

/** The chain behind an answer, in the order it was gone through. */
export type WhyStep =
  | { step: "name"; asked: string; accepted: string; note: string }
  | {
      step: "rule";
      by: string;
      speaksFor: SpeaksFor;
      season: Season;
      file: string;
      line: number;
      remarks: string;
    }
  | { step: "own"; rule: OwnCareRule }
  | { step: "season"; at: PlaceSeason; place: string | null; asked: boolean; hemisphere: Hemisphere }
  | { step: "turn"; other: Season; days: Range | null }
  | { step: "phase"; phase: string; cycle: string }
  | { step: "last"; standing: Standing }
  | { step: "source"; basis: Basis; source: Source | null };
