import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { Entry, Question } from "../../bot/language/interpretation.js";
import { openEmbeddedStore, type TestStore } from "../support/pglite.js";
import { AGAVE, ALOE, clock, day, Glasshouse, later, minimum, watered } from "./glasshouse.js";

let ground: TestStore;
beforeAll(async () => {
  ground = await openEmbeddedStore(clock);
});
afterAll(() => ground.end());

const last = (more: Partial<Extract<Question, { about: "last" }>>): Question => ({
  about: "last",
  act: "water",
  ...more,
});

describe("when was it last done", () => {
  test.each<[string, Entry[], Question, string]>([
    ["by genus", [watered(ALOE)], last({ subjects: [ALOE] }), "Aloe: watered, today by Ines, Long House."],
    ["never", [watered(ALOE)], last({ subjects: [AGAVE] }), "Agave: nothing noted as watered yet."],
    ["never, of nothing", [], { about: "last", subjects: [AGAVE] }, "Agave: nothing in the journal yet."],
    [
      "an entry for a tagged one speaks of its genus",
      [watered({ tag: "L-014" })],
      last({ subjects: [ALOE] }),
      "Aloe: watered, today by Ines, Long House.",
    ],
    [
      "an entry for the genus speaks of the tagged one",
      [watered(ALOE)],
      last({ subjects: [{ tag: "L-014" }] }),
      "Spiral (L-014): watered, today by Ines, Long House.",
    ],
    [
      "an exception was not watered",
      [{ ...watered(ALOE), except: [{ tag: "L-014" }] }],
      last({ subjects: [{ tag: "L-014" }] }),
      "Spiral (L-014): nothing noted as watered yet.",
    ],
    [
      "an exception leaves the others",
      [{ ...watered(ALOE), except: [{ tag: "L-014" }] }],
      last({ subjects: [ALOE] }),
      "Aloe: watered, today by Ines, Long House.",
    ],
    [
      "all of one place were",
      [{ act: "water", place: "Warm Bench" }],
      last({ subjects: [{ genus: "Adenium" }] }),
      "Adenium: watered, today by Ines, Warm Bench.",
    ],
    [
      "all of one place does not speak of another",
      [{ ...watered({ all: true }), place: "Warm Bench" }],
      last({ subjects: [ALOE] }),
      "Aloe: nothing noted as watered yet.",
    ],
    [
      "a group by one of it",
      [watered({ genus: "Copiapoa" })],
      last({ subjects: [{ group: "cacti" }] }),
      "Cacti: watered, today by Ines, Long House.",
    ],
    [
      "one of a group by the group",
      [watered({ group: "cacti" })],
      last({ subjects: [{ genus: "Copiapoa" }] }),
      "Copiapoa: watered, today by Ines.",
    ],
    [
      "a group that it was not",
      [watered(ALOE)],
      last({ subjects: [{ group: "cacti" }] }),
      "Cacti: nothing noted as watered yet.",
    ],
    [
      "in a place",
      [{ ...watered(ALOE), place: "Warm Bench" }],
      last({ place: "Long House" }),
      "Nothing noted as watered yet.",
    ],
    [
      "in a place that is only known by its words",
      [{ ...watered(AGAVE), place: "shed" }],
      last({ place: "Shed" }),
      "Agave, shed: watered, today, by Ines.",
    ],
    [
      "another act",
      [{ act: "feed", subjects: [ALOE] }],
      last({ subjects: [ALOE] }),
      "Aloe: nothing noted as watered yet.",
    ],
    [
      "by whom",
      [{ ...watered(ALOE), person: "Priya", when: day("2027-01-12") }],
      last({ subjects: [ALOE] }),
      "Aloe: watered, Tue 12 Jan, 3 days ago by Priya, Long House.",
    ],
  ])("%s", async (_what, entries, question, answer) => {
    const house = await Glasshouse.found(ground.store);
    await house.addPlant({ genus: "Aloe", tag: "L-014", name: "Spiral", place: "Long House" });
    await house.addPlant({ genus: "Adenium", place: "Warm Bench" });
    for (const entry of entries) await house.log(entry);
    expect(await house.ask(question)).toBe(answer);
  });

  test("plants that stand in two places were watered where one of them was", async () => {
    const house = await Glasshouse.found(ground.store);
    for (const place of ["Long House", "Warm Bench"]) await house.addPlant({ genus: "Aloe", place });
    await house.log({ act: "water", place: "Warm Bench" });
    expect(await house.ask(last({ subjects: [ALOE] }))).toBe("Aloe: watered, today by Ines, Warm Bench.");
  });

  test("what was undone counts for nothing", async () => {
    const house = await Glasshouse.found(ground.store);
    await house.log(watered(ALOE));
    await house.undo();
    expect(await house.ask(last({ subjects: [ALOE] }))).toBe("Aloe: nothing noted as watered yet.");
  });
});

