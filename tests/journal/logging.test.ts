import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { Entry } from "../../bot/language/interpretation.js";
import { openEmbeddedStore, type TestStore } from "../support/pglite.js";
import { AGAVE, ALOE, BOTH_PLACES, clock, Glasshouse, later, minimum, watered } from "./glasshouse.js";

let ground: TestStore;
beforeAll(async () => {
  ground = await openEmbeddedStore(clock);
});
afterAll(() => ground.end());

describe("the place of an entry", () => {
  const none: typeof BOTH_PLACES = [];
  const [long = { name: "" }] = BOTH_PLACES;
  test.each<[string, typeof BOTH_PLACES, Entry, string]>([
    ["said", BOTH_PLACES, { ...watered(ALOE), place: "Warm Bench" }, "Aloe, Warm Bench: watered, today."],
    [
      "said by its alias",
      BOTH_PLACES,
      { ...watered(ALOE), place: "lh" },
      "Aloe, Long House: watered, today.",
    ],
    [
      "said with an article",
      BOTH_PLACES,
      { ...watered(ALOE), place: "the warm-bench" },
      "Aloe, Warm Bench: watered, today.",
    ],
    [
      "unknown, its words kept",
      BOTH_PLACES,
      { ...watered(ALOE), place: "seed frame" },
      "Aloe, seed frame: watered, today.",
    ],
    ["not said, the default one", BOTH_PLACES, watered(AGAVE), "Agave, Long House: watered, today."],
    [
      "not said, where the plants stand",
      BOTH_PLACES,
      watered({ genus: "Adenium" }),
      "Adenium, Warm Bench: watered, today.",
    ],
    [
      "not said, the only one",
      [long as (typeof BOTH_PLACES)[0]],
      watered(AGAVE),
      "Agave, Long House: watered, today.",
    ],
    ["not said, none known", none, watered(AGAVE), "Agave: watered, today."],
    ["of everything, all of them", BOTH_PLACES, watered({ all: true }), "Everything: watered, today."],
    ["of an order, none", BOTH_PLACES, { act: "order", subjects: [ALOE] }, "Aloe: ordered, today."],
    [
      "of the outdoors, none",
      BOTH_PLACES,
      {
        act: "reading",
        reading: { quantity: "outdoor_temperature", statistic: "min", value: -6, unit: "Cel" },
      },
      "Outdoors: min −6 °C, today.",
    ],
  ])("%s", async (_what, places, entry, line) => {
    const house = await Glasshouse.found(ground.store, places);
    if (places.length > 1) await house.addPlant({ genus: "Adenium", place: "Warm Bench" });
    expect(await house.log(entry)).toBe(line);
  });
});

