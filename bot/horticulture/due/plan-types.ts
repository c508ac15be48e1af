import type { Temporal } from "temporal-polyfill";
import type { Range, WaterMode } from "../care.js";
import type { SubjectLike } from "../coverage.js";
import type { TaskDue } from "./task-types.js";
import type { DuePlant, DueStatus, HoldReason } from "./types.js";

/** When an item was last mentioned and how often, by its mention key; kept by whoever delivers. */
export type Mentions = ReadonlyMap<string, Mention>;
export interface Mention {
  on: Temporal.PlainDate;
  times: number;
}

/** One taxon (or tagged plant) to be done in one place; several plants of a taxon stand together. */
export interface MorningLine {
  act: "water" | "feed";
  genus: string;
  /** Null where the line speaks of the genus. */
  species: string | null;
  /** Tag or name where one plant is meant. */
  tag: string | null;
  name: string | null;
  place: string | null;
  plants: readonly DuePlant[];
  /** Speak of exactly these plants in an entry for the place. */
  subjects: readonly SubjectLike[];
  /** The longest wait of its plants. */
  last: Temporal.PlainDate | null;
  daysSince: number | null;
  status: DueStatus;
  mode: WaterMode;
  /** First waterings after a dry rest. */
  afterRest: boolean;
  /** "you usually wait 18 days" */
  habitDays: number | null;
  /** Text of the rule's feed; null for water. */
  feed: string | null;
  /** Mention keys of its items. */
  keys: readonly string[];
}

export interface PlaceMorning {
  place: string | null;
  water: MorningLine[];
  feed: MorningLine[];
  tasks: TaskDue[];
}

export interface HeldGroup {
  place: string | null;
  /** One reason, the same for all its lines. */
  held: HoldReason;
  /** What moist roots want there, from the hardiest to the tenderest of the lines, °C; null unless cold. */
  wantsC: Range | null;
  lines: MorningLine[];
}

/** What the morning message says, without a word of wording. */
export interface MorningPlan {
  date: Temporal.PlainDate;
  /** Places with something to do, in the household's order; a null place holds plants that stand nowhere known. */
  places: PlaceMorning[];
  /** Places with plants and nothing to do. */
  idle: string[];
  /** Tasks of the household that belong to no one place. */
  tasks: TaskDue[];
  held: HeldGroup[];
  /** Nothing is known of their last watering; asked once. */
  ask: MorningLine[];
  /** Mention keys of all that is said; to be remembered with the date once sent. */
  keys: string[];
}
