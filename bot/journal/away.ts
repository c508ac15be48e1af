import { Temporal } from "temporal-polyfill";
import type { Instruction } from "../language/interpretation.js";
import { putReminder } from "./due-rows.js";
import type { Outcome } from "./outcome.js";
import type { Id, JournalStore } from "./ports.js";
import type { Scope } from "./scope.js";

/** A time in which somebody else looks after the glasshouse; kept with the reminder of the return. */
export interface AwayTime {
  /** First and last local day, both included. */
  from: string;
  to: string;
  /** Who covers; null while nobody was named. */
  cover: string | null;
  /** Who said it, and is asked when in doubt. */
  by: string;
}

/** Nobody is away for longer than this by a slip of the tongue. */
const LONGEST_DAYS = 400;

/** "we're away 12 to 26 February, Priya covers". A later one that overlaps takes the place of an earlier one. */
export async function goAway(
  scope: Scope,
  instruction: Extract<Instruction, { do: "away" }>,
): Promise<Outcome> {
  const { store, utterance, zone, household } = scope;
  const today = utterance.at.toZonedDateTimeISO(zone).toPlainDate();
  const standing = await awayTimes(store);
  if (!instruction.when) {
    // "Priya covers" completes what was said before.
    const next = standing[0];
    if (!next || !instruction.person) return { kind: "away_unclear" };
    const away = { ...next.away, cover: instruction.person };
    await store.updateReminder(next.id, { payload: { away } });
    return { kind: "away", away, id: next.id };
  }
  const from = later(Temporal.PlainDate.from(instruction.when.from.slice(0, 10)), today);
  const to = lastDay(instruction.when);
  const days = from.until(to, { largestUnit: "day" }).days;
  if (days < 0 || days > LONGEST_DAYS) return { kind: "away_unclear" };
  for (const { id, away } of standing) {
    if (away.from <= to.toString() && from.toString() <= away.to) await cancelAway(store, id);
  }
  const away: AwayTime = {
    from: from.toString(),
    to: to.toString(),
    cover: instruction.person ?? null,
    by: scope.author.name,
  };
  const at = (date: Temporal.PlainDate) =>
    date
      .toZonedDateTime({ timeZone: zone, plainTime: Temporal.PlainTime.from(household.reminderTime) })
      .toInstant();
  const chatId = utterance.chatId;
  const back = to.add({ days: 1 });
  const payload = { away };
  const id = await putReminder(store, {
    kind: "return",
    subject: away.from,
    localDate: back.toString(),
    dueAt: at(back),
    chatId,
    payload,
  });
  if (Temporal.PlainDate.compare(from, today) > 0) {
    await putReminder(store, {
      kind: "away",
      subject: id,
      localDate: away.from,
      dueAt: at(from),
      chatId,
      payload: { returnId: id },
    });
  }
  return { kind: "away", away, id };
}

/** The last day of a range: "12 to 26 February" ends with the 26th, "until Sunday" with Sunday. */
function lastDay(when: { from: string; to: string }): Temporal.PlainDate {
  const to = Temporal.PlainDateTime.from(when.to);
  const from = Temporal.PlainDateTime.from(when.from);
  const last = Temporal.PlainDateTime.compare(to, from) > 0 ? to.subtract({ minutes: 1 }) : to;
  return last.toPlainDate();
}

const later = (a: Temporal.PlainDate, b: Temporal.PlainDate): Temporal.PlainDate =>
  Temporal.PlainDate.compare(a, b) < 0 ? b : a;

/** Times away that are not over, the nearest first. */
export async function awayTimes(store: JournalStore): Promise<{ id: Id; away: AwayTime }[]> {
  const waiting = await store.reminders({ kinds: ["return"], state: "waiting" });
  return waiting.map(({ id, payload }) => ({ id, away: (payload as { away: AwayTime }).away }));
}

/** They stay after all. @returns the time that was meant, null when it is over or cancelled already */
export async function cancelAway(store: JournalStore, id: Id): Promise<AwayTime | null> {
  const found = (await awayTimes(store)).find((time) => time.id === id);
  if (!found) return null;
  await store.updateReminder(id, { state: "dropped" });
  const starts = await store.reminders({ kinds: ["away"], state: "waiting" });
  for (const start of starts) {
    if (start.subject === id) await store.updateReminder(start.id, { state: "dropped" });
  }
  return found.away;
}
