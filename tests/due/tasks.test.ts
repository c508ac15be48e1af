import { describe, expect, test } from "vitest";
import { taskKeyOf } from "../../bot/horticulture/due/task-keys.js";
import type { TaskAct, TaskChoices } from "../../bot/horticulture/due/task-types.js";
import { tasksDue } from "../../bot/horticulture/due/tasks.js";
import { readTasks } from "../../db/care/tasks.js";
import { day, place, plant, small, taskView } from "./support.js";

const table = readTasks();
type More = Parameters<typeof taskView>[1];
const due = (on: string, more: More = {}) => tasksDue(taskView(on, more), table, small);
/** Rows that are due, as one finds them in the file. */
const rows = (on: string, more: More = {}) => due(on, more).map(({ row }) => row);
const act = (name: string, on: string, more: Partial<TaskAct> = {}): TaskAct => ({
  act: name,
  place: null,
  genus: null,
  species: null,
  on: day(on),
  text: null,
  ...more,
});
const collection = { plants: [plant("Mammillaria"), plant("Haworthia"), plant("Dioscorea")] };

describe("the year in the north", () => {
  test.each([
    ["repot.prepare", "2026-12-28", true],
    ["repot.prepare", "2026-11-28", false],
    ["repot.now", "2027-01-15", false],
    ["repot.now", "2027-01-22", true],
    ["repot.now", "2027-03-25", true],
    ["seed.order", "2026-11-20", true],
    ["seed.order", "2027-02-20", false],
    ["sow.spring", "2027-04-10", true],
    ["sow.spring", "2027-07-10", false],
    ["sow.autumn", "2027-09-20", true],
    ["shade.on", "2027-04-10", false],
    ["shade.on", "2027-04-25", true],
    ["shade.off", "2027-09-15", true],
    ["frost.insulation", "2026-09-20", true],
    ["frost.insulation", "2026-08-20", false],
    ["frost.heater", "2026-10-01", true],
    ["frost.undo", "2027-05-10", true],
    ["minimum.log", "2027-01-10", true],
    ["minimum.log", "2027-06-10", false],
  ])("%s on %s: %s", (row, on, expected) => {
    expect(rows(on, collection).includes(row)).toBe(expected);
  });

  test.each([
    ["repot.now", "2027-07-22"],
    ["seed.order", "2027-05-20"],
    ["sow.spring", "2027-10-10"],
    ["shade.on", "2027-10-25"],
    ["frost.insulation", "2027-03-25"],
    ["minimum.log", "2027-07-10"],
  ])("%s stands half a year later in the south, on %s", (row, on) => {
    expect(rows(on, { ...collection, latitude: -54.4 })).toContain(row);
  });

  test("sowing of winter growers is told to who keeps some", () => {
    expect(rows("2027-09-20", { plants: [plant("Mammillaria")] })).not.toContain("sow.autumn");
  });
});

describe("done and undone", () => {
  test.each<[string, string, TaskAct, string]>([
    ["an act of the row", "2027-04-28", act("shade", "2027-04-22", { place: "Long House" }), "shade.on"],
    ["one done a little early", "2027-04-28", act("shade", "2027-04-02"), "shade.on"],
    ["insulation", "2026-10-01", act("insulate", "2026-09-25"), "frost.insulation"],
    [
      "a note that names it",
      "2026-10-01",
      act("note", "2026-09-25", { text: "spare heat at hand" }),
      "frost.spare",
    ],
    ["an order", "2026-12-02", act("order", "2026-11-20"), "seed.order"],
    ["a pest that was seen", "2027-06-20", act("pest", "2027-06-01"), "pest.monthly"],
  ])("%s ends it", (_, on, done, row) => {
    expect(rows(on, collection)).toContain(row);
    expect(rows(on, { ...collection, acts: [done] })).not.toContain(row);
  });

  test("last year's doing does not count for this year", () => {
    expect(rows("2027-04-28", { ...collection, acts: [act("shade", "2026-04-22")] })).toContain("shade.on");
  });

  test("another place's doing does not count for this one", () => {
    const places = [place(), place({ name: "Seed House" })];
    const acts = [act("shade", "2027-04-22", { place: "Seed House" })];
    const shading = due("2027-04-28", { ...collection, places, acts }).filter(
      ({ row }) => row === "shade.on",
    );
    expect(shading.map((task) => task.place)).toEqual(["Long House"]);
  });

  test("the pest look-over comes back a month after it was done", () => {
    const acts = [act("note", "2027-06-01", { text: "pest look-over: nothing found" })];
    expect(rows("2027-06-25", { ...collection, acts })).not.toContain("pest.monthly");
    expect(rows("2027-07-01", { ...collection, acts })).toContain("pest.monthly");
  });

  test("repotting is for those that were not repotted lately", () => {
    const of = (done: string[]) =>
      due("2027-02-10", { plants: [plant("Mammillaria")], done }).some(({ row }) => row === "repot.now");
    expect(of([])).toBe(true);
    expect(of(["repot 2026-02-10"])).toBe(false);
    expect(of(["repot 2024-02-10"])).toBe(true);
  });
});

