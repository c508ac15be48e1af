import type { Temporal } from "temporal-polyfill";
import { beforeAll, describe, expect, test } from "vitest";
import type { MorningPlan } from "../../bot/horticulture/due/plan-types.js";
import type { DueToday } from "../../bot/horticulture/due/today.js";
import { seasonOn } from "../../bot/horticulture/seasons.js";
import { planRequest } from "../../bot/nudges/plan-morning.js";
import { acceptedBy, parseHousehold } from "../../bot/simulation/household.js";
import type { KeeperKind } from "../../bot/simulation/keeper.js";
import type { SimItem, SimLine } from "../../bot/simulation/lines.js";
import { simulate } from "../../bot/simulation/run.js";
import { Tally } from "../../bot/simulation/tally.js";
import { readTasks } from "../../db/care/tasks.js";
import { readWeather } from "../../db/weather/read.js";
import { knowledge } from "../horticulture/knowledge.js";
import { collectionFile } from "../support/collection.js";
import { day } from "./support.js";

/**
 * Three years of 300 plants of 80 genera. The checks read the printed lines and the care table by the calendar's
 * seasons alone, without the engine that made them.
 */
const FROM = "2026-09-01";
const TO = "2029-09-01";
const series = readWeather();
const tasks = readTasks();

interface Ran {
  lines: SimLine[];
  tally: Tally;
  hemisphere: "north" | "south";
}

function ran(
  keeper: KeeperKind,
  { latitude = 54.4, zone = "Europe/Warsaw", to = TO, plants = 300 } = {},
  onDay?: (plan: MorningPlan | null, today: DueToday) => void,
): Ran {
  const file = JSON.stringify(collectionFile(knowledge, { latitude, zone, plants }));
  const household = parseHousehold(file, day(FROM), acceptedBy(knowledge.index));
  const tally = new Tally();
  const { hemisphere } = household;
  const parts = { household, keeper, from: day(FROM), to: day(to), knowledge, tasks, tally };
  const weather = (date: Temporal.PlainDate) => series.on(date, hemisphere);
  const lines = [...simulate({ ...parts, weather, ...(onDay ? { onDay } : {}) })];
  return { lines, tally, hemisphere };
}

const ruleOn = (taxon: string, date: Temporal.PlainDate, hemisphere: "north" | "south") => {
  const name = taxon.replace(/ '.*'$/, "");
  const found = knowledge.lookup.find(name);
  if (!found) throw new Error(`${taxon} has no rule`);
  return found.rules[seasonOn(date, hemisphere)].water;
};
const keyOf = (item: SimItem) => item.tag ?? `${item.taxon}|${item.place}`;
const between = (a: string, b: string) => day(a).until(day(b.slice(0, 10)), { largestUnit: "day" }).days;

/** What an outsider finds wrong in the lines of an obedient keeper. */
function faultsOf({ lines, hemisphere }: Ran): string[] {
  const faults: string[] = [];
  const last = new Map<string, string>();
  const held = new Set<string>();
  for (const { at, type, items } of lines) {
    const date = day(at.slice(0, 10));
    for (const item of items) {
      if (item.act !== "water" || item.taxon === null) continue;
      const key = keyOf(item);
      const before = last.get(key);
      const rule = ruleOn(item.taxon, date, hemisphere);
      const waited = before === undefined ? null : between(before, at);
      const who = `${at} ${key} ${item.taxon}`;
      if (type === "morning") {
        if (item.held !== null) held.add(key);
        else if (item.status !== "early" && waited !== null && rule.days && waited < rule.days[0]) {
          faults.push(`${who}: due after ${waited} days, before the early edge ${rule.days[0]}`);
        }
      }
      if (type !== "entry") continue;
      if (rule.mode === "none") faults.push(`${who}: watered in its rest without water`);
      const earlier = before === undefined ? null : ruleOn(item.taxon, day(before), hemisphere).days;
      const latest = Math.max(rule.days?.[1] ?? 0, earlier?.[1] ?? 0);
      const named = held.has(key) || item.reason !== undefined;
      if (waited !== null && waited > latest && !named) {
        faults.push(`${who}: waited ${waited} days, the range ends at ${latest}, and no reason was named`);
      }
      last.set(key, at.slice(0, 10));
      held.delete(key);
    }
  }
  return faults;
}

