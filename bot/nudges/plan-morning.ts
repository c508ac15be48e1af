import type { Temporal } from "temporal-polyfill";
import { daysFrom, isAfter } from "../horticulture/due/days.js";
import type { HeldGroup, Mentions, MorningPlan, PlaceMorning } from "../horticulture/due/plan-types.js";
import type { TaskDue } from "../horticulture/due/task-types.js";
import type { DueToday, RestAhead } from "../horticulture/due/today.js";
import type { DuePlant, HoldReason, WaterDue } from "../horticulture/due/types.js";
import { feedItem, linesOf, waitingItem, waterItem } from "./plan-lines.js";

/** The same item comes back at most every third day, rarer once it was passed over again and again. */
const AGAIN_DAYS = 3;
const RARER = [
  { afterTimes: 3, days: 7 },
  { afterTimes: 6, days: 14 },
] as const;
/**
 * What is held back rides along once, then after so many days by the times before; by itself it starts a message only
 * when its window has passed, so that nobody takes silence for an answer.
 */
const HELD_AGAIN_DAYS = [0, 14, 28] as const;
const HELD_RARELY_DAYS = 42;

export interface MorningInput {
  today: DueToday;
  plants: readonly DuePlant[];
  /** Names of the household's places, in its order. */
  places: readonly string[];
  mentions: Mentions;
  /** ISO weekdays on which the message may come. */
  weekdays: readonly number[];
}

/** What a request narrows. */
export interface RequestScope {
  /** "what about the warm bench" */
  place?: string | null;
  /** Last day of the span asked about ("this weekend"); the day of the view if absent. */
  until?: Temporal.PlainDate;
}

export const waterKey = (item: Pick<WaterDue, "plant" | "last" | "neverNoted">): string =>
  item.neverNoted ? `ask|${item.plant.id}` : `water|${item.plant.id}|${item.last ?? "rest"}`;
/** Who drinks every other day is not told so every other day: such plants are remembered beyond one watering. */
const thirsty = ({ days }: WaterDue): boolean => days[0] < AGAIN_DAYS;
/** The late edge of its rule, eased or not, whichever is nearer. */
const latest = ({ days, care }: WaterDue): number => Math.min(days[1], care.rule.water.days?.[1] ?? days[1]);
const thirstKey = ({ plant }: WaterDue): string => `thirst|${plant.id}`;
const waterKeys = (item: WaterDue): string[] =>
  thirsty(item) && !item.neverNoted ? [waterKey(item), thirstKey(item)] : [waterKey(item)];
const heldKey = (item: WaterDue): string =>
  item.held?.why === "rest near" ? restKey(item.plant, item.held.begins) : `held|${waterKey(item)}`;
/** One rest is told once, though its first day moves with the weather. */
const restKey = (plant: DuePlant, begins: Temporal.PlainDate): string =>
  `rest|${plant.id}|${begins.add({ days: 60 }).year}`;

/** The next day on which a message may come, after the day itself. */
function nextMorning(date: Temporal.PlainDate, weekdays: readonly number[]): Temporal.PlainDate {
  for (let ahead = 1; ahead <= 7; ahead++) {
    const day = date.add({ days: ahead });
    if (weekdays.includes(day.dayOfWeek)) return day;
  }
  return date.add({ days: 1 });
}

const againDays = (times: number): number =>
  RARER.reduce<number>((days, step) => (times >= step.afterTimes ? step.days : days), AGAIN_DAYS);

/**
 * The morning message of a day; null on days that the household does not want it and where nothing is new. What was
 * mentioned within the last three days stays out, and what is held back or unknown speaks once. Who keeps weekends
 * only is told what falls due until the next message too.
 */