describe("the list of plants", () => {
  test.each<[string, Entry[], string[]]>([
    ["learns a taxon that was cared for", [watered(ALOE)], ["Aloe @ Long House"]],
    ["learns it once", [watered(ALOE), watered(ALOE)], ["Aloe @ Long House"]],
    [
      "learns it in a second place when that is said",
      [watered(ALOE), { ...watered(ALOE), place: "Warm Bench" }],
      ["Aloe @ Long House", "Aloe @ Warm Bench"],
    ],
    [
      "does not learn it again where it is known to stand",
      [
        { ...watered(ALOE), place: "Warm Bench" },
        { ...watered(ALOE), place: "Warm Bench" },
      ],
      ["Aloe @ Warm Bench"],
    ],
    [
      "learns what was left out on purpose",
      [{ act: "skip", subjects: [{ genus: "Lithops" }] }],
      ["Lithops @ Long House"],
    ],
    [
      "does not learn what was sown, ordered or lost",
      [
        { act: "sow", subjects: [{ genus: "Copiapoa" }], count: 40 },
        { act: "order", subjects: [AGAVE] },
        { act: "lose", subjects: [ALOE] },
      ],
      [],
    ],
    [
      "counts what is bought",
      [
        { act: "acquire", subjects: [{ ...ALOE, count: 3 }] },
        { act: "acquire", subjects: [{ ...ALOE, count: 2 }] },
      ],
      ["5 Aloe @ Long House"],
    ],
    [
      "counts what is lost",
      [
        { act: "acquire", subjects: [{ ...ALOE, count: 3 }] },
        { act: "lose", subjects: [{ ...ALOE, count: 2 }] },
      ],
      ["1 Aloe @ Long House"],
    ],
    [
      "loses the last one",
      [
        { act: "acquire", subjects: [{ ...ALOE, count: 2 }] },
        { act: "lose", subjects: [{ ...ALOE, count: 2 }] },
      ],
      [],
    ],
    [
      "keeps a holding of which some unknown number was lost",
      [watered(ALOE), { act: "lose", subjects: [ALOE] }],
      ["Aloe @ Long House"],
    ],
    [
      "moves only what stood where it was taken from",
      [
        watered(ALOE),
        { ...watered(ALOE), place: "Warm Bench" },
        { act: "move", subjects: [ALOE], from: "Long House", to: "Warm Bench" },
      ],
      ["Aloe @ Warm Bench", "Aloe @ Warm Bench"],
    ],
    [
      "splits a holding when a few are moved",
      [
        { act: "acquire", subjects: [{ ...ALOE, count: 10 }] },
        { act: "move", subjects: [{ ...ALOE, count: 3 }], to: "Warm Bench" },
      ],
      ["3 Aloe @ Warm Bench", "7 Aloe @ Long House"],
    ],
    [
      "moves a group",
      [
        watered({ genus: "Copiapoa" }, ALOE),
        { act: "move", subjects: [{ group: "cacti" }], to: "Warm Bench" },
      ],
      ["Aloe @ Long House", "Copiapoa @ Warm Bench"],
    ],
    [
      "does not move to a place it does not know",
      [watered(ALOE), { act: "move", subjects: [ALOE], to: "shed" }],
      ["Aloe @ Long House"],
    ],
  ])("%s", async (_what, entries, list) => {
    const house = await Glasshouse.found(ground.store);
    for (const entry of entries) await house.log(entry);
    expect(await house.list()).toEqual(list);
  });

  test("leaves exceptions where they are", async () => {
    const house = await Glasshouse.found(ground.store);
    await house.addPlant({ genus: "Aloe", tag: "L-014", place: "Long House" });
    await house.addPlant({ genus: "Aloe", tag: "L-015", place: "Long House" });
    await house.log({ act: "move", subjects: [ALOE], except: [{ tag: "L-014" }], to: "Warm Bench" });
    expect(await house.list()).toEqual(["L-014 Aloe @ Long House", "L-015 Aloe @ Warm Bench"]);
  });

  test("loses a tagged plant when it is named, and only then", async () => {
    const house = await Glasshouse.found(ground.store);
    for (const tag of ["L-014", "L-015"]) await house.addPlant({ genus: "Aloe", tag, place: "Long House" });
    await house.log({ act: "lose", subjects: [{ ...ALOE, count: 1 }] });
    expect(await house.list()).toHaveLength(2);
    expect(await house.log({ act: "lose", subjects: [{ tag: "l-014" }], cause: "rot" })).toBe(
      "L-014: lost to rot, today.",
    );
    expect(await house.list()).toEqual(["L-015 Aloe @ Long House"]);
  });

  test("gives a new pot to the plant that got one", async () => {
    const house = await Glasshouse.found(ground.store);
    await house.addPlant({ genus: "Aloe", tag: "L-014", potDiameterCm: 9, potMaterial: "plastic" });
    const pot = { diameter: { value: 5, unit: "[in_i]" }, material: "terracotta" };
    await house.log({ act: "repot", subjects: [{ tag: "L-014" }], pot });
    const potted = { potDiameterCm: 12.7, potMaterial: "terracotta" };
    expect(await house.plants()).toMatchObject([potted]);
    await house.undo();
    expect(await house.plants()).toMatchObject([{ potDiameterCm: 9, potMaterial: "plastic" }]);
  });
});

