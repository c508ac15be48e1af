import { Temporal } from "temporal-polyfill";
import type { FoundRules } from "../lookup.js";
import { turnMonth, turnMonths } from "../seasons.js";
import { daysFrom, isAfter, isBefore } from "./days.js";
import { type FrostDates, frostDates } from "./frost.js";
import { kindOf } from "./place-kind.js";
import type { CareTask, TaskAct, TaskDue, TaskTable, TaskView } from "./task-types.js";
import type { DuePlant } from "./types.js";
import { type Knowledge, rulesOf } from "./water.js";

/** A task that was done so long before its window opened counts for it ("shaded early this year"). */
const DONE_AHEAD_DAYS = 30;
/** Resting cacti are repotted from the last third of their first month ("late January"). */
const LATE_IN_MONTH = 20;

interface Window {
  from: Temporal.PlainDate;
  until: Temporal.PlainDate;
}

/**
 * Tasks of the year that are due on the day of the view, besides water and feed. Pure. Rows that the household
 * switched off are left out, those it moved stand in their new month.
 */
export function tasksDue(view: TaskView, table: TaskTable, knowledge: Knowledge): TaskDue[] {
  const frost = frostDates(view, table.frost);
  return table.tasks
    .filter((task) => view.choices[task.key]?.off !== true)
    .filter((task) => task.hemisphere === "both" || task.hemisphere === view.setting.hemisphere)
    .flatMap((task) => dueOf(task, view, knowledge, frost));
}

function dueOf(task: CareTask, view: TaskView, knowledge: Knowledge, frost: FrostDates | null): TaskDue[] {
  switch (task.trigger) {
    case "months":
      return inPlaces(task, view, knowledge, monthWindow(task.months, task.fromDay, task, view));
    case "first frost":
    case "last frost":
      return inPlaces(task, view, knowledge, frostWindow(task, view, frost));
    case "frost season":
      return minimumDue(task, view);
    case "repot window":
      return repotDue(task, view, knowledge);
    case "after":
      return afterDue(task, view, knowledge);
    // Feed goes with the watering, the rest is told by the water's own state.
    case "feed":
    case "rest":
    case "sow window":
      return [];
  }
}

/** The window of northern months around the day, moved where the household moved it; null outside. */
function monthWindow(
  northern: readonly number[],
  fromDay: number,
  task: Pick<CareTask, "key">,
  { setting: { date, hemisphere }, choices }: TaskView,
): Window | null {
  const moved = choices[task.key]?.month;
  const months =
    moved === undefined
      ? turnMonths(northern, hemisphere)
      : northern.map((_, index) => ((moved - 1 + index) % 12) + 1);
  const index = months.indexOf(date.month);
  if (index === -1) return null;
  const first = date.with({ day: 1 }).subtract({ months: index });
  const from = first.with({ day: moved === undefined ? fromDay : 1 });
  const until = first.add({ months: months.length }).subtract({ days: 1 });
  return isBefore(date, from) ? null : { from, until };
}

function frostWindow(task: CareTask, view: TaskView, frost: FrostDates | null): Window | null {
  const [lo, hi] = task.afterDays ?? [0, 0];
  const { date, hemisphere } = view.setting;
  if (!frost) return null;
  const moved = view.choices[task.key]?.month;
  let at = task.trigger === "first frost" ? frost.first : frost.last;
  if (moved !== undefined && task.trigger === "first frost") {
    const start = Temporal.PlainDate.from({ year: at.year, month: moved, day: 1 });
    return within({ from: start, until: start.add({ days: hi - lo }) }, date);
  }
  // The first frost came before its date: what stands ready for it is wanted now.
  const northern = turnMonth(date.month, hemisphere);
  const early = view.outdoorMinC !== null && view.outdoorMinC <= 2 && northern >= 9 && northern <= 11;
  if (task.trigger === "first frost" && early && isBefore(date, at.add({ days: lo }))) {
    at = date.subtract({ days: lo });
  }
  return within({ from: at.add({ days: lo }), until: at.add({ days: hi }) }, date);
}

const within = (window: Window, date: Temporal.PlainDate): Window | null =>
  isBefore(date, window.from) || isAfter(date, window.until) ? null : window;

