import { describe, expect, test } from "vitest";
import type { OwnCareRule } from "../../bot/horticulture/own-rules.js";
import { day, itemOf, type Situation, standing } from "./support.js";

/** Plants of the small table: Haworthia sips every 14 to 21 days in winter, Mammillaria dry in winter. */

const mid = { on: "2027-01-15" };

describe("the window", () => {
  test.each([
    ["not yet", "2027-01-05", null],
    ["early", "2027-01-01", ["2027-01-15", "2027-01-22"]],
    ["due", "2026-12-27", ["2027-01-10", "2027-01-17"]],
    ["overdue", "2026-12-20", ["2027-01-03", "2027-01-10"]],
  ])("is %s when the last sip was on %s", (status, last, window) => {
    const state = standing("Haworthia", { ...mid, done: [`water ${last}`] });
    if (window === null) {
      expect(state.state).toBe("not yet");
      return;
    }
    expect(state).toMatchObject({ state: "open", item: { status, mode: "sips", held: null } });
    expect(itemOf("Haworthia", { ...mid, done: [`water ${last}`] }).window.map(String)).toEqual(window);
  });

  test("turns from early to due in the middle and to overdue after its end", () => {
    const statuses = Array.from({ length: 12 }, (_, index) => {
      const on = day("2027-01-12").add({ days: index }).toString();
      return itemOf("Haworthia", { on, done: ["water 2027-01-01"] }).status;
    });
    expect(statuses.slice(3)).toEqual([
      "early",
      "early",
      "early",
      "early",
      "due",
      "due",
      "due",
      "due",
      "overdue",
    ]);
  });

  test("counts from the last day of a watering that took several", () => {
    expect(
      itemOf("Haworthia", { ...mid, done: ["water 2026-12-24", "water 2026-12-27"] }).last?.toString(),
    ).toBe("2026-12-27");
  });
});

describe("what moves the day inside the range", () => {
  const base = { ...mid, done: ["water 2026-12-29"] };
  const dueOn = (situation: Situation) => itemOf("Haworthia", situation).dueOn.toString();
  test.each<[string, Partial<Situation>, "sooner" | "later" | "same"]>([
    ["terracotta", { plant: { potMaterial: "terracotta" } }, "sooner"],
    ["glaze", { plant: { potMaterial: "glazed" } }, "later"],
    ["an unknown material", { plant: { potMaterial: "tin" } }, "same"],
    ["a thimble", { plant: { potDiameterCm: 4 } }, "sooner"],
    ["a usual pot", { plant: { potDiameterCm: 10 } }, "same"],
    ["a tub", { plant: { potDiameterCm: 30 } }, "later"],
    ["dry air", { place: { vpdKPa: 0.9 } }, "sooner"],
    ["damp air", { place: { vpdKPa: 0.02 } }, "later"],
  ])("%s", (_, more, how) => {
    const usual = dueOn(base);
    const moved = dueOn({ ...base, ...more });
    expect(how).toBe(moved < usual ? "sooner" : moved > usual ? "later" : "same");
    expect(moved >= "2027-01-12" && moved <= "2027-01-19").toBe(true);
  });
});

describe("the household's own habit", () => {
  /** Six waterings, so many days apart, the last one on 12 January. */
  const every = (days: number, count = 6) =>
    Array.from({ length: count }, (_, index) => {
      const on = day("2027-02-20").subtract({ days: index * days });
      return `water ${on}`;
    });
  test.each([
    ["is not seen in four waterings", 13, 4, null],
    ["is seen in five", 13, 5, 13],
    ["may lie under the book, down to half", 8, 6, 8],
    ["may lie above it", 25, 5, null],
  ])("%s", (_, days, count, habit) => {
    const item = itemOf("Haworthia", { on: "2027-02-27", done: every(days, count) });
    const found = item.pulls.find((pull) => pull.by === "habit");
    expect(found?.by === "habit" ? found.medianDays : null).toBe(habit);
    if (habit !== null) expect(item.dueOn.toString()).toBe(day("2027-02-20").add({ days: habit }).toString());
  });

  test("counts last year's season too, up to double of the book", () => {
    const done = ["2025-12-04", "2026-01-04", "2026-02-04", "2026-12-03", "2027-01-03", "2027-02-03"].map(
      (on) => `water ${on}`,
    );
    const item = itemOf("Haworthia", { on: "2027-02-10", done });
    expect(item.pulls).toMatchObject([{ by: "habit", medianDays: 31, intervals: 4 }]);
    expect(item.window[1].toString()).toBe("2027-03-14");
  });

  test("leaves out what is no habit: more than double, less than half", () => {
    const done = ["2026-12-01", "2026-12-03", "2026-12-17", "2026-12-31", "2027-01-14", "2027-01-28"].map(
      (on) => `water ${on}`,
    );
    expect(itemOf("Haworthia", { on: "2027-02-10", done }).pulls).toMatchObject([
      { by: "habit", medianDays: 14, intervals: 4 },
    ]);
  });
});

