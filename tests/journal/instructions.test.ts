import { parse } from "csv-parse/sync";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { Instruction } from "../../bot/language/interpretation.js";
import { openEmbeddedStore, type TestStore } from "../support/pglite.js";
import { ALOE, clock, day, Glasshouse, later, watered } from "./glasshouse.js";

let ground: TestStore;
beforeAll(async () => {
  ground = await openEmbeddedStore(clock);
});
afterAll(() => ground.end());

const set = (
  setting: Extract<Instruction, { do: "set" }>["setting"],
  value?: unknown,
  place?: string,
): Instruction => ({
  do: "set",
  setting,
  ...(value === undefined ? {} : { value }),
  ...(place ? { place } : {}),
});
const cel = (value: number) => ({ value, unit: "Cel" });

describe("a setting", () => {
  test.each<[string, Instruction, string | RegExp]>([
    ["floor", set("floor", cel(6), "Long House"), "Long House: kept above 6 °C from now on."],
    [
      "floor in °F",
      set("floor", { value: 41, unit: "[degF]" }, "LH"),
      "Long House: kept above 41 °F from now on.",
    ],
    ["floor of a new place", set("floor", cel(10), "seed frame"), "Places: Seed Frame, kept above 10 °C."],
    ["floor of which of two", set("floor", cel(6)), /^Which place is kept above 6 °C\?/],
    [
      "floor that cannot be",
      set("floor", cel(50), "Long House"),
      /^A floor of 50 °C can not be right; it may be −15 °C to 30 °C/,
    ],
    ["floor without a number", set("floor", "warm", "Long House"), /^I could not read “warm”/],
    [
      "location",
      set("location", "Gdansk"),
      /^Glasshouse at Gda.sk, Poland, zone Europe\/Warsaw, northern hemisphere/,
    ],
    ["location in the south", set("location", "Hobart"), /Australia\/Hobart, southern hemisphere/],
    ["location nowhere", set("location", "Nowhereville"), /^I could not read “Nowhereville”.*Gdansk/],
    ["zone", set("zone", "europe/london"), "Times are Europe/London from now on."],
    ["zone that is none", set("zone", "Mars/Base"), /^I could not read/],
    ["units", set("units", "fahrenheit"), "US units: °F, inches, fl oz."],
    ["units unheard of", set("units", "cubits"), /^I could not read “cubits”/],
    [
      "reminder time",
      set("reminder_time", "06:45"),
      "Morning message at 06:45, when there is something due.",
    ],
    ["reminder time past midnight", set("reminder_time", "25:00"), /^I could not read/],
    [
      "days",
      set("reminder_days", [6, 7, 6]),
      "Morning message on Saturday and Sunday, when there is something due.",
    ],
    ["no days", set("reminder_days", []), /^No morning message any more/],
    ["quiet hours", set("quiet_hours", { from: "21:00", to: "07:00" }), "Quiet from 21:00 to 07:00."],
    ["quiet hours off", set("quiet_hours", "off"), "No quiet hours."],
    [
      "quiet hours of no length",
      set("quiet_hours", { from: "21:00", to: "21:00" }),
      /^That could not be read/,
    ],
    ["danger at night", set("danger_at_night", true), /at once, also in quiet hours/],
    ["a task off", set("reminders", { task: "pest_look", off: true }), "Changed: no reminders of pest look."],
    [
      "a task moved",
      set("task_month", { task: "repot_window", month: 3 }),
      "Changed: repot window in March.",
    ],
    [
      "a task moved nowhere",
      set("task_month", { task: "repot_window", month: 13 }),
      /^That could not be read/,
    ],
    ["another language", set("language", "de"), "Only English is understood so far."],
  ])("%s", async (_what, instruction, said) => {
    const house = await Glasshouse.found(ground.store);
    const text = await house.tell(instruction);
    if (typeof said === "string") expect(text).toBe(said);
    else expect(text).toMatch(said);
  });

  test("that cannot be read changes nothing", async () => {
    const house = await Glasshouse.found(ground.store);
    const before = await house.within((journal) => journal.household());
    for (const instruction of [
      set("zone", "x"),
      set("units", "x"),
      set("reminder_time", "x"),
      set("location", "Nowhereville"),
    ]) {
      await house.tell(instruction);
    }
    expect(await house.within((journal) => journal.household())).toEqual(before);
  });

  test.each<[Instruction, boolean]>([
    [set("units", "metric"), false],
    [{ do: "add_place", place: "shed" }, false],
    [{ do: "remove_place", place: "Long House" }, false],
    [{ do: "rule", rule: { subjects: [ALOE], never: "mist" } }, true],
    [{ do: "undo" }, true],
  ])("in a large group is the administrators': %j", async (instruction, allowed) => {
    const house = await Glasshouse.found(ground.store);
    const text = await house.tell(instruction, { mayChangeSettings: false });
    expect(/administrators/.test(text)).toBe(!allowed);
  });
});

