import type { Temporal } from "temporal-polyfill";
import type { Range, Season, WaterMode } from "../care.js";
import type { SubjectLike } from "../coverage.js";
import type { CareNow, OwnCareRule } from "../own-rules.js";
import type { PlaceConditions, PlaceSeason } from "../place-season.js";
import type { Hemisphere } from "../seasons.js";

/** What the due engine is told and what it finds: plain structures, days as PlainDate in the household's zone. */

/** A tagged plant, or the household's holding of one taxon in one place. */
export interface DuePlant {
  id: string;
  genus: string;
  species: string | null;
  cultivar: string | null;
  tag: string | null;
  name: string | null;
  place: string | null;
  potDiameterCm: number | null;
  potMaterial: string | null;
  /** Day from which the household knows it. */
  knownSince: Temporal.PlainDate;
  /** A sowing or cuttings: kept moister than the rule says, also through the rest of grown plants. */
  young?: boolean;
}

export interface DuePlace extends PlaceConditions {
  name: string;
  kind: string | null;
  /** Lowest of the last three nights, °C; null where none was logged. */
  coldestC: number | null;
  /** Lowest relative humidity of the last two days, %, if two or more readings stand; else null. */
  dampestLeastRh: number | null;
  /** Mean vapour pressure deficit of the last two weeks, kPa; null where it cannot be told. */
  vpdKPa: number | null;
}

/** One thing that was done, with the plants it covered already worked out. */
export interface PastAct {
  id: string;
  act: string;
  /** First and last local day it took. */
  from: Temporal.PlainDate;
  to: Temporal.PlainDate;
  person: string | null;
  /** Done late because something held it back: its interval tells nothing of the household's habit. */
  waited?: boolean;
}

/** Tasks put off by the household until a day (exclusive). */
export interface Postponement {
  subjects: readonly SubjectLike[];
  act: string | null;
  until: Temporal.PlainDate;
  by: string;
}

export type HoldReason =
  /** The place was colder than moist roots bear. */
  | { why: "cold"; coldestC: number; wantsC: number }
  /** Damp air that will not dry a plant. */
  | { why: "damp"; leastRh: number }
  /** Cut roots heal dry. */
  | { why: "repotted"; on: Temporal.PlainDate; until: Temporal.PlainDate }
  | { why: "rot"; on: Temporal.PlainDate; until: Temporal.PlainDate }
  | { why: "skipped"; on: Temporal.PlainDate; until: Temporal.PlainDate; by: string | null }
  | { why: "postponed"; until: Temporal.PlainDate; by: string }
  /** The next watering would fall into the rest or just before it. */
  | { why: "rest near"; begins: Temporal.PlainDate };

/** What moved the day inside the window, and by how many days. */
export type Pull =
  | { by: "pot material"; material: string; days: number }
  | { by: "pot size"; diameterCm: number; days: number }
  | { by: "dry air"; vpdKPa: number; days: number }
  | { by: "habit"; medianDays: number; intervals: number; days: number }
  | { by: "after rest"; days: number }
  | { by: "young"; days: number }
  /** Kept inside the calendar season's own range, where the place runs ahead of it or behind. */
  | { by: "calendar"; season: Season; days: number };

export type DueStatus = "early" | "due" | "overdue";

export interface WaterDue {
  kind: "water";
  act: "water";
  plant: DuePlant;
  /** Taxon whose rule it is, and for whom it speaks. */
  by: string;
  care: CareNow;
  at: PlaceSeason;
  /** Null while nothing is known of a last watering and it has not been waited for either. */
  last: Temporal.PlainDate | null;
  lastBy: string | null;
  /** First and last day of the window; the status turns from early to due on `dueOn`. */
  window: readonly [Temporal.PlainDate, Temporal.PlainDate];
  dueOn: Temporal.PlainDate;
  /** First day on which it may go along when others of its place are watered. */
  ridesFrom: Temporal.PlainDate;
  status: DueStatus;
  mode: WaterMode;
  days: Range;
  pulls: readonly Pull[];
  held: HoldReason | null;
  /** First waterings after a dry rest: roots have to grow again. */
  afterRest: boolean;
  /** Nothing known of any watering: to be asked once. */
  neverNoted: boolean;
}

/** How a plant stands with its water today, also when nothing is due. */
export type WaterState =
  | {
      state: "dry rest";
      plant: DuePlant;
      care: CareNow;
      at: PlaceSeason;
      last: Temporal.PlainDate | null;
    }
  /** `restFrom`: day on which a rest without water begins, once it is near. */
  | { state: "not yet"; item: WaterDue; restFrom: Temporal.PlainDate | null }
  | { state: "open"; item: WaterDue; restFrom: Temporal.PlainDate | null }
  | { state: "no rule"; plant: DuePlant };

export interface DueSetting {
  date: Temporal.PlainDate;
  hemisphere: Hemisphere;
  places: ReadonlyMap<string, DuePlace>;
  defaultPlace: string | null;
  ownRules: readonly OwnCareRule[];
  postponements: readonly Postponement[];
}

export type { Season };