export function planMorning(input: MorningInput): MorningPlan | null {
  const { today, mentions, weekdays } = input;
  const { date } = today;
  if (!weekdays.includes(date.dayOfWeek)) return null;
  const daysSince = (key: string): number => {
    const mention = mentions.get(key);
    return mention === undefined ? Number.POSITIVE_INFINITY : daysFrom(mention.on, date);
  };
  const fresh = (key: string): boolean => daysSince(key) >= againDays(mentions.get(key)?.times ?? 0);
  const rested = (item: WaterDue): boolean =>
    fresh(waterKey(item)) &&
    (!thirsty(item) || daysSince(thirstKey(item)) >= Math.min(AGAIN_DAYS, latest(item)));
  const horizon = nextMorning(date, weekdays).subtract({ days: 1 });
  const open = today.water.filter((item) => !isAfter(item.dueOn, horizon));

  const due = open.filter((item) => item.held === null && !item.neverNoted && rested(item));
  const water = [...due, ...riding(today, due, horizon, rested)];
  const ask = open.filter((item) => item.held === null && item.neverNoted && !mentions.has(waterKey(item)));
  const tasks = today.tasks.filter((task) => taskFresh(task, daysSince, mentions));
  const held = open.filter((item) => item.held !== null && item.held.why !== "rest near");
  const heldAgain = held.filter((item) => {
    const key = heldKey(item);
    return daysSince(key) >= (HELD_AGAIN_DAYS[mentions.get(key)?.times ?? 0] ?? HELD_RARELY_DAYS);
  });
  const heldNew = heldAgain.filter((item) => item.status === "overdue" && !chosen(item.held as HoldReason));
  const rests = today.rests.filter(
    ({ plant, begins, last }) =>
      !mentions.has(restKey(plant, begins)) &&
      daysSince(`held|${waterKey({ plant, last, neverNoted: last === null })}`) >= AGAIN_DAYS,
  );
  if (water.length + ask.length + tasks.length + heldNew.length + rests.length === 0) return null;

  const said = new Set(water.map((item) => item.plant.id));
  const feed = today.feed.filter((item) => said.has(item.plant.id) && daysSince(item.mention) >= AGAIN_DAYS);
  return assemble(input, { water, ask, tasks, feed, held: heldAgain, rests });
}

/** What falls due within days goes along where its place is watered anyway: fewer mornings, fuller cans. */
function riding(
  { water, date }: DueToday,
  due: readonly WaterDue[],
  horizon: Temporal.PlainDate,
  rested: (item: WaterDue) => boolean,
): WaterDue[] {
  const places = new Set(due.map(({ plant }) => plant.place));
  return water.filter(
    (item) =>
      places.has(item.plant.place) &&
      isAfter(item.dueOn, horizon) &&
      !isAfter(item.ridesFrom, date) &&
      item.held === null &&
      !item.neverNoted &&
      rested(item),
  );
}

/** Waiting by the household's own word needs no telling. */
const chosen = (held: HoldReason): boolean => held.why === "postponed" || held.why === "skipped";

function taskFresh(task: TaskDue, daysSince: (key: string) => number, mentions: Mentions): boolean {
  const times = mentions.get(task.mention)?.times ?? 0;
  const wait = Math.max(task.againAfterDays, againDays(times));
  return times < task.mentions && daysSince(task.mention) >= wait;
}

/** Everything that is open on the day or falls due until the last one asked about, mentioned or not. */
export function planRequest(
  input: Pick<MorningInput, "today" | "plants" | "places">,
  scope: RequestScope = {},
): MorningPlan {
  const { today } = input;
  const until = scope.until ?? today.date;
  const here = (place: string | null) => scope.place == null || place === scope.place;
  const ahead = today.later.filter((item) => !isAfter(item.dueOn, until));
  const open = [...today.water, ...ahead].filter((item) => here(item.plant.place));
  return assemble(input, {
    water: open.filter((item) => item.held === null && !item.neverNoted),
    ask: open.filter((item) => item.held === null && item.neverNoted),
    held: open.filter((item) => item.held !== null),
    rests: [],
    feed: today.feed.filter((item) => here(item.plant.place)),
    tasks: today.tasks.filter((task) => scope.place == null || task.place === scope.place),
  });
}

interface Chosen {
  water: readonly WaterDue[];
  ask: readonly WaterDue[];
  held: readonly WaterDue[];
  rests: readonly RestAhead[];
  feed: DueToday["feed"];
  tasks: readonly TaskDue[];
}

const BY_URGENCY = { overdue: 0, due: 1, early: 2 } as const;