describe("places", () => {
  test("are told with their floors; the first is meant when none is said, and takes in what was logged before", async () => {
    const house = await Glasshouse.found(ground.store, []);
    await house.log(watered(ALOE));
    const { said } = await house.say({
      kind: "instruct",
      instruction: { do: "add_place", place: "long house", value: cel(5) },
      further: [{ do: "add_place", place: "warm bench", value: cel(12) }],
    });
    expect(said?.text).toBe(
      "Places: Long House, kept above 5 °C (meant when no place is said) and Warm Bench, kept above 12 °C.",
    );
    expect(await house.list()).toEqual(["Aloe @ Long House"]);
  });
  test("that are known are changed", async () => {
    const house = await Glasshouse.found(ground.store);
    expect(await house.tell({ do: "add_place", place: "the long house", value: cel(6) })).toMatch(
      /^Changed: Long House, kept above 6 °C/,
    );
  });
  test("that are told again just as they are known are listed, and nothing is called changed", async () => {
    const house = await Glasshouse.found(ground.store);
    const told = await house.tell({ do: "add_place", place: "the long house", value: cel(5) });
    expect(told).toMatch(/^Places: Long House, kept above 5 °C/);
  });
  test("that are removed leave their entries and their plants", async () => {
    const house = await Glasshouse.found(ground.store);
    await house.log({ ...watered(ALOE), place: "Warm Bench" });
    expect(await house.tell({ do: "remove_place", place: "warm bench" })).toMatch(
      /^Warm Bench is no longer a place here/,
    );
    expect(await house.tell({ do: "remove_place", place: "shed" })).toBe(
      "No place called “shed”. Known: Long House.",
    );
    expect(await house.list()).toEqual(["Aloe"]);
    expect(await house.standing()).toHaveLength(1);
  });
});

test("own rules are kept, and lifted by what they are about or the latest", async () => {
  const house = await Glasshouse.found(ground.store);
  const rule = (genus: string, days: number): Instruction => ({
    do: "rule",
    rule: { subjects: [{ genus }], season: "summer", everyDays: { from: days, to: days } },
  });
  expect(await house.tell(rule("Aloe", 10))).toBe(
    "Kept as your own rule: Aloe in summer: water every 10 days (Ines). It goes before the book's.",
  );
  later({ minutes: 1 });
  await house.tell(rule("Agave", 14));
  expect(await house.tell({ do: "forget", subjects: [ALOE] })).toMatch(/^Forgotten: Aloe in summer/);
  expect(await house.tell({ do: "forget" })).toMatch(/^Forgotten: Agave/);
  expect(await house.tell({ do: "forget" })).toBe("No rule of your own on that to forget.");
});

test.each<[string, Instruction, string]>([
  [
    "a day, at the morning's hour",
    { do: "remind", text: "test the heater", when: day("2027-01-22") },
    "Reminder for the group, Fri 22 Jan, in 7 days, 07:30: test the heater.",
  ],
  [
    "nothing, tomorrow",
    { do: "remind", text: "feed", person: "Tomasz" },
    "Reminder for Tomasz, tomorrow, 07:30: feed.",
  ],
  [
    "an hour",
    { do: "remind", text: "vent", when: { from: "2027-01-15T14:00", to: "2027-01-15T15:00", grain: "hour" } },
    "Reminder for the group, today, 14:00: vent.",
  ],
])("a reminder for %s", async (_what, instruction, said) => {
  const house = await Glasshouse.found(ground.store);
  expect(await house.tell(instruction)).toBe(said);
});

test.each<[string, Instruction, string]>([
  [
    "till a month begins",
    {
      do: "snooze",
      subjects: [{ genus: "Lithops" }],
      when: { from: "2027-03-01T00:00", to: "2027-04-01T00:00", grain: "month" },
    },
    "Lithops: no reminders until Mon 1 Mar, in 45 days.",
  ],
  [
    "for a time that has begun",
    { do: "snooze", when: { from: "2027-01-15T00:00", to: "2027-01-22T00:00", grain: "day" } },
    "All tasks: no reminders until Fri 22 Jan, in 7 days.",
  ],
  ["without a time", { do: "snooze" }, "All tasks: no reminders until tomorrow."],
])("a rest from reminders %s", async (_what, instruction, said) => {
  const house = await Glasshouse.found(ground.store);
  expect(await house.tell(instruction)).toBe(said);
});

describe("an export", () => {
  test("holds every entry, also what was undone or replaced, and no formulas", async () => {
    const house = await Glasshouse.found(ground.store);
    await house.log(watered(ALOE), { text: "=HYPERLINK(0)" });
    await house.amend({ when: day("2027-01-12") });
    await house.undo();
    await house.undo();
    const { said } = await house.say({ kind: "instruct", instruction: { do: "export" } });
    const rows = parse(Buffer.from(said?.file?.base64 ?? "", "base64"), { columns: true }) as Record<
      string,
      string
    >[];
    expect(rows.map(({ state }) => state).sort()).toEqual(["replaced", "undone", "undone"]);
    expect(rows.map(({ words }) => words?.charAt(0))).toEqual(["'", "'", "'"]);
    expect(rows[0]).toMatchObject({ act: "water", plants: "Aloe", place: "Long House", person: "Ines" });
  });
  test("as JSON is one", async () => {
    const house = await Glasshouse.found(ground.store);
    await house.log(watered(ALOE));
    const { said } = await house.say({ kind: "instruct", instruction: { do: "export", format: "JSON" } });
    expect(said?.file?.name).toBe("journal-2027-01-15.json");
    expect(JSON.parse(Buffer.from(said?.file?.base64 ?? "", "base64").toString())).toHaveLength(1);
  });
});
