import { Temporal } from "temporal-polyfill";
import { dueToday } from "../horticulture/due/today.js";
import { type AwayTime, awayTimes } from "../journal/away.js";
import { type MorningMemory, type MorningSheet, memoryOf, sheetPayload } from "../journal/due-sheet.js";
import { journalForTasks, taskViewOf } from "../journal/due-tasks.js";
import type { Chat, JournalStore, Place, Plant, Reminder } from "../journal/ports.js";
import { dangersToMention } from "./danger.js";
import { morningInstant } from "./due-instant.js";
import { type Here, type NudgeMind, spokenTo } from "./household.js";
import { planMorning } from "./plan-morning.js";
import type { MorningPlan } from "./plan-types.js";
import { mayMakeUp } from "./quiet.js";
import { scheduleMorning } from "./schedule.js";
import { sheetItems } from "./sheet-items.js";
import type { OpenDanger } from "./voice.js";

/** A message that comes later than this is made up for only at an hour at which people are up. */
const LATE_MINUTES = 30;
/** How long a mention is remembered, in days; that something was asked is never forgotten. */
const REMEMBERED_DAYS = { item: 45, other: 150 };

/** All that a morning may need to know, asked for together: on a server that is one round trip. */
export interface MorningReading {
  chats: Chat[];
  open: OpenDanger[];
  away: AwayTime[];
  places: Place[];
  plants: Plant[];
  journal: JournalStore;
}

export async function readForMorning(store: JournalStore, now: Temporal.Instant): Promise<MorningReading> {
  const [chats, open, away, places, plants, journal] = await Promise.all([
    store.chats(),
    dangersToMention(store, now),
    awayTimes(store),
    store.places(),
    store.plants(),
    journalForTasks(store, now),
  ]);
  return { chats, open, away: away.map((time) => time.away), places, plants, journal };
}

/**
 * Handles the reminder of a morning: says what is due, once, and sets the next one in the same transaction.
 * One that is days late (the program was down) says nothing itself; it sets this day's instead, so that a household
 * gets one message about what matters now.
 */
export async function deliverMorning(
  here: Here,
  mind: NudgeMind,
  reminder: Reminder,
  reading: MorningReading,
): Promise<void> {
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
  const said = speaks ? await planned(here, mind, memory, reading) : null;
  await Promise.all([
    ...(said === null ? [] : sayAll(here, mind, reminder, said)),
    store.updateReminder(reminder.id, {
      state: "done",
      payload: said === null ? null : sheetPayload(said.sheet),
    }),
    scheduleMorning(store, household, zone, now, { memory: said?.memory ?? memory, waiting: null }),
  ]);
}

interface Planned {
  chats: Chat[];
  sheet: MorningSheet;
  /** What is to be remembered of it. */
  memory: MorningMemory;
}

/** @returns null when there is nothing to say, or nobody to say it to */
async function planned(
  here: Here,
  mind: NudgeMind,
  memory: MorningMemory,
  reading: MorningReading,
): Promise<Planned | null> {
  const { open, away } = reading;
  const chats = spokenTo(reading.chats);
  if (chats.length === 0) return null;
  const plan = await morningPlan(here, reading, mind, memory);
  if (plan === null && open.length === 0) return null;
  const today = here.now.toZonedDateTimeISO(here.zone).toPlainDate();
  const date = today.toString();
  const cover = away.find(({ from, to }) => from <= date && date <= to) ?? null;
  const sheet: MorningSheet = {
    date,
    text: mind.voice.morning(plan, { manner: here.manner, cover, open }),
    items: plan === null ? [] : sheetItems(plan, mind.voice.item),
    takenBy: null,
    putOffBy: null,
  };
  return { chats, sheet, memory: remembered(memory, plan?.keys ?? [], today) };
}

function sayAll({ store }: Here, { voice }: NudgeMind, { id }: Reminder, { chats, sheet }: Planned) {
  const said = voice.sheet(id, sheet);
  return chats.map(({ chatId }) =>
    store.say({ chatId, ...said, urgency: 2, about: { kind: `morning:${id}` } }),
  );
}

/** What the household's morning would say; null for nothing. */
async function morningPlan(
  { household, zone, now }: Here,
  { places, plants, journal }: MorningReading,
  { knowledge, tasks }: Pick<NudgeMind, "knowledge" | "tasks">,
  memory: MorningMemory,
): Promise<MorningPlan | null> {
  if (places.length === 0 && plants.length === 0) return null;
  const view = await taskViewOf(journal, { household, zone, places, plants }, now, tasks, knowledge.inGroup);
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
