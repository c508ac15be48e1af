import { Temporal } from "temporal-polyfill";
import { type MorningMemory, memoryOf, memoryPayload } from "../journal/due-sheet.js";
import type { Household, JournalStore, Reminder } from "../journal/ports.js";
import { morningInstant } from "./due-instant.js";

/** One for the household, whatever its chats: their ids may change. */
export const MORNING_SUBJECT = "household";
/** A week of days off and one more. */
const DAYS_AHEAD = 9;

export interface MorningOptions {
  /** Also this day, though its time is past: an outage is made up for. */
  today?: boolean;
  /** What was said before; without it that of the morning waiting so far. */
  memory?: MorningMemory;
  /** The morning that waits so far, where that is known already. */
  waiting?: Reminder | null;
}

/** Days on which the household's morning message may come from now on, with their instants. */
export function* mornings(
  household: Pick<Household, "reminderTime" | "reminderDays">,
  zone: string,
  now: Temporal.Instant,
  alsoPast = false,
): Generator<{ date: Temporal.PlainDate; at: Temporal.Instant }> {
  const today = now.toZonedDateTimeISO(zone).toPlainDate();
  for (let days = 0; days < DAYS_AHEAD; days++) {
    const date = today.add({ days });
    if (!household.reminderDays.includes(date.dayOfWeek)) continue;
    const at = morningInstant(date, household.reminderTime, zone);
    if (alsoPast || Temporal.Instant.compare(at, now) > 0) yield { date, at };
  }
}

/**
 * Sees to it that the household's next morning message waits at its time: sets it, or moves the one that waits after
 * zone, time or days were changed. A day that had its message gets no second one.
 */
export async function scheduleMorning(
  store: JournalStore,
  household: Household,
  zone: string,
  now: Temporal.Instant,
  options: MorningOptions = {},
): Promise<void> {
  const waiting =
    options.waiting === undefined
      ? (await store.reminders({ kinds: ["morning"], state: "waiting" }))[0]
      : (options.waiting ?? undefined);
  const memory = options.memory ?? memoryOf(waiting);
  for (const { date, at } of mornings(household, zone, now, options.today ?? false)) {
    const localDate = date.toString();
    if (waiting?.localDate === localDate) {
      if (!waiting.dueAt.equals(at) || options.memory) {
        await store.updateReminder(waiting.id, { dueAt: at, payload: memoryPayload(memory) });
      }
      return;
    }
    if (await put(store, localDate, at, memory)) {
      if (waiting) await store.updateReminder(waiting.id, { state: "dropped" });
      return;
    }
  }
  // No weekday is left on which it may come.
  if (waiting && household.reminderDays.length === 0) {
    await store.updateReminder(waiting.id, { state: "dropped" });
  }
}

/** @returns false when that day had its message */
async function put(
  store: JournalStore,
  localDate: string,
  dueAt: Temporal.Instant,
  memory: MorningMemory,
): Promise<boolean> {
  const payload = memoryPayload(memory);
  const row = { kind: "morning", subject: MORNING_SUBJECT, localDate, dueAt, chatId: null, payload } as const;
  if (await store.addReminder(row)) return true;
  const dropped = await store.reminders({ kinds: ["morning"], state: "dropped", sinceDate: localDate });
  const same: Reminder | undefined = dropped.find((reminder) => reminder.localDate === localDate);
  if (!same) return false;
  await store.updateReminder(same.id, { state: "waiting", dueAt, payload });
  return true;
}