describe("what a group chose", () => {
  test.each<[string, TaskChoices, string, string, boolean]>([
    ["no pest reminders", { pest: { off: true } }, "2027-06-20", "pest.monthly", false],
    ["no frost reminders", { frost: { off: true } }, "2026-10-01", "frost.heater", false],
    ["we repot in March: nothing in January", { repot: { month: 3 } }, "2027-01-25", "repot.now", false],
    ["we repot in March: in March", { repot: { month: 3 } }, "2027-03-02", "repot.now", true],
    ["we repot in March: ready in February", { repot: { month: 3 } }, "2027-02-10", "repot.prepare", true],
    ["we shade in March", { shade: { month: 3 } }, "2027-03-05", "shade.on", true],
    ["we get ready for frost in September", { frost: { month: 9 } }, "2026-09-03", "frost.insulation", true],
  ])("%s", (_, choices, on, row, expected) => {
    expect(rows(on, { plants: [plant("Mammillaria")], choices }).includes(row)).toBe(expected);
  });
});

describe("the first frost", () => {
  test("comes earlier in the north and later in the mild south of the band", () => {
    const firstDay = (latitude: number) => {
      for (let on = day("2026-07-01"); ; on = on.add({ days: 1 })) {
        if (rows(on.toString(), { ...collection, latitude }).includes("frost.heater")) return on.toString();
      }
    };
    expect(firstDay(64)).toBe("2026-08-13");
    expect(firstDay(54.4)).toBe("2026-09-14");
    expect(firstDay(38)).toBe("2026-10-13");
  });
  test("is not asked after in the tropics", () => {
    expect(rows("2026-10-01", { ...collection, latitude: 10 })).not.toContain("frost.heater");
  });
  test("goes by what was measured, if that was earlier", () => {
    expect(rows("2026-09-02", collection)).not.toContain("frost.heater");
    expect(rows("2026-09-02", { ...collection, frostDays: ["2025-09-25"] })).toContain("frost.heater");
  });
  test("is at the door when it is two degrees outdoors", () => {
    expect(rows("2026-09-08", { ...collection, outdoorMinC: 1.5 })).toContain("frost.heater");
    expect(rows("2027-03-08", { ...collection, outdoorMinC: 1.5 })).not.toContain("frost.heater");
  });
});

describe("minima of the frost season", () => {
  test.each([
    ["2027-01-15", false],
    ["2027-01-13", false],
    ["2027-01-12", true],
  ])("last noted %s, asked on the 15th: %s", (last, asked) => {
    expect(
      rows("2027-01-15", { ...collection, lastMinimum: { "Long House": last } }).includes("minimum.log"),
    ).toBe(asked);
  });
  test("are not asked of a living room", () => {
    const places = [place({ name: "Living Room", kind: null })];
    expect(rows("2027-01-15", { ...collection, places })).not.toContain("minimum.log");
  });
});

describe("what follows an entry", () => {
  const lithops = { genus: "Haworthia" };
  test.each<[string, string, TaskAct[], string, boolean]>([
    [
      "new plants are kept apart",
      "2027-05-12",
      [act("acquire", "2027-05-11", lithops)],
      "quarantine.keep",
      true,
    ],
    ["for three weeks", "2027-06-02", [act("acquire", "2027-05-11", lithops)], "quarantine.end", true],
    ["and not for ever", "2027-07-02", [act("acquire", "2027-05-11", lithops)], "quarantine.end", false],
    [
      "covers off two weeks after germination",
      "2027-05-01",
      [act("germinate", "2027-04-15", lithops)],
      "sow.covers",
      true,
    ],
    ["not at once", "2027-04-20", [act("germinate", "2027-04-15", lithops)], "sow.covers", false],
    [
      "pricking out of succulents in summer",
      "2027-07-01",
      [act("germinate", "2027-04-15", lithops)],
      "prick.succulents",
      true,
    ],
    [
      "pricking out of cacti the year after",
      "2027-07-01",
      [act("germinate", "2027-04-15", { genus: "Mammillaria" })],
      "prick.cacti",
      false,
    ],
    [
      "when spring has come",
      "2028-02-20",
      [act("germinate", "2027-04-25", { genus: "Mammillaria" })],
      "prick.cacti",
      true,
    ],
    [
      "done already",
      "2027-07-01",
      [act("prick_out", "2027-06-20", lithops), act("germinate", "2027-04-15", lithops)],
      "prick.succulents",
      false,
    ],
  ])("%s", (_, on, acts, row, expected) => {
    expect(rows(on, { ...collection, acts }).includes(row)).toBe(expected);
  });
});

describe("the file", () => {
  test("has unique rows and words that can be switched off", () => {
    expect(new Set(table.tasks.map(({ id }) => id)).size).toBe(table.tasks.length);
    const keys = new Set(table.tasks.map(({ key }) => key));
    for (const key of [
      "feed",
      "repot",
      "seed",
      "sow",
      "cover",
      "prick",
      "shade",
      "pest",
      "quarantine",
      "frost",
      "minimum",
      "rest",
    ]) {
      expect(keys).toContain(key);
    }
  });
  test("never repeats within three days", () => {
    expect(table.tasks.filter(({ againDays }) => againDays < 3)).toEqual([]);
  });
});

describe("what people call a task", () => {
  test.each([
    ["pest", "pest"],
    ["pests", "pest"],
    ["pest reminders", "pest"],
    ["Repotting", "repot"],
    ["repot", "repot"],
    ["prick_out", "prick"],
    ["seed orders", "seed"],
    ["order", "seed"],
    ["shading", "shade"],
    ["frost", "frost"],
    ["bubble wrap", "frost"],
    ["insulate", "frost"],
    ["temperature", "minimum"],
    ["reading", "minimum"],
    ["watering", "water"],
    ["poetry", null],
  ])("%s", (words, key) => {
    expect(taskKeyOf(words, table.tasks)).toBe(key);
  });
});
