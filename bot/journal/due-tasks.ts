import type { Temporal } from "temporal-polyfill";
import type { InGroup } from "../horticulture/coverage.js";
import type { TaskAct, TaskChoices, TaskTable, TaskView } from "../horticulture/due/task-types.js";
import type { Act } from "../language/interpretation.js";
import type { HouseholdView } from "./circumstances.js";
import { dueViewOf, HISTORY_DAYS } from "./due-view.js";
import { journalSince } from "./due-window.js";
import type { Household, JournalEntry, JournalStore } from "./ports.js";
import { dayOf } from "./time.js";

/** Long enough for what is done once in a year's window, and for a rest and the frosts before it. */
const LOOKS_BACK_DAYS = 730;
const OUTDOOR_DAYS = 3;
const FROST_C = 0;

/** As much of the journal as `taskViewOf` looks at, read ahead. */
export const journalForTasks = (store: JournalStore, now: Temporal.Instant): Promise<JournalStore> =>
  journalSince(store, now.subtract({ hours: 24 * HISTORY_DAYS }));

/**
 * The household as the calendar tasks see it at an instant: the due engine's view, and what was done and measured.
 * @param journal the store, or what `journalForTasks` read of it
 */
export async function taskViewOf(
  journal: JournalStore,
  view: HouseholdView,
  now: Temporal.Instant,
  table: TaskTable,
  inGroup: InGroup,
): Promise<TaskView> {
  const { household, zone } = view;
  const due = await dueViewOf(journal, view, now, inGroup);
  const since = now.subtract({ hours: 24 * LOOKS_BACK_DAYS });
  const entries = await journal.entries({ acts: actsOf(table), from: since, order: "latest" });
  const readings = await journal.entries({ acts: ["reading"], from: since, order: "latest" });
  const outdoors = readings.filter(
    ({ reading }) => reading?.quantity === "outdoor_temperature" && reading.statistic !== "max",
  );
  const day = (entry: JournalEntry) => dayOf(entry.from, entry.to, zone);
  const recently = outdoors.filter(
    (entry) => day(entry).until(due.setting.date, { largestUnit: "day" }).days < OUTDOOR_DAYS,
  );
  return {
    ...due,
    latitude: household.latitude,
    choices: choicesOf(household.tasks, table),
    acts: entries.map((entry) => taskAct(entry, view)),
    lastMinimum: lastMinimum(readings, view),
    frostDays: outdoors.filter(({ reading }) => (reading?.value ?? 1) <= FROST_C).map(day),
    outdoorMinC:
      recently.length === 0 ? null : Math.min(...recently.map(({ reading }) => reading?.value ?? 99)),
    knownSince: household.createdAt.toZonedDateTimeISO(zone).toPlainDate(),
  };
}

/** What was switched off or moved, by the rows' own keys: "pest reminders" and "repotting" are words for them. */
function choicesOf(said: Household["tasks"], table: TaskTable): TaskChoices {
  const plain = (words: string) => words.toLowerCase().replaceAll("_", " ").trim();
  const choices: Record<string, { off?: boolean; month?: number }> = {};
  const all = said.all;
  if (all) for (const key of ["water", "feed", ...table.tasks.map((task) => task.key)]) choices[key] = all;
  for (const [words, choice] of Object.entries(said)) {
    const wanted = plain(words);
    const row = table.tasks.find(
      ({ key, id, act, called }) =>
        [key, id, act, ...called].some((name) => plain(name) === wanted) ||
        wanted.startsWith(`${plain(key)} `),
    );
    if (words !== "all") choices[row?.key ?? words] = choice;
  }
  return choices;
}

const tableActs = new WeakMap<TaskTable, Act[]>();
function actsOf(table: TaskTable): Act[] {
  const known = tableActs.get(table);
  if (known) return known;
  const acts = new Set<string>();
  for (const task of table.tasks) {
    for (const act of [task.act, ...task.satisfiedBy, ...task.afterActs]) acts.add(act);
  }
  // Readings are many and looked at on their own.
  acts.delete("reading");
  const list = [...acts] as Act[];
  tableActs.set(table, list);
  return list;
}

function taskAct(entry: JournalEntry, { places, zone }: HouseholdView): TaskAct {
  const named = entry.entry.subjects?.find(({ genus }) => genus !== undefined);
  return {
    act: entry.act,
    place: places.find(({ id }) => id === entry.placeId)?.name ?? null,
    genus: named?.genus ?? null,
    species: named?.species ?? null,
    on: dayOf(entry.from, entry.to, zone),
    text: entry.act === "note" ? (entry.entry.text ?? entry.rawText).toLowerCase() : null,
  };
}

/** Readings come latest first, so the first of a place is its last. */
function lastMinimum(
  readings: readonly JournalEntry[],
  { places, zone }: HouseholdView,
): Map<string, Temporal.PlainDate> {
  const last = new Map<string, Temporal.PlainDate>();
  for (const entry of readings) {
    const { reading, placeId } = entry;
    if (reading?.quantity !== "air_temperature" || reading.statistic !== "min") continue;
    const place = places.find(({ id }) => id === placeId)?.name;
    if (place !== undefined && !last.has(place)) last.set(place, dayOf(entry.from, entry.to, zone));
  }
  return last;
}
