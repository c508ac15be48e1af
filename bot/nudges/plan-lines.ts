import type { Temporal } from "temporal-polyfill";
import type { SubjectLike } from "../horticulture/coverage.js";
import { daysFrom, isBefore } from "../horticulture/due/days.js";
import type { MorningLine } from "../horticulture/due/plan-types.js";
import type { FeedDue } from "../horticulture/due/task-types.js";
import type { DuePlant, DueStatus, WaterDue } from "../horticulture/due/types.js";

/** Items of plants put together as a grower would say them: one line a taxon and place. */

const STATUS_RANK: Readonly<Record<DueStatus, number>> = { early: 0, due: 1, overdue: 2 };

/** A habit is told where it differs from the book by so much. */
const HABIT_TOLD_DAYS = 2;

/** One plant's part of a line. */
export interface LineItem extends Pick<MorningLine, "act" | "mode" | "afterRest" | "feed" | "habitDays"> {
  plant: DuePlant;
  last: Temporal.PlainDate | null;
  status: DueStatus;
  /** Mention keys. */
  keys: readonly string[];
}

export function waterItem(item: WaterDue, keys: readonly string[]): LineItem {
  const { plant, last, status, mode, afterRest, pulls } = item;
  const habit = pulls.find((pull) => pull.by === "habit");
  return {
    act: "water",
    plant,
    last,
    status,
    mode,
    afterRest,
    habitDays: habit && Math.abs(habit.days) >= HABIT_TOLD_DAYS ? habit.medianDays : null,
    feed: null,
    keys,
  };
}

/** What waits says nothing of how much, so that plants of one genus fall together. */
export const waitingItem = (
  { plant, last, status }: Pick<WaterDue, "plant" | "last" | "status">,
  key: string,
): LineItem => ({
  act: "water",
  plant,
  last,
  status,
  mode: "none",
  afterRest: false,
  habitDays: null,
  feed: null,
  keys: [key],
});

export const feedItem = ({ plant, last, status, feed, mention }: FeedDue): LineItem => ({
  act: "feed",
  plant,
  last,
  status,
  mode: "normal",
  afterRest: false,
  habitDays: null,
  feed,
  keys: [mention],
});

/** Lines by genus and manner, each in one place; `all` are the household's plants, for who else stands there. */
export function linesOf(
  items: readonly LineItem[],
  all: readonly DuePlant[],
  date: Temporal.PlainDate,
): MorningLine[] {
  return grouped(items).map((group) => {
    const { act, mode, afterRest, feed, plant } = group[0] as LineItem;
    const plants = group.map((item) => item.plant);
    const lasts = group.map((item) => item.last).filter((last) => last !== null);
    const last = lasts.reduce<Temporal.PlainDate | null>(
      (a, b) => (a === null || isBefore(b, a) ? b : a),
      null,
    );
    const habits = group.flatMap(({ habitDays }) => (habitDays === null ? [] : [habitDays]));
    const status = group.reduce<DueStatus>(
      (worst, item) => (STATUS_RANK[item.status] > STATUS_RANK[worst] ? item.status : worst),
      "early",
    );
    return {
      act,
      mode,
      afterRest,
      feed,
      ...labelOf(plants, all),
      place: plant.place,
      plants,
      last,
      daysSince: last === null ? null : daysFrom(last, date),
      status,
      habitDays: habits.length === group.length ? (habits[0] ?? null) : null,
      keys: group.flatMap((item) => item.keys),
    };
  });
}

/** Stable groups of one place each, in the order in which their first items came. */
function grouped(items: readonly LineItem[]): LineItem[][] {
  const groups = new Map<string, LineItem[]>();
  for (const item of items) {
    const { plant, mode, afterRest, feed } = item;
    const key = [plant.place ?? "", plant.genus, mode, afterRest, feed ?? ""].join("|");
    const group = groups.get(key);
    if (group) group.push(item);
    else groups.set(key, [item]);
  }
  return [...groups.values()];
}

/**
 * The shortest words that mean exactly these plants in their place: the genus if all of it there is meant, else
 * species of which all are, else tags and names.
 */
export function labelOf(
  plants: readonly DuePlant[],
  all: readonly DuePlant[],
): Pick<MorningLine, "genus" | "species" | "tag" | "name" | "subjects"> {
  const first = plants[0] as DuePlant;
  const { genus, place } = first;
  const meant = new Set(plants.map((plant) => plant.id));
  const there = all.filter((plant) => plant.genus === genus && plant.place === place);
  const whole = (of: readonly DuePlant[]) => of.every((plant) => meant.has(plant.id));
  const single = plants.length === 1;
  if (whole(there) && !(single && first.tag !== null)) {
    const species = new Set(plants.map((plant) => plant.species));
    return {
      genus,
      species: single || species.size === 1 ? first.species : null,
      tag: null,
      name: null,
      subjects: [{ genus }],
    };
  }
  const subjects: SubjectLike[] = [];
  const bySpecies = new Map<string | null, DuePlant[]>();
  for (const plant of plants) {
    bySpecies.set(plant.species, [...(bySpecies.get(plant.species) ?? []), plant]);
  }
  for (const [species, held] of bySpecies) {
    const same = there.filter((plant) => plant.species === species);
    if (species !== null && whole(same) && held.some((plant) => plant.tag === null)) {
      subjects.push({ genus, species });
    } else subjects.push(...held.map(subjectOf));
  }
  return {
    genus,
    species: bySpecies.size === 1 ? first.species : null,
    tag: single ? first.tag : null,
    name: single ? first.name : null,
    subjects,
  };
}

export function subjectOf(plant: DuePlant): SubjectLike {
  if (plant.tag !== null) return { tag: plant.tag };
  return {
    genus: plant.genus,
    ...(plant.species === null ? {} : { species: plant.species }),
    ...(plant.cultivar === null ? {} : { cultivar: plant.cultivar }),
  };
}