/** A task of the household or of each place of its kinds, once in its window or every so many days. */
function inPlaces(task: CareTask, view: TaskView, knowledge: Knowledge, window: Window | null): TaskDue[] {
  if (!window) return [];
  const kinds = (name: string, kind: string | null) =>
    task.placeKinds.length === 0 || task.placeKinds.includes(kindOf({ name, kind }));
  const places = [...view.setting.places.values()].filter((place) => kinds(place.name, place.kind));
  if (task.placeKinds.length > 0 && places.length === 0) return [];
  if (task.groups.length > 0 && !view.plants.some((plant) => ofGroups(task, plant, knowledge))) return [];
  if (task.scope === "household") return once(task, view, window, null);
  return places.flatMap((place) => once(task, view, window, place.name));
}

function once(task: CareTask, view: TaskView, window: Window, place: string | null): TaskDue[] {
  const { date } = view.setting;
  const last = lastDone(task, view.acts, place);
  if (task.repeatDays === null) {
    const ahead = window.from.subtract({ days: DONE_AHEAD_DAYS });
    if (last && !isBefore(last, ahead)) return [];
    return [made(task, view, { place, window, last, since: null, period: window.from.toString() })];
  }
  const from = last ?? view.knownSince;
  const since = daysFrom(from, date);
  if (since < task.repeatDays) return [];
  return [made(task, view, { place, window, last, since, period: from.toString() })];
}

/** Latest day on which one of the task's acts was done, in the place if it has one. */
function lastDone(
  task: CareTask,
  acts: readonly TaskAct[],
  place: string | null,
  plant?: DuePlant,
): Temporal.PlainDate | null {
  const done = acts.find(
    (act) =>
      satisfies(task, act) &&
      (place === null || act.place === null || act.place === place) &&
      (plant === undefined || act.genus === null || act.genus === plant.genus),
  );
  return done?.on ?? null;
}

/** A note counts if it names the task: by the first of its words or a phrase that people use for it. */
function satisfies(task: CareTask, act: TaskAct): boolean {
  if (act.act !== "note") return act.act === task.act || task.satisfiedBy.includes(act.act);
  const text = act.text ?? "";
  const lead = (task.words.split(/[:,]/)[0] ?? task.words).toLowerCase();
  const phrases = task.act === "note" ? task.called.filter((words) => words.includes(" ")) : [];
  return [lead, ...phrases].some((words) => text.includes(words));
}

interface Found {
  place: string | null;
  window: Window;
  last: Temporal.PlainDate | null;
  since: number | null;
  period: string;
  plants?: readonly DuePlant[];
}

function made(task: CareTask, view: TaskView, found: Found): TaskDue {
  const { date } = view.setting;
  const late = task.repeatDays !== null && found.since !== null && found.since >= 2 * task.repeatDays;
  return {
    kind: "task",
    task: task.key,
    row: task.id,
    act: task.act,
    words: task.words,
    trigger: task.trigger,
    place: found.place,
    plants: found.plants ?? [],
    from: found.window.from,
    until: found.window.until,
    status: late || isAfter(date, found.window.until) ? "overdue" : "due",
    last: found.last,
    since: found.since,
    cautionAct: task.cautionAct,
    basis: task.basis,
    source: task.source,
    mention: `${task.id}|${found.place ?? ""}|${found.period}`,
    mentions: task.mentions,
    againAfterDays: task.againDays,
  };
}

/** In the frost season: places under glass where no minimum was noted for some days. */
function minimumDue(task: CareTask, view: TaskView): TaskDue[] {
  const { date, hemisphere, places } = view.setting;
  const span = monthWindow(task.months, task.fromDay, task, view);
  if (!span || !turnMonths(task.months, hemisphere).includes(date.month)) return [];
  return [...places.values()].flatMap((place) => {
    if (!task.placeKinds.includes(kindOf(place))) return [];
    const last = view.lastMinimum.get(place.name) ?? null;
    const from = last ?? (isAfter(view.knownSince, span.from) ? view.knownSince : span.from);
    const since = daysFrom(from, date);
    if (since <= (task.repeatDays ?? 2)) return [];
    return [made(task, view, { place: place.name, window: span, last, since, period: from.toString() })];
  });
}

const ofGroups = (task: CareTask, plant: DuePlant, knowledge: Knowledge): boolean =>
  task.groups.length === 0 ||
  task.groups.some((group) => knowledge.inGroup(plant.genus, plant.species, group));

