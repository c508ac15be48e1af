import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, test } from "vitest";
import { CARE_DIR } from "../../db/care/csv.js";
import { readTasks } from "../../db/care/tasks.js";
import { readWeather } from "../../db/weather/read.js";
import { day } from "./support.js";

const dir = mkdtempSync(join(tmpdir(), "areole-tasks-"));
afterAll(() => rmSync(dir, { recursive: true }));
const tasks = readFileSync(join(CARE_DIR, "tasks.csv"), "utf8");
const frost = readFileSync(join(CARE_DIR, "tasks-frost.csv"), "utf8");

function given(text: string, dates = frost) {
  writeFileSync(join(dir, "tasks.csv"), text);
  writeFileSync(join(dir, "tasks-frost.csv"), dates);
  return () => readTasks(dir);
}

describe("the file of tasks", () => {
  test("is read as it stands", () => {
    expect(given(tasks)().tasks.length).toBe(readTasks().tasks.length);
  });
  test.each([
    ["a word for a month", "11-12,15", "Nov,15", /tasks\.csv, line 6: months/],
    ["a month too many", "11-12,15", "11-13,15", /line 6: months.*1 to 12/],
    ["an unknown trigger", "rest.stop,rest", "rest.stop,rest", null],
    ["a trigger that is none", ",,rest,taxa", ",,sleep,taxa", /trigger: "sleep" is none of/],
    ["a key of two words", "seed.order,seed,", "seed.order,seed order,", /key: "seed order"/],
    ["days that run backwards", "14-35", "35-14", /after_days: 35 lies above 14/],
    ["an unknown basis", "common practice", "hearsay", /basis: "hearsay"/],
    ["an id twice", "sow.autumn,", "sow.spring,", /id: "sow.spring" stands twice/],
  ])("%s", (_, from, to, problem) => {
    const read = given(tasks.replace(from, to));
    if (problem === null) expect(read).not.toThrow();
    else expect(read).toThrow(problem);
  });
  test("a frost date that is none", () => {
    expect(given(tasks, frost.replace("10-12", "mid October"))).toThrow(/first_frost/);
  });
});

describe("the weather", () => {
  const series = readWeather();
  test("is there for every day of a leap year and of any other, round and round", () => {
    for (const year of [2023, 2024, 2028, 2041]) {
      for (let on = day(`${year}-01-01`); on.year === year; on = on.add({ days: 1 })) {
        expect(series.on(on).minC).toBeLessThan(series.on(on).maxC);
        expect(series.on(on, "south").humidity).toBeGreaterThan(0);
      }
    }
  });
  test("is half a year off in the south", () => {
    expect(series.on(day("2027-07-15"), "south")).toEqual(series.on(day("2028-01-15")));
  });
  test("has cold snaps, a heat wave and damp spells", () => {
    const days = Array.from({ length: 1461 }, (_, index) =>
      series.on(day("2025-01-01").add({ days: index })),
    );
    expect(Math.min(...days.map(({ minC }) => minC))).toBeLessThan(-15);
    expect(Math.max(...days.map(({ maxC }) => maxC))).toBeGreaterThan(30);
    expect(days.filter(({ humidity }) => humidity >= 95).length).toBeGreaterThan(20);
  });
  test.each([
    ["no number", "date,min_c,max_c,humidity\n2027-01-01,cold,3,80\n", /min_c: "cold" is no number/],
    ["a minimum above the maximum", "date,min_c,max_c,humidity\n2027-01-01,5,3,80\n", /minimum lies above/],
    ["nothing", "date,min_c,max_c,humidity\n", /holds no day/],
  ])("%s", (_, text, problem) => {
    writeFileSync(join(dir, "bad.csv"), text);
    expect(() => readWeather("bad.csv", dir)).toThrow(problem);
  });
});