describe("a reading", () => {
  const humidity: Entry = {
    act: "reading",
    reading: { quantity: "relative_humidity", statistic: "current", value: 88, unit: "%" },
    place: "Long House",
  };
  test.each<[string, Entry[], Question, string]>([
    [
      "the lowest of a time",
      [
        minimum(6, "Long House"),
        {
          ...minimum(5, "Long House"),
          when: { from: "2027-01-12T18:00", to: "2027-01-13T08:00", grain: "night" },
        },
      ],
      {
        about: "reading",
        quantity: "air_temperature",
        statistic: "min",
        place: "Long House",
        when: { from: "2027-01-11T00:00", to: "2027-01-18T00:00", grain: "week" },
      },
      "Long House: min 5 °C, night of 12 to 13 Jan.\nFrom 2 readings.",
    ],
    [
      "of each place, and where there is none",
      [minimum(6, "Long House")],
      { about: "reading", statistic: "min" },
      "Long House: min 6 °C, night of 14 to 15 Jan.\nNo reading: Warm Bench.",
    ],
    [
      "none at that place",
      [minimum(6, "Long House")],
      { about: "reading", statistic: "min", place: "Warm Bench" },
      "No such reading in the journal for Warm Bench. To log one: “min 4 last night”.",
    ],
    [
      "humidity",
      [humidity],
      { about: "reading", quantity: "relative_humidity", place: "Long House" },
      "Long House: humidity 88 %, today 09:00.",
    ],
    [
      "the mean of the extremes",
      [
        minimum(6, "Long House"),
        {
          ...minimum(0, "Long House"),
          reading: { quantity: "air_temperature", statistic: "max", value: 20, unit: "Cel" },
        },
      ],
      { about: "reading", statistic: "mean", place: "Long House" },
      "Long House: mean 13 °C.\nFrom 2 readings.",
    ],
  ])("%s", async (_what, entries, question, answer) => {
    const house = await Glasshouse.found(ground.store);
    for (const entry of entries) await house.log(entry);
    expect(await house.ask(question)).toBe(answer);
  });

  test("is answered in °F where those are spoken", async () => {
    const house = await Glasshouse.found(ground.store, undefined, { units: "imperial" });
    await house.log({
      ...minimum(0, "Long House"),
      reading: { quantity: "air_temperature", statistic: "min", value: 40.5, unit: "[degF]" },
    });
    expect(await house.ask({ about: "reading", statistic: "min", place: "Long House" })).toMatch(
      /min 40\.5 °F/,
    );
  });
});

