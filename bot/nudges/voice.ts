import type { Temporal } from "temporal-polyfill";
import type { TaskDue } from "../horticulture/due/task-types.js";
import type { AwayTime } from "../journal/away.js";
import type { MorningSheet } from "../journal/due-sheet.js";
import type { Button, Household, Id } from "../journal/ports.js";
import type { DangerFacts } from "./danger-facts.js";
import type { Homecoming } from "./homecoming.js";
import type { MorningLine, MorningPlan } from "./plan-types.js";

/** How this household wants numbers and dates written. */
export interface Manner {
  units: Household["units"];
  zone: string;
  now: Temporal.Instant;
}

export interface Worded {
  text: string;
  buttons?: Button[][];
}

/** A danger that nobody has taken yet. */
export interface OpenDanger {
  id: Id;
  facts: DangerFacts;
  since: Temporal.Instant;
  by: string | null;
}

export interface ToldReminder {
  text: string;
  /** Whom it is for; null for all. */
  person: string | null;
  by: string;
  /** When it was to come. */
  at: Temporal.Instant;
}

/** What the nudges have put into words; the words themselves are the messenger's. */
export interface NudgeVoice {
  morning(
    plan: MorningPlan | null,
    around: { manner: Manner; cover: AwayTime | null; open: OpenDanger[] },
  ): string;
  /** One item as its button shows it. */
  item(item: MorningLine | TaskDue): string;
  /** A morning message as it stands, with its buttons. */
  sheet(id: Id, sheet: MorningSheet): Worded;
  told(told: ToldReminder, id: Id, manner: Manner): Worded;
  /** @param group what the chat is called */
  dangerAgain(open: readonly OpenDanger[], group: string | null, manner: Manner): Worded;
  coverBegins(away: AwayTime, manner: Manner): Worded;
  homecoming(summary: Homecoming, manner: Manner): Worded;
}