describe("the rest without water", () => {
  test.each([
    ["Mammillaria", "2027-01-15"],
    ["Mammillaria", "2026-12-01"],
    ["Mammillaria", "2027-02-28"],
    ["Dioscorea", "2026-07-15"],
    ["Dioscorea", "2026-08-31"],
  ])("%s is in it on %s", (genus, on) => {
    expect(standing(genus, { on, done: ["water 2026-05-01"] }).state).toBe("dry rest");
  });

  test("ends with a series of sips, a few days into spring", () => {
    const done = ["water 2026-11-10"];
    const first = itemOf("Mammillaria", { on: "2027-03-08", done, place: { meanMinC: 7, nights: 20 } });
    expect(first).toMatchObject({ mode: "sips", afterRest: true, status: "due" });
    const second = itemOf("Mammillaria", { on: "2027-03-28", done: [...done, "water 2027-03-08"] });
    expect(second).toMatchObject({ mode: "sips", afterRest: true });
    const third = itemOf("Mammillaria", {
      on: "2027-04-16",
      done: [...done, "water 2027-03-08", "water 2027-03-28"],
    });
    expect(third).toMatchObject({ mode: "light", afterRest: false });
  });

  test("lasts longer in a cold house and, on a warm bench, not less than the calendar's", () => {
    const on = (date: string, meanMinC: number) =>
      standing("Mammillaria", { on: date, place: { meanMinC, nights: 20 }, done: ["water 2026-11-10"] })
        .state;
    expect(on("2027-02-20", 12)).toBe("dry rest");
    expect(on("2027-03-04", 12)).toBe("open");
    expect(on("2027-03-04", 3)).toBe("dry rest");
    expect(on("2027-03-20", 3)).toBe("open");
  });

  test("is gone into dry: nothing in the week before it", () => {
    expect(standing("Mammillaria", { on: "2026-11-26", done: ["water 2026-10-20"] })).toMatchObject({
      item: { held: { why: "rest near" } },
    });
  });

  test("begins early where cold nights have come, though one of them was mild", () => {
    const cold = { coldestC: 9, meanMinC: 6.5, nights: 20 };
    expect(
      standing("Mammillaria", { on: "2026-10-25", done: ["water 2026-09-20"], place: cold }),
    ).toMatchObject({ item: { held: { why: "rest near" } } });
    expect(
      standing("Mammillaria", {
        on: "2026-09-25",
        done: ["water 2026-08-28"],
        place: { coldestC: 6, meanMinC: 11, nights: 20 },
      }),
    ).toMatchObject({ item: { held: { why: "cold" } } });
  });

  test("is no rest for seedlings", () => {
    const item = itemOf("Mammillaria", { ...mid, done: ["water 2026-12-28"], plant: { young: true } });
    expect(item).toMatchObject({ mode: "sips", status: "due" });
  });
});

