import type { Temporal } from "temporal-polyfill";
import { daysFrom, isBefore } from "../horticulture/due/days.js";
import type { DueToday } from "../horticulture/due/today.js";
import { named, type Tally } from "./tally.js";

/** The same item may come back on the third day. */
const NAG_DAYS = 3;
/** Longest silence about something overdue, with the rarer and rarer mentions of what is passed over. */
const SILENT_DAYS = 15;
/** What is held back was named with its reason; that is repeated rarely. */
const SILENT_HELD_DAYS = 44;

/** Watches what is said and what is not, apart from the plan that says it. */
export class Watcher {
  readonly #saidOf = new Map<string, { on: Temporal.PlainDate; about: string }>();

  constructor(readonly tally: Tally) {}

  /** Something was said of a subject; the same about it within three days is nagging. */
  said(subject: string, about: string, on: Temporal.PlainDate): void {
    const before = this.#saidOf.get(subject);
    if (before && before.about === about && daysFrom(before.on, on) < NAG_DAYS) {
      this.tally.violation("nagging", `${subject} ${before.on} and ${on}`);
    }
    this.#saidOf.set(subject, { on, about });
  }

  /** Nothing overdue may go unmentioned for long, held back or not. */
  listen(today: DueToday): void {
    for (const item of today.water) {
      if (item.status !== "overdue" || item.neverNoted || item.held?.why === "rest near") continue;
      const said = this.#saidOf.get(item.plant.id)?.on ?? null;
      const since = said !== null && !isBefore(said, item.window[0]) ? said : item.window[1];
      if (daysFrom(since, today.date) > (item.held === null ? SILENT_DAYS : SILENT_HELD_DAYS)) {
        this.tally.violation("silent after its window", `${named(item.plant)} ${today.date}`);
      }
    }
  }
}