describe("what is here", () => {
  test("by name and place, with numbers", async () => {
    const house = await Glasshouse.found(ground.store);
    await house.log({ act: "acquire", subjects: [{ ...ALOE, count: 12 }] });
    await house.log({ ...watered(AGAVE), place: "Warm Bench" });
    expect(await house.ask({ about: "inventory" })).toBe(
      "On the list: 12 Aloe (Long House); Agave (Warm Bench).",
    );
    expect(await house.ask({ about: "inventory", count: true })).toBe(
      "12 plants and 1 kind never counted: 12 Aloe (Long House); Agave (Warm Bench).",
    );
    expect(await house.ask({ about: "inventory", place: "Warm Bench" })).toBe("In Warm Bench: Agave.");
    expect(await house.ask({ about: "inventory", subjects: [{ group: "cacti" }] })).toBe(
      "No cacti on the list yet.",
    );
  });

  test("what was seen, the latest of each, while it holds", async () => {
    const house = await Glasshouse.found(ground.store);
    const up = (count: number): Entry => ({
      act: "germinate",
      subjects: [{ genus: "Copiapoa" }],
      count,
      outOf: 40,
    });
    await house.log(up(9));
    await house.log({ act: "flower", subjects: [ALOE] });
    later({ hours: 24 });
    await house.log(up(12));
    const asked: Question = {
      about: "inventory",
      state: "germinate",
      count: true,
      subjects: [{ genus: "Copiapoa" }],
    };
    expect(await house.ask(asked)).toBe("12 of 40 Copiapoa up, Long House, today, by Ines.");
    expect(await house.ask({ about: "inventory", state: "flower" })).toBe(
      "Aloe, Long House: in flower, yesterday, by Ines.",
    );
    expect(await house.ask({ about: "inventory", count: true, subjects: [{ genus: "Copiapoa" }] })).toMatch(
      /^12 of 40/,
    );
    later({ hours: 24 * 40 });
    expect(await house.ask({ about: "inventory", state: "flower" })).toBe(
      "Nothing noted as in flower lately.",
    );
    expect(await house.ask({ about: "inventory", state: "rot", subjects: [ALOE], place: "Long House" })).toBe(
      "Aloe in Long House: nothing noted as rot lately.",
    );
    expect(await house.ask(asked)).toContain("12 of 40");
  });
});

test("what happened: the latest first, three at once, the rest behind a button", async () => {
  const house = await Glasshouse.found(ground.store);
  for (let days = 1; days <= 6; days++) await house.log({ ...watered(ALOE), when: day(`2027-01-0${days}`) });
  const { said } = await house.say({ kind: "ask", question: { about: "history", subjects: [ALOE] } });
  expect(said?.text.split("\n")).toEqual([
    "Aloe, Long House: watered, Wed 6 Jan, 9 days ago, by Ines.",
    "Aloe, Long House: watered, Tue 5 Jan, 10 days ago, by Ines.",
    "Aloe, Long House: watered, Mon 4 Jan, 11 days ago, by Ines.",
    "And 3 older entries.",
  ]);
  expect(said?.more).toHaveLength(3);
  expect(said?.buttons?.flat().map(({ label }) => label)).toEqual(["More"]);
});

test("nothing of one household is seen by another", async () => {
  const one = await Glasshouse.found(ground.store);
  const other = await Glasshouse.found(ground.store);
  const { entries } = await one.logged(watered(ALOE));
  await one.tell({ do: "rule", rule: { subjects: [ALOE], everyDays: { from: 10, to: 10 } } });
  expect(await other.list()).toEqual([]);
  expect(await other.ask({ about: "last", act: "water", subjects: [ALOE] })).toContain("nothing noted");
  expect(await other.ask({ about: "history" })).toContain("Nothing in the journal");
  expect(await other.within((journal) => journal.entry(entries[0]?.entry.id ?? ""))).toBeNull();
  expect(await other.undo({ replyTo: { messageId: one.lastMessage, fromBot: false } })).toMatch(/^Nothing/);
  expect(await other.within((journal) => journal.rules())).toEqual([]);
  const { said } = await other.say({ kind: "instruct", instruction: { do: "export" } });
  expect(said?.file?.caption).toMatch(/^0 entries/);
});