/** Plants whose repotting months are open (or, for the preparation, open within a month), by place. */
function repotDue(task: CareTask, view: TaskView, knowledge: Knowledge): TaskDue[] {
  const ahead = task.afterDays === null ? 0 : -task.afterDays[0];
  const { date } = view.setting;
  const then =
    ahead === 0 ? view : { ...view, setting: { ...view.setting, date: date.add({ days: ahead }) } };
  const byWindow = new Map<string, { window: Window; place: string | null; plants: DuePlant[] }>();
  const windows = new Map<string, Window | null>();
  for (const plant of view.plants) {
    const found = rulesOf(plant, knowledge);
    if (!found || plant.young) continue;
    const months = `${found.taxon.repot.join()} ${found.rules.winter.water.mode === "none"}`;
    let window = windows.get(months);
    if (window === undefined) {
      window = repotWindow(task, found, then);
      windows.set(months, window);
    }
    if (!window || (ahead > 0 && !isAfter(window.from, date))) continue;
    const last = view.history.lastOn(plant.id, "repot");
    const years = found.taxon.repotEveryYears?.[0] ?? 1;
    if (last && isAfter(last.add({ years }).subtract({ months: 2 }), window.from)) continue;
    const key = `${plant.place ?? ""}|${window.from}`;
    const group = byWindow.get(key);
    if (group) group.plants.push(plant);
    else byWindow.set(key, { window, place: plant.place, plants: [plant] });
  }
  return [...byWindow.values()].flatMap(({ window, place, plants }) => {
    const noted = view.acts.filter(({ act }) => act === "note");
    const done = lastDone(task, noted, ahead > 0 ? null : place);
    if (done && !isBefore(done, window.from.subtract({ days: ahead + DONE_AHEAD_DAYS }))) return [];
    return [
      made(task, view, { place, window, last: null, since: null, period: window.from.toString(), plants }),
    ];
  });
}

/** Repotting months of a taxon around the day; resting cacti begin late in their first month. */
function repotWindow(task: CareTask, { taxon, rules }: FoundRules, then: TaskView): Window | null {
  const { repot } = taxon;
  const first = repot[0];
  if (first === undefined || repot.length === 12) return null;
  const winterRest = rules.winter.water.mode === "none" && first === 1;
  return monthWindow(repot, winterRest ? LATE_IN_MONTH : 1, task, then);
}

/** What follows an entry: covers after germination, pricking out, the end of a quarantine. */
function afterDue(task: CareTask, view: TaskView, knowledge: Knowledge): TaskDue[] {
  const [lo, hi] = task.afterDays ?? [0, 0];
  const { date, hemisphere } = view.setting;
  const months = turnMonths(task.months, hemisphere);
  if (months.length > 0 && !months.includes(date.month)) return [];
  const told = new Set<string>();
  return view.acts.flatMap((act) => {
    if (!task.afterActs.includes(act.act)) return [];
    const since = daysFrom(act.on, date);
    if (since < lo || since > hi) return [];
    const key = `${act.genus ?? ""} ${act.species ?? ""}`;
    // Seedlings come up over weeks: the first count starts the clock, later ones do not restart it.
    if (told.has(key)) return [];
    const plant = standIn(act);
    if (task.groups.length > 0 && (!plant || !ofGroups(task, plant, knowledge))) return [];
    if (startedBefore(task, act, view.acts, lo)) return [];
    const done = lastDone(task, view.acts, null, plant ?? undefined);
    if (done && isAfter(done, act.on)) return [];
    told.add(key);
    const window = { from: act.on.add({ days: lo }), until: act.on.add({ days: hi }) };
    const plants = plant ? [plant] : [];
    return [
      made(task, view, { place: act.place, window, last: null, since, period: `${act.on}|${key}`, plants }),
    ];
  });
}

function startedBefore(task: CareTask, act: TaskAct, acts: readonly TaskAct[], lo: number): boolean {
  return acts.some(
    (other) =>
      other !== act &&
      task.afterActs.includes(other.act) &&
      other.genus === act.genus &&
      other.species === act.species &&
      isBefore(other.on, act.on) &&
      daysFrom(other.on, act.on) < lo,
  );
}

/** The taxon of an entry as a plant of nowhere, so that lines can name it. */
function standIn(act: TaskAct): DuePlant | null {
  if (act.genus === null) return null;
  return {
    id: `${act.act} ${act.genus} ${act.species ?? ""} ${act.on}`,
    genus: act.genus,
    species: act.species,
    cultivar: null,
    tag: null,
    name: null,
    place: act.place,
    potDiameterCm: null,
    potMaterial: null,
    knownSince: act.on,
  };
}
