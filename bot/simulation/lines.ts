import { Temporal } from "temporal-polyfill";
import type { Range } from "../horticulture/care.js";
import type { FeedDue, TaskDue } from "../horticulture/due/task-types.js";
import type { RestAhead } from "../horticulture/due/today.js";
import type { DuePlant, DueStatus, HoldReason, WaterDue } from "../horticulture/due/types.js";

/** The lines that a simulation prints, one JSON object each. */

/** Which row of the care table an item rests on. */
export interface RuleUsed {
  season: string;
  phase: string;
  mode: string;
  days: Range | null;
  /** Days that the place runs ahead of the calendar. */
  shiftDays: number;
}

export interface SimItem {
  act: string;
  taxon: string | null;
  tag: string | null;
  place: string | null;
  status: DueStatus | null;
  held: string | null;
  last: string | null;
  window: [string, string] | null;
  [extra: string]: unknown;
}

export interface SimLine {
  /** Local wall-clock of the household's zone, "2027-01-15T07:30". */
  at: string;
  type: "morning" | "danger" | "entry" | "reading";
  items: SimItem[];
}

export const taxonOf = (plant: Pick<DuePlant, "genus" | "species" | "cultivar">): string =>
  [plant.genus, plant.species, plant.cultivar === null ? null : `'${plant.cultivar}'`]
    .filter((word) => word !== null)
    .join(" ");

const ofPlant = (plant: DuePlant) => ({ taxon: taxonOf(plant), tag: plant.tag, place: plant.place });

export function heldText(held: HoldReason): string {
  switch (held.why) {
    case "cold":
      return `cold: ${held.coldestC} °C in the last nights, moist roots want ${held.wantsC} °C`;
    case "damp":
      return `damp: humidity never under ${held.leastRh} % in the last days`;
    case "repotted":
      return `repotted on ${held.on}: dry until ${held.until}`;
    case "rot":
      return `rot on ${held.on}: dry until ${held.until}`;
    case "skipped":
      return `skipped on ${held.on}: until ${held.until}`;
    case "postponed":
      return `put off by ${held.by} until ${held.until}`;
    case "rest near":
      return `rest without water begins ${held.begins}`;
  }
}

export function ruleUsed(item: WaterDue): RuleUsed {
  const { care, at, days } = item;
  const { season, phase } = care.rule;
  return { season, phase, mode: care.mode, days, shiftDays: at.shiftDays };
}

export function waterItem(item: WaterDue): SimItem {
  return {
    act: "water",
    ...ofPlant(item.plant),
    status: item.status,
    held: item.held === null ? null : heldText(item.held),
    last: item.last?.toString() ?? null,
    window: [item.window[0].toString(), item.window[1].toString()],
    due: item.dueOn.toString(),
    mode: item.mode,
    rule: ruleUsed(item),
    ...(item.pulls.length > 0 ? { moved: item.pulls } : {}),
    ...(item.neverNoted ? { ask: true } : {}),
  };
}

export const restItem = ({ plant, begins, last }: RestAhead): SimItem => ({
  act: "water",
  ...ofPlant(plant),
  status: "early",
  held: `rest without water begins ${begins}`,
  last: last?.toString() ?? null,
  window: null,
});

export const feedItem = (item: FeedDue): SimItem => ({
  act: "feed",
  ...ofPlant(item.plant),
  status: item.status,
  held: null,
  last: item.last?.toString() ?? null,
  window: null,
  due: item.dueOn.toString(),
  feed: item.feed,
});

export function taskItems(task: TaskDue): SimItem[] {
  const common = {
    act: task.act,
    status: task.status,
    held: null,
    last: task.last?.toString() ?? null,
    window: [task.from.toString(), task.until.toString()] as [string, string],
    task: task.task,
    row: task.row,
    words: task.words,
  };
  if (task.plants.length === 0) return [{ ...common, taxon: null, tag: null, place: task.place }];
  return task.plants.map((plant) => ({ ...common, ...ofPlant(plant) }));
}

/** An act of the keeper on a place or the household. */
export const placeAct = (
  act: string,
  place: string | null,
  extra: Record<string, unknown> = {},
): SimItem => ({
  act,
  taxon: null,
  tag: null,
  place,
  status: null,
  held: null,
  last: null,
  window: null,
  ...extra,
});

export const wallClock = (at: Temporal.PlainDateTime): string => at.toString({ smallestUnit: "minute" });

export const timeOn = (date: Temporal.PlainDate, minutes: number): Temporal.PlainDateTime =>
  date.toPlainDateTime(new Temporal.PlainTime(Math.floor(minutes / 60), minutes % 60));

/** "07:30" in minutes after midnight. */
export const minutesOf = (time: string): number => Number(time.slice(0, 2)) * 60 + Number(time.slice(3));

export const reading = (
  quantity: string,
  statistic: string,
  place: string | null,
  value: number,
  unit: string,
  extra: Record<string, unknown> = {},
): SimItem => placeAct("reading", place, { quantity, statistic, value, unit, ...extra });

/** Dangers that are said in the same minute are one message. */
export function together(lines: readonly SimLine[]): SimLine[] {
  const joined: SimLine[] = [];
  for (const line of lines) {
    const before =
      line.type === "danger"
        ? joined.find(
            ({ at, type, items }) =>
              type === "danger" && at === line.at && items[0]?.say === line.items[0]?.say,
          )
        : undefined;
    if (before) before.items.push(...line.items);
    else joined.push({ ...line, items: [...line.items] });
  }
  return joined;
}