function assemble(
  { today, plants, places }: Pick<MorningInput, "today" | "plants" | "places">,
  { water, ask, held, rests, feed, tasks }: Chosen,
): MorningPlan {
  const { date } = today;
  const names: (string | null)[] = [...places];
  const standing = new Set(plants.map((plant) => plant.place));
  if ([...standing].some((place) => place === null || !places.includes(place))) names.push(null);
  const at = (place: string | null, name: string | null) =>
    name === null ? place === null || !places.includes(place) : place === name;

  const lines = linesOf(
    water.map((item) => waterItem(item, waterKeys(item))),
    plants,
    date,
  );
  const feeding = linesOf(feed.map(feedItem), plants, date);
  const found: PlaceMorning[] = names
    .map((place) => ({
      place,
      water: lines
        .filter((line) => at(line.place, place))
        .sort((a, b) => BY_URGENCY[a.status] - BY_URGENCY[b.status]),
      feed: feeding.filter((line) => at(line.place, place)),
      tasks: tasks.filter((task) => task.place !== null && at(task.place, place)),
    }))
    .filter((morning) => morning.water.length + morning.feed.length + morning.tasks.length > 0);
  const busy = new Set(found.map((morning) => morning.place));
  const groups = heldGroups(held, rests, plants, date);
  return {
    date,
    places: found,
    idle: places.filter((place) => standing.has(place) && !busy.has(place)),
    tasks: tasks.filter((task) => task.place === null),
    held: groups,
    ask: linesOf(
      ask.map((item) => waterItem(item, waterKeys(item))),
      plants,
      date,
    ),
    keys: [
      ...water.flatMap(waterKeys),
      ...ask.map(waterKey),
      ...feed.map((item) => item.mention),
      ...tasks.map((task) => task.mention),
      ...groups.flatMap((group) => group.lines.flatMap((line) => line.keys)),
    ],
  };
}

/** Held lines by reason; plants that go to rest stand together, with those whose window is not open yet. */
function heldGroups(
  held: readonly WaterDue[],
  rests: readonly RestAhead[],
  plants: readonly DuePlant[],
  date: Temporal.PlainDate,
): HeldGroup[] {
  const groups = new Map<string, { held: HoldReason; items: WaterDue[] }>();
  for (const item of held) {
    const reason = item.held as HoldReason;
    const key = `${item.plant.place ?? ""}|${reasonKey(reason)}`;
    const group = groups.get(key);
    if (group) group.items.push(item);
    else groups.set(key, { held: reason, items: [item] });
  }
  const waiting = [...groups.values()].map(({ held: reason, items }): HeldGroup => {
    const wants = items.flatMap(({ held: why }) => (why?.why === "cold" ? [why.wantsC] : []));
    const lines = linesOf(
      items.map((item) => waitingItem(item, heldKey(item))),
      plants,
      date,
    );
    const place = items[0]?.plant.place ?? null;
    const wantsC: HeldGroup["wantsC"] = wants.length === 0 ? null : [Math.min(...wants), Math.max(...wants)];
    return { place, held: reason, wantsC, lines };
  });
  const byDay = new Map<string, RestAhead[]>();
  for (const rest of rests) {
    const key = rest.begins.toString();
    byDay.set(key, [...(byDay.get(key) ?? []), rest]);
  }
  const resting = [...byDay.values()].map((group): HeldGroup => {
    const begins = (group[0] as RestAhead).begins;
    return {
      place: null,
      wantsC: null,
      held: { why: "rest near", begins },
      lines: linesOf(
        group.map(({ plant, last }) => waitingItem({ plant, last, status: "due" }, restKey(plant, begins))),
        plants,
        date,
      ),
    };
  });
  return [...waiting, ...resting];
}

function reasonKey(held: HoldReason): string {
  switch (held.why) {
    case "cold":
      return "cold";
    case "damp":
      return "damp";
    case "repotted":
    case "rot":
      return `${held.why}|${held.until}`;
    case "skipped":
    case "postponed":
      return `${held.why}|${held.until}|${held.by ?? ""}`;
    case "rest near":
      return `${held.why}|${held.begins}`;
  }
}
