import { Temporal } from "temporal-polyfill";
import { dueToday } from "../horticulture/due/today.js";
import { awayOn } from "../journal/away.js";
import { type MorningMemory, type MorningSheet, memoryOf, sheetPayload } from "../journal/due-sheet.js";
import { taskViewOf } from "../journal/due-tasks.js";
import type { Place, Plant, Reminder } from "../journal/ports.js";
import { dangersToMention } from "./danger.js";
import { morningInstant } from "./due-instant.js";
import { type Here, type NudgeMind, spokenTo } from "./household.js";
import { planMorning } from "./plan-morning.js";
import type { MorningPlan } from "./plan-types.js";
import { mayMakeUp } from "./quiet.js";
import { scheduleMorning } from "./schedule.js";
import { sheetItems } from "./sheet-items.js";

/** A message that comes later than this is made up for only at an hour at which people are up. */
const LATE_MINUTES = 30;
/** How long a mention is remembered, in days; that something was asked is never forgotten. */
const REMEMBERED_DAYS = { item: 45, other: 150 };

/**
 * Handles the reminder of a morning: says what is due, once, and sets the next one in the same transaction.
 * One that is days late (the program was down) says nothing itself; it sets this day's instead, so that a household
 * gets one message about what matters now.
 */
export async function deliverMorning(here: Here, mind: NudgeMind, reminder: Reminder): Promise<void> {
  const { store, household, zone, now } = here;
  const today = now.toZonedDateTimeISO(zone).toPlainDate();
  const date = Temporal.PlainDate.from(reminder.localDate);
  const memory = memoryOf(reminder);
  const order = Temporal.PlainDate.compare(date, today);
  const at = morningInstant(date, household.reminderTime, zone);
  if (order > 0 || (order === 0 && Temporal.Instant.compare(now, at) < 0)) {
    // Zone or time changed under it.
    await store.updateReminder(reminder.id, { dueAt: at });
    return;
  }
  if (order < 0) {
    await store.updateReminder(reminder.id, { state: "done", payload: null });
    const todays = morningInstant(today, household.reminderTime, zone);
    const past = Temporal.Instant.compare(todays, now) <= 0;
    const makesUp = past && mayMakeUp(household, zone, now);
    await scheduleMorning(store, household, zone, now, { memory, today: makesUp, waiting: null });
    return;
  }
  const late = now.since(at).total("minutes") > LATE_MINUTES;
  const speaks =
    household.reminderDays.includes(today.dayOfWeek) && (!late || mayMakeUp(household, zone, now));
  const said = speaks ? await sayMorning(here, mind, reminder, memory) : null;
  await store.updateReminder(reminder.id, {
    state: "done",
    payload: said === null ? null : sheetPayload(said.sheet),
  });
  await scheduleMorning(store, household, zone, now, { memory: said?.memory ?? memory, waiting: null });
}

/** @returns the message as it was sent and what is to be remembered of it; null when there was nothing to say */
async function sayMorning(
  here: Here,
  mind: NudgeMind,
  reminder: Reminder,
  memory: MorningMemory,
): Promise<{ sheet: MorningSheet; memory: MorningMemory } | null> {
  const { store, now, manner } = here;
  const date = now.toZonedDateTimeISO(here.zone).toPlainDate();
  // Asked together: on a server that is one round trip.
  const [known, open, cover, places, plants] = await Promise.all([
    store.chats(),
    dangersToMention(store, now),
    awayOn(store, date),
    store.places(),
    store.plants(),
  ]);
  const chats = spokenTo(known);
  if (chats.length === 0) return null;
  const plan = await morningPlan(here, { places, plants }, mind, memory);
  if (plan === null && open.length === 0) return null;
  const sheet: MorningSheet = {
    date: date.toString(),
    text: mind.voice.morning(plan, { manner, cover, open }),
    items: plan === null ? [] : sheetItems(plan, mind.voice.item),
    takenBy: null,
    putOffBy: null,
  };
  const said = mind.voice.sheet(reminder.id, sheet);
  for (const { chatId } of chats) {
    await store.say({ chatId, ...said, urgency: 2, about: { kind: `morning:${reminder.id}` } });
  }
  return { sheet, memory: remembered(memory, plan?.keys ?? [], date) };
}

/** What the household's morning would say; null for nothing. */
async function morningPlan(
  { store, household, zone, now }: Here,
  { places, plants }: { places: Place[]; plants: Plant[] },
  { knowledge, tasks }: Pick<NudgeMind, "knowledge" | "tasks">,
  memory: MorningMemory,
): Promise<MorningPlan | null> {
  if (places.length === 0 && plants.length === 0) return null;
  const view = await taskViewOf(store, { household, zone, places, plants }, now, tasks, knowledge.inGroup);
  const mentions = new Map(
    Object.entries(memory.mentions).map(([key, [on, times]]) => [
      key,
      { on: Temporal.PlainDate.from(on), times },
    ]),
  );
  return planMorning({
    today: dueToday(view, tasks, knowledge),
    plants: view.plants,
    places: places.map(({ name }) => name),
    mentions,
    weekdays: household.reminderDays,
  });
}

function remembered(
  { mentions }: MorningMemory,
  keys: readonly string[],
  date: Temporal.PlainDate,
): MorningMemory {
  const kept: MorningMemory["mentions"] = {};
  for (const [key, [on, times]] of Object.entries(mentions)) {
    const item = key.startsWith("water|") || key.startsWith("held|");
    const days = item ? REMEMBERED_DAYS.item : REMEMBERED_DAYS.other;
    const recent = on >= date.subtract({ days }).toString();
    if (recent || key.startsWith("ask|")) kept[key] = [on, times];
  }
  for (const key of new Set(keys)) kept[key] = [date.toString(), (kept[key]?.[1] ?? 0) + 1];
  return { mentions: kept };
}