describe("an undo in the list of plants", () => {
  test("forgets what only the undone entry showed", async () => {
    const house = await Glasshouse.found(ground.store);
    await house.log(watered(ALOE));
    await house.undo();
    expect(await house.list()).toEqual([]);
  });
  test("keeps what another entry shows too", async () => {
    const house = await Glasshouse.found(ground.store);
    const { said } = await house.logged(watered(ALOE));
    await house.log({ act: "feed", subjects: [ALOE] });
    await house.within(async (journal) => {
      const first = await journal.entry(said?.about?.entryIds?.[0] ?? "");
      expect(first?.act).toBe("water");
    });
    await house.undo();
    expect(await house.list()).toEqual(["Aloe @ Long House"]);
  });
  test("takes back numbers by their difference, and leaves what was changed since", async () => {
    const house = await Glasshouse.found(ground.store);
    await house.log({ act: "acquire", subjects: [{ ...ALOE, count: 10 }] });
    await house.log({ act: "lose", subjects: [{ ...ALOE, count: 2 }] });
    const lost = house.lastMessage;
    await house.log({ act: "acquire", subjects: [{ ...ALOE, count: 5 }] });
    await house.undo({ replyTo: { messageId: lost, fromBot: false } });
    expect(await house.list()).toEqual(["15 Aloe @ Long House"]);
  });
  test("of an older move leaves plants where a later one put them", async () => {
    const house = await Glasshouse.found(ground.store, [...BOTH_PLACES, { name: "Frame", floorC: 0 }]);
    await house.log(watered(ALOE));
    await house.log({ act: "move", subjects: [ALOE], to: "Warm Bench" });
    const first = house.lastMessage;
    await house.log({ act: "move", subjects: [ALOE], to: "Frame" });
    await house.undo({ replyTo: { messageId: first, fromBot: false } });
    expect(await house.list()).toEqual(["Aloe @ Frame"]);
  });
});

describe("danger", () => {
  test.each<[string, Entry, string[]]>([
    ["a minimum under the floor", minimum(3, "Long House"), ["under_floor"]],
    ["a minimum at the floor", minimum(5, "Long House"), []],
    [
      "a maximum under the floor",
      {
        ...minimum(3, "Long House"),
        reading: { quantity: "air_temperature", statistic: "max", value: 3, unit: "Cel" },
      },
      [],
    ],
    [
      "humidity",
      {
        act: "reading",
        reading: { quantity: "relative_humidity", statistic: "current", value: 3, unit: "%" },
      },
      [],
    ],
    [
      "41 °F at a floor of 5 °C",
      {
        act: "reading",
        reading: { quantity: "air_temperature", statistic: "current", value: 41, unit: "[degF]" },
      },
      [],
    ],
    ["a power cut", { act: "power_cut" }, ["power_cut"]],
    ["heating that failed", { act: "heat_off", cause: "failure" }, ["heat_lost"]],
    ["heating off for no cause told", { act: "heat_off" }, []],
  ])("%s", async (_what, entry, kinds) => {
    const house = await Glasshouse.found(ground.store);
    const { outcome } = await house.logged(entry);
    expect("alarms" in outcome && outcome.alarms.map(({ kind }) => kind)).toEqual(kinds);
  });

  test("heating off in the cold months is asked about, in summer it is not", async () => {
    const house = await Glasshouse.found(ground.store);
    expect(await house.log({ act: "heat_off" })).toBe(
      "Long House: heating off, today.\nSwitched off, or has it failed?",
    );
    later({ hours: 24 * 180 });
    expect(await house.log({ act: "heat_off" })).toBe("Long House: heating off, today.");
  });

  test("frost is danger where no floor was told", async () => {
    const house = await Glasshouse.found(ground.store, [{ name: "Frame" }]);
    expect(await house.log(minimum(-1, "Frame"))).toContain("1 K under freezing point");
  });
});

test("the time of an entry is that of the message unless said, also over a change of clocks", async () => {
  const house = await Glasshouse.found(ground.store);
  const { entries } = await house.logged([
    watered(ALOE),
    { ...watered(AGAVE), when: { from: "2027-03-28T00:00", to: "2027-03-29T00:00", grain: "day" } },
    { ...watered(AGAVE), when: { from: "2027-03-28T02:30", to: "2027-03-28T02:30", grain: "moment" } },
  ]);
  const [now, springDay, gap] = entries.map(({ entry }) => entry);
  expect(now?.from.toString()).toBe("2027-01-15T08:00:00Z");
  expect(springDay?.to.since(springDay.from).total("hours")).toBe(23);
  expect(gap?.from.toString()).toBe("2027-03-28T01:30:00Z");
});