/** Readings under their floor that no danger message of the same day answers. */
function missedAlarms({ lines }: Ran): string[] {
  const answered = new Set<string>();
  for (const { at, type, items } of lines) {
    if (type === "danger") for (const item of items) answered.add(`${at.slice(0, 10)} ${item.place}`);
  }
  return lines.flatMap(({ at, type, items }) =>
    type !== "reading"
      ? []
      : items
          .filter(({ floor, value }) => typeof floor === "number" && (value as number) < floor - 0.05)
          .map(({ place }) => `${at.slice(0, 10)} ${place}`)
          .filter((night) => !answered.has(night)),
  );
}

const mornings = ({ lines }: Ran) => lines.filter(({ type }) => type === "morning");

describe.each([
  ["north, three years", { latitude: 54.4, zone: "Europe/Warsaw" }],
  ["south, a year and a half", { latitude: -36, zone: "Australia/Lord_Howe", to: "2028-03-01" }],
])("an obedient keeper in the %s", (_, where) => {
  let years: Ran;
  beforeAll(() => {
    years = ran("obedient", where);
  }, 120_000);

  test("waters no plant in its rest, none too soon, none too late without a reason", () => {
    expect(faultsOf(years)).toEqual([]);
    expect(years.lines.filter(({ type }) => type === "entry").length).toBeGreaterThan(500);
  });
  test("misses no alarm", () => {
    expect(missedAlarms(years)).toEqual([]);
    expect(years.lines.some(({ type }) => type === "danger")).toBe(true);
  });
  test("has one morning message a day at most, at half past seven", () => {
    const times = mornings(years).map(({ at }) => at);
    expect(new Set(times.map((at) => at.slice(0, 10))).size).toBe(times.length);
    expect(new Set(times.map((at) => at.slice(11)))).toEqual(new Set(["07:30"]));
  });
  test("breaks none of the engine's own rules", () => {
    expect([...years.tally.violations]).toEqual([]);
  });
  test("prints its lines in order", () => {
    const times = years.lines.map(({ at }) => at);
    expect(times).toEqual([...times].sort());
  });
});

describe("a forgetful keeper", () => {
  let years: Ran;
  const unlisted: string[] = [];
  beforeAll(() => {
    years = ran("forgetful", { to: "2028-09-01" }, (_, today) => {
      const answer = planRequest({
        today,
        plants: [],
        places: ["Long House", "Warm Bench", "Cold Frame House"],
      });
      const named = new Set(
        [
          ...answer.places.flatMap(({ water }) => water),
          ...answer.held.flatMap(({ lines }) => lines),
          ...answer.ask,
        ].flatMap(({ plants }) => plants.map(({ id }) => id)),
      );
      for (const item of today.water) {
        if (item.status === "overdue" && !named.has(item.plant.id))
          unlisted.push(`${today.date} ${item.plant.id}`);
      }
    });
  }, 120_000);

  test("is told the same thing at most every third day", () => {
    const told = new Map<string, string>();
    const nagged: string[] = [];
    for (const { at, items } of mornings(years)) {
      for (const item of items) {
        const key = `${item.act} ${item.row ?? ""} ${keyOf(item)} ${item.last} ${item.held === null}`;
        const before = told.get(key);
        if (before !== undefined && between(before, at) < 3) nagged.push(`${at} ${key}`);
        told.set(key, at.slice(0, 10));
      }
    }
    expect(nagged).toEqual([]);
  });
  test("finds everything overdue when asking", () => {
    expect(unlisted).toEqual([]);
  });
  test("breaks none of the engine's own rules", () => {
    expect([...years.tally.violations]).toEqual([]);
  });
});

test("a keeper who does nothing is asked once and then left alone", () => {
  const { lines } = ran("none", { to: "2027-09-01", plants: 60 });
  const asked = lines.flatMap(({ items }) =>
    items.filter(({ ask, held }) => ask === true && held === null).map(keyOf),
  );
  expect(asked.length).toBeGreaterThan(20);
  expect(new Set(asked).size).toBe(asked.length);
  expect(lines.every(({ type }) => type === "morning")).toBe(true);
});

test("the same household, keeper and days give the same lines", () => {
  const once = ran("lazy", { to: "2026-12-01", plants: 40 });
  expect(JSON.stringify(ran("lazy", { to: "2026-12-01", plants: 40 }).lines)).toBe(
    JSON.stringify(once.lines),
  );
});
