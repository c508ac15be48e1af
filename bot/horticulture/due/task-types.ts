import type { Temporal } from "temporal-polyfill";
import type { Basis, Range } from "../care.js";
import type { CareHistory } from "./history.js";
import type { DuePlant, DueSetting, DueStatus } from "./types.js";

/** Tasks of the glasshouse's year besides water, as data rows and as what is due of them. */

/** What a row hangs on. */
export const TASK_TRIGGERS = [
  /** Months of the row. */
  "months",
  /** Repotting months of each taxon. */
  "repot window",
  /** Sowing months of each taxon. */
  "sow window",
  /** Feed text of each taxon's rule. */
  "feed",
  /** The first frost of the autumn, the last one of the spring at the place. */
  "first frost",
  "last frost",
  /** Days of the frost season on which nothing was measured. */
  "frost season",
  /** An entry of an act, so many days ago. */
  "after",
  /** A dry rest that begins. */
  "rest",
] as const;
export type TaskTrigger = (typeof TASK_TRIGGERS)[number];

/** Whom a row speaks to: once for the household, once for each place of the kinds, or for taxa. */
export const TASK_SCOPES = ["household", "place", "taxa"] as const;
export type TaskScope = (typeof TASK_SCOPES)[number];

/** One row of `db/care/tasks.csv`; months are northern. */
export interface CareTask {
  /** Unique: "repot.prepare". */
  id: string;
  /** Word by which people switch it off or move it: "repot". Several rows may share it. */
  key: string;
  /** Other words for the key, for the language. */
  called: readonly string[];
  /** What to do, in words. */
  words: string;
  /** Act of the journal that is written when it was done. */
  act: string;
  /** Acts that satisfy it besides. */
  satisfiedBy: readonly string[];
  trigger: TaskTrigger;
  scope: TaskScope;
  /** Kinds of place it is for; empty for all. */
  placeKinds: readonly string[];
  /** Groups of plants it is for ("cacti"); empty for all. */
  groups: readonly string[];
  hemisphere: "both" | "north" | "south";
  /** Northern months of the window; empty where the trigger gives it. */
  months: readonly number[];
  /** Day of the window's first month on which it opens. */
  fromDay: number;
  /** Of `after`: the acts that start it. */
  afterActs: readonly string[];
  /** Days after the act, after the frost date (negative: before) or after the taxon's window opens. */
  afterDays: Range | null;
  /** Days after which it is due again once done; null: once in its window. */
  repeatDays: number | null;
  /** Days between two mentions, and how many there are at most in one window. */
  againDays: number;
  mentions: number;
  /** Act whose cautions are shown with it; null for none. */
  cautionAct: string | null;
  basis: Basis;
  source: string | null;
  remarks: string;
}

/** Mean dates of the first and last air frost in a band of latitude, north: "10-12" is 12 October. */
export interface FrostBand {
  from: number;
  to: number;
  firstFrost: { month: number; day: number };
  lastFrost: { month: number; day: number };
  basis: Basis;
}

/** The tasks of the year and the frost dates they hang on. */
export interface TaskTable {
  tasks: readonly CareTask[];
  frost: readonly FrostBand[];
}

/** Switched off or moved by the household: "no pest reminders", "we repot in March". */
export type TaskChoices = Readonly<Record<string, { off?: boolean; month?: number }>>;

/** Something the journal knows of a place, the household or a taxon that a task looks back at. */
export interface TaskAct {
  act: string;
  place: string | null;
  /** Genus named first, if any. */
  genus: string | null;
  species: string | null;
  on: Temporal.PlainDate;
  /** Text of a note, in lower case. */
  text: string | null;
}

/** What tasks are judged on. */
export interface TaskView {
  setting: DueSetting;
  plants: readonly DuePlant[];
  history: CareHistory;
  latitude: number | null;
  choices: TaskChoices;
  /** Latest first; two years are enough. */
  acts: readonly TaskAct[];
  /** Last day on which a minimum was logged, by place. */
  lastMinimum: ReadonlyMap<string, Temporal.PlainDate>;
  /** Days with an outdoor minimum at or under 0 °C, from the household's own readings; any order. */
  frostDays: readonly Temporal.PlainDate[];
  /** Lowest outdoor minimum of the last three days, °C; null without one. */
  outdoorMinC: number | null;
  /** Day from which the household is known; nothing older is asked after. */
  knownSince: Temporal.PlainDate;
}

/** A task that is due, or to be prepared. */
export interface TaskDue {
  kind: "task";
  /** Key of the row, as people switch it off. */
  task: string;
  row: string;
  /** Act that a "done" writes. */
  act: string;
  words: string;
  trigger: TaskTrigger;
  place: string | null;
  /** Plants it is about; empty for a task of a place or the household. */
  plants: readonly DuePlant[];
  from: Temporal.PlainDate;
  until: Temporal.PlainDate;
  status: DueStatus;
  /** When it was last done. */
  last: Temporal.PlainDate | null;
  /** Days since the event that it follows ("sown 42 days ago"), or since the last reading. */
  since: number | null;
  cautionAct: string | null;
  basis: Basis;
  source: string | null;
  /** Remembers that it was mentioned; changes when its window or its last doing does. */
  mention: string;
  mentions: number;
  /** Days between two mentions. */
  againAfterDays: number;
}

/** Feeding of one plant or holding in growth. */
export interface FeedDue {
  kind: "feed";
  plant: DuePlant;
  /** Text of the rule: "half strength, low nitrogen, monthly". */
  feed: string;
  /** Days between two feeds, or with every so many-th watering. */
  every: FeedRhythm;
  last: Temporal.PlainDate | null;
  dueOn: Temporal.PlainDate;
  status: DueStatus;
  mention: string;
}

export type FeedRhythm =
  | { by: "days"; days: Range }
  | { by: "waterings"; each: number }
  | { by: "season"; times: number };