describe("what holds a watering back", () => {
  const due = { ...mid, done: ["water 2026-12-22"] };
  test.each<[string, string, Situation, object | null]>([
    ["cold nights", "Haworthia", { ...due, place: { coldestC: 3 } }, { why: "cold", coldestC: 3, wantsC: 8 }],
    ["nights at the limit", "Haworthia", { ...due, place: { coldestC: 8 } }, null],
    ["nothing measured", "Haworthia", due, null],
    ["damp air", "Haworthia", { ...due, place: { dampestLeastRh: 88 } }, { why: "damp", leastRh: 88 }],
    ["85 % and not more", "Haworthia", { ...due, place: { dampestLeastRh: 85 } }, null],
    [
      "repotted five days ago",
      "Haworthia",
      { ...due, done: [...due.done, "repot 2027-01-10"] },
      { why: "repotted" },
    ],
    ["repotted a week ago", "Haworthia", { ...due, done: [...due.done, "repot 2027-01-08"] }, null],
    ["rot", "Haworthia", { ...due, done: [...due.done, "rot 2027-01-02"] }, { why: "rot" }],
    [
      "rot that was treated",
      "Haworthia",
      { ...due, done: [...due.done, "rot 2027-01-02", "treat 2027-01-03"] },
      null,
    ],
    ["rot of last autumn", "Haworthia", { ...due, done: [...due.done, "rot 2026-10-02"] }, null],
    ["a skip", "Haworthia", { ...due, done: [...due.done, "skip 2027-01-12"] }, { why: "skipped" }],
    ["a skip that is over", "Haworthia", { ...due, done: [...due.done, "skip 2027-01-05"] }, null],
    [
      "put off by the household",
      "Haworthia",
      {
        ...due,
        postponements: [
          { subjects: [{ genus: "Haworthia" }], act: null, until: day("2027-03-01"), by: "Priya" },
        ],
      },
      { why: "postponed", by: "Priya" },
    ],
    [
      "others put off",
      "Haworthia",
      {
        ...due,
        postponements: [{ subjects: [{ group: "cacti" }], act: null, until: day("2027-03-01"), by: "Priya" }],
      },
      null,
    ],
    [
      "a cactus repotted in May, ten days ago",
      "Mammillaria",
      { on: "2027-05-20", done: ["water 2027-05-01", "repot 2027-05-10"] },
      { why: "repotted" },
    ],
    [
      "a cactus repotted in February, dry until spring and two weeks at least",
      "Mammillaria",
      {
        on: "2027-03-08",
        done: ["water 2026-11-01", "repot 2027-02-25"],
        place: { meanMinC: 7, nights: 20 },
      },
      { why: "repotted" },
    ],
  ])("%s", (_, genus, situation, held) => {
    const state = standing(genus, situation);
    expect(state.state).toBe("open");
    if (held === null) expect(state).toMatchObject({ item: { held: null } });
    else expect(state).toMatchObject({ item: { held } });
  });
});

describe("the household's own rules", () => {
  const own = (rule: Partial<OwnCareRule>): OwnCareRule => ({
    subjects: [{ genus: "Haworthia" }],
    saidBy: "Ines",
    saidOn: day("2026-05-03"),
    words: "",
    ...rule,
  });
  test("an interval of its own goes before the book and any habit", () => {
    const item = itemOf("Haworthia", {
      on: "2027-01-15",
      done: ["water 2027-01-05"],
      ownRules: [own({ everyDays: { from: 10, to: 10 } })],
    });
    expect(item).toMatchObject({ status: "due", days: [10, 10] });
    expect(item.dueOn.toString()).toBe("2027-01-15");
    expect(item.window.map(String)).toEqual(["2027-01-15", "2027-01-17"]);
  });
  test("'never water' is a rest all year", () => {
    expect(standing("Haworthia", { on: "2027-05-15", ownRules: [own({ never: "water" })] }).state).toBe(
      "dry rest",
    );
  });
  test("an interval through the winter goes before the book's rest", () => {
    const ownRules = [own({ subjects: [{ group: "cacti" }], everyDays: { from: 28, to: 35 } })];
    expect(standing("Mammillaria", { on: "2027-01-12", done: ["water 2026-12-10"], ownRules })).toMatchObject(
      {
        state: "open",
        item: { mode: "sips", status: "due" },
      },
    );
  });
  test("a limit of its own holds back", () => {
    expect(
      standing("Haworthia", {
        on: "2027-01-15",
        done: ["water 2026-12-22"],
        place: { coldestC: 9 },
        ownRules: [own({ leastC: 12 })],
      }),
    ).toMatchObject({ item: { held: { why: "cold", wantsC: 12 } } });
  });
});

describe("nothing known", () => {
  test("of a last watering: it is due, and marked as never noted", () => {
    const item = itemOf("Haworthia", { ...mid, plant: { knownSince: day("2027-01-10") } });
    expect(item).toMatchObject({ neverNoted: true, status: "due", last: null });
  });
  test("of a last watering by one who had the plant through its rest: none was given", () => {
    const item = itemOf("Mammillaria", { on: "2027-03-08", place: { meanMinC: 7, nights: 20 } });
    expect(item).toMatchObject({ neverNoted: false, afterRest: true });
  });
  test("of the plant at all", () => {
    expect(standing("Betula", mid).state).toBe("no rule");
  });
});

describe("the turn of the season", () => {
  test("makes nobody late at once: a season that has just begun counts from its first day", () => {
    const before = itemOf("Haworthia", { on: "2027-02-28", done: ["water 2027-02-09"] });
    const after = itemOf("Haworthia", { on: "2027-03-01", done: ["water 2027-02-09"] });
    expect(before.status).toBe("due");
    expect(after.status).toBe("due");
  });
  test("keeps the day inside the calendar's own range", () => {
    const item = itemOf("Haworthia", {
      on: "2027-02-26",
      done: ["water 2027-02-13"],
      place: { meanMinC: 12, nights: 20 },
    });
    expect(item.dueOn.toString() >= "2027-02-27").toBe(true);
  });
});
