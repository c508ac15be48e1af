import type { Temporal } from "temporal-polyfill";
import type { CareAnswer } from "../horticulture/answers.js";
import type { CalculationResult } from "../horticulture/climate/calculate.js";
import type { MorningPlan } from "../horticulture/due/plan-types.js";
import type { WaterDue } from "../horticulture/due/types.js";
import type {
  Act,
  Instruction,
  Interpretation,
  Missing,
  Quantity,
  Question,
  ReadingQuantity,
  Statistic,
  Subject,
} from "../language/interpretation.js";
import type { AwayTime } from "./away.js";
import type { Exported } from "./export.js";
import type { Household, HouseholdRule, Id, JournalEntry, Member, Place, Plant } from "./ports.js";

/** What the journal did or found, without a word of wording: the edge says it. */

export interface LoggedEntry {
  entry: JournalEntry;
  place: Place | null;
  /** Filled in by the journal, not said. */
  assumed: { place?: true; when?: true };
  /** Taxa the collection did not know before. */
  learnt: string[];
  /** Labels of no plant that the household has told. */
  newTags?: string[];
  /** Heating that went off in the cold months, nobody said why: it may have been switched off, or have failed. */
  mayHaveFailed?: true;
}

/** A reading under the floor of its place. */
export interface Breach {
  place: Place;
  entryId: Id;
  statistic: Statistic;
  valueC: number;
  floorC: number;
  /** Kelvin under the floor. */
  byK: number;
}

/** Something that puts plants at risk at once. */
export type Alarm =
  | ({ kind: "under_floor" } & Breach)
  | { kind: "power_cut"; place: Place | null; entryId: Id }
  | { kind: "heat_lost"; place: Place | null; entryId: Id; cold: boolean }
  | {
      kind: "outdoor_cold";
      place: Place;
      entryId: Id;
      valueC: number;
      holdsDownToC: number;
    };

/** A plant whose label or name was told. */
export interface NamedPlant {
  plant: Plant;
  place: Place | null;
  /** It was on the list before. */
  before: boolean;
}

export interface LastDone {
  subject: Subject | null;
  entry: JournalEntry | null;
  days: number | null;
  by: string | null;
  place: Place | null;
}

export interface ReadingFound {
  place: Place | null;
  entry: JournalEntry;
  value: number;
  quantity: ReadingQuantity;
  statistic: Statistic;
}

export type Answer =
  | { about: "last"; question: Extract<Question, { about: "last" }>; found: LastDone[] }
  | {
      about: "reading";
      question: Extract<Question, { about: "reading" }>;
      found: ReadingFound[];
      /** Places without such a reading, where no place was asked for. */
      without: Place[];
      /** Readings looked through. */
      of: number;
    }
  | { about: "care"; answer: CareAnswer }
  | {
      about: "history";
      question: Extract<Question, { about: "history" }>;
      entries: JournalEntry[];
      more: number;
    }
  | {
      about: "inventory";
      question: Extract<Question, { about: "inventory" }>;
      /** What stands here; empty where a state was asked for. */
      plants: { plant: Plant; place: Place | null }[];
      /** Of a state asked for: what was last seen, once a taxon and place, latest first. */
      seen: JournalEntry[];
    }
  | {
      about: "due";
      question: Extract<Question, { about: "due" }>;
      /** All that is open, also early, with what holds the rest back. */
      plan: MorningPlan;
      place: string | null;
      /** Last day asked about; null for today. */
      until: Temporal.PlainDate | null;
      /** What comes after that. */
      next: { on: Temporal.PlainDate; genera: string[] } | null;
      /** The windows behind it, of what was named first. */
      why: WaterDue[];
    }
  | {
      about: "calculated";
      question: Extract<Question, { about: "calculate" }>;
      result: CalculationResult;
      /** Inputs that were not said and taken from the latest readings of the journal. */
      read: JournalEntry[];
    }
  /** The chain behind what was said last, as it was worded then. */
  | { about: "why"; lines: string[] }
  | { about: "unable"; question: Question; reason: "not_yet" | "nothing_known" };

export type Outcome =
  | { kind: "logged"; entries: LoggedEntry[]; note: string | null; alarms: Alarm[] }
  /** `back`: a change was taken back, and what stood before stands again. */
  | { kind: "amended"; before: JournalEntry[]; entries: LoggedEntry[]; alarms: Alarm[]; back: boolean }
  | { kind: "undone"; entries: JournalEntry[]; byOther: string | null }
  /** `gone`: what was meant is known, and was taken back already. */
  | { kind: "nothing_to_undo"; gone: boolean }
  | { kind: "nothing_to_amend"; gone: boolean }
  | { kind: "answer"; answer: Answer }
  | {
      kind: "set";
      instruction: Extract<Instruction, { do: "set" }>;
      household: Household;
      place: Place | null;
    }
  | {
      kind: "set_failed";
      setting: string;
      reason: "which_place" | "unreadable" | "out_of_range" | "only_english" | "not_allowed";
      words: string;
      /** Places to choose from, with what was said of one of them. */
      places?: readonly Place[];
      value?: Quantity;
    }
  /** Places told: new ones, ones with a new floor, and ones that were known just so. */
  | { kind: "places"; added: Place[]; changed: Place[]; known: Place[] }
  | { kind: "place_removed"; place: Place | null; words: string }
  /** `unknown`: labels and names without a taxon, of no plant that is known. */
  | { kind: "plants_named"; named: NamedPlant[]; unknown: string[] }
  | { kind: "rule_kept"; rule: HouseholdRule }
  | { kind: "rule_lifted"; rules: HouseholdRule[] }
  | { kind: "reminder_kept"; text: string; person: string | null; at: Temporal.Instant }
  | { kind: "snoozed"; subjects: Subject[]; until: Temporal.Instant }
  /** Somebody looks after the open dangers; `open` of them were waiting. */
  | { kind: "claimed"; by: Member; open: number }
  | { kind: "all_well"; by: Member; open: number }
  /** Somebody takes what the morning asked for, or puts it off until tomorrow; or nothing of it was left. */
  | { kind: "morning"; what: "taken" | "put_off" | "nothing_left"; by: string }
  /** Somebody covers for those who are away; `id` is that of the reminder of their return. */
  | { kind: "away"; away: AwayTime; id: Id }
  /** From when to when was not said, or makes no sense. */
  | { kind: "away_unclear" }
  | { kind: "exported"; file: Exported }
  | { kind: "unclear"; interpretation: Interpretation; missing: Missing[]; choices: Choice[] }
  | { kind: "silent" }
  | { kind: "not_understood"; words: string }
  | { kind: "not_yet"; what: string }
  | { kind: "help" };

/** A likely completion of an unclear message, offered under the question. */
export type Choice =
  | { kind: "genus"; genus: string }
  | { kind: "everything"; place: string | null }
  | { kind: "place"; place: string }
  | { kind: "unit"; unit: string }
  | { kind: "act"; act: Act };

export type { Act };
