import { Temporal } from "temporal-polyfill";
import { describe, expect, test } from "vitest";
import type { LoggedEntry, Outcome } from "../../bot/journal/outcome.js";
import type { Household, JournalEntry, Place, Plant } from "../../bot/journal/ports.js";
import { ACTS, type Entry } from "../../bot/language/interpretation.js";
import { fold } from "../../bot/messenger/replies/en/fold.js";
import { type Speaking, wordOutcome } from "../../bot/messenger/replies/en/outcomes.js";

const now = Temporal.Instant.from("2027-01-15T08:00:00Z");
const place: Place = {
  id: "p1",
  collectionId: null,
  name: "Long House",
  aliases: [],
  floor: { value: 5, unit: "Cel" },
  floorC: 5,
  kind: null,
  isDefault: true,
};
const plant = {
  id: "x",
  tag: "L-014",
  name: "Spiral",
  genus: "Aloe",
  species: "polyphylla",
  cultivar: null,
} as Plant;
const speaking = (units: "metric" | "imperial"): Speaking => ({
  manner: { units, zone: "Europe/Warsaw", now },
  places: [place],
  plants: [plant],
  author: "Ines",
});

function entry(frame: Entry): JournalEntry {
  const { reading } = frame;
  const celsius = reading?.unit === "[degF]" ? (reading.value - 32) / 1.8 : reading?.value;
  return {
    id: "00000000-0000-7000-8000-000000000001",
    act: frame.act,
    entry: frame,
    collectionId: null,
    placeId: place.id,
    from: now,
    to: now,
    reading: reading
      ? { quantity: reading.quantity, statistic: reading.statistic, value: celsius ?? 0 }
      : null,
    authorId: "a",
    person: "Ines",
    chatId: 1,
    messageId: 1,
    rawText: "words",
    interpretation: null,
    note: null,
    amends: null,
    retracted: null,
    writtenAt: now,
  };
}
const logged = (frame: Entry): LoggedEntry => ({ entry: entry(frame), place, assumed: {}, learnt: [] });
const said = (outcome: Outcome, units: "metric" | "imperial" = "metric") =>
  wordOutcome(outcome, speaking(units))?.text ?? "";
const line = (frame: Entry, units: "metric" | "imperial" = "metric") =>
  said({ kind: "logged", entries: [logged(frame)], note: null, alarms: [] }, units);

describe("a line that confirms", () => {
  const aloe = [{ genus: "Aloe" }];
  test.each<[Entry, string]>([
    [
      { act: "water", subjects: aloe, amount: { dose: "light" } },
      "Aloe, Long House: watered lightly, today.",
    ],
    [{ act: "water", subjects: aloe, amount: { dose: "sip" } }, "Aloe, Long House: watered, a sip, today."],
    [
      { act: "water", subjects: aloe, amount: { value: 200, unit: "mL" } },
      "Aloe, Long House: watered, 200 ml, today.",
    ],
    [
      { act: "water", subjects: [{ genus: "Parodia", as: "notocactus" }] },
      "Notocactus (Parodia), Long House: watered, today.",
    ],
    [{ act: "water", subjects: [{ tag: "L-014" }] }, "Spiral (L-014), Long House: watered, today."],
    [
      { act: "water", except: [{ tag: "L-014" }] },
      "Everything but Spiral (L-014), Long House: watered, today.",
    ],
    [{ act: "water" }, "Long House: watered, today."],
    [{ act: "water", subjects: aloe, tentative: true }, "Aloe, Long House: perhaps watered, today."],
    [
      { act: "feed", subjects: aloe, product: "tomato feed", dilution: { strength: 0.5 } },
      "Aloe, Long House: fed with tomato feed at half strength, today.",
    ],
    [
      { act: "feed", subjects: aloe, dilution: { value: 2, unit: "mL/L" } },
      "Aloe, Long House: fed at 2 ml/l, today.",
    ],
    [
      { act: "treat", subjects: aloe, pest: "mealybug", product: "soap", dilution: { ratio: 200 } },
      "Aloe, Long House: treated for mealybug with soap at 1:200, today.",
    ],
    [
      {
        act: "repot",
        subjects: aloe,
        pot: {
          diameter: { value: 12, unit: "cm" },
          material: "terracotta",
          previous: { diameter: { value: 9, unit: "cm" } },
        },
        substrate: "pumice mix",
      },
      "Aloe, Long House: repotted into 12 cm terracotta (was 9 cm) in pumice mix, today.",
    ],
    [
      { act: "move", subjects: aloe, from: "Long House", to: "Warm Bench" },
      "Aloe: moved from Long House to Warm Bench, today.",
    ],
    [
      { act: "germinate", subjects: [{ genus: "Copiapoa" }], count: 12, outOf: 40 },
      "12 of 40 Copiapoa up, Long House, today.",
    ],
    [
      { act: "sow", subjects: [{ genus: "Copiapoa" }], count: 40 },
      "Copiapoa, Long House: 40 seeds sown, today.",
    ],
    [
      { act: "pest", subjects: [{ genus: "Echeveria", count: 2 }], pest: "mealybug" },
      "Echeveria, Long House: mealybug, 2 plants, today.",
    ],
    [{ act: "bud", subjects: aloe, count: 3 }, "Aloe, Long House: 3 buds, today."],
    [
      { act: "lose", subjects: [{ genus: "Aloe", count: 2 }], cause: "rot" },
      "2 Aloe, Long House: lost to rot, today.",
    ],
    [
      { act: "acquire", subjects: [{ genus: "Aloe", count: 3 }], origin: "a swap" },
      "3 Aloe, Long House: new here from a swap, today.",
    ],
    [{ act: "give_away", subjects: aloe, recipient: "Anna" }, "Aloe, Long House: given to Anna, today."],
    [
      { act: "graft", subjects: aloe, stock: { genus: "Trichocereus" } },
      "Aloe, Long House: grafted on Trichocereus, today.",
    ],
    [{ act: "setpoint", value: { value: 6, unit: "Cel" } }, "Long House: thermostat set to 6 °C, today."],
    [{ act: "note", text: "new glass on order" }, "Long House: noted: “new glass on order”, today."],
    [
      {
        act: "reading",
        reading: { quantity: "relative_humidity", statistic: "current", value: 88, unit: "%" },
      },
      "Long House: humidity 88 %, today.",
    ],
    [
      {
        act: "reading",
        reading: { quantity: "air_temperature", statistic: "min", value: 9, unit: "Cel" },
        tentative: true,
      },
      "Long House: min about 9 °C, today.",
    ],
    [{ act: "water", subjects: aloe, person: "Tomasz" }, "Aloe, Long House: watered, today, by Tomasz."],
  ])("%j", (frame, text) => expect(line(frame)).toBe(text));

  test("a reading is told in the household's units", () => {
    const frame: Entry = {
      act: "reading",
      reading: { quantity: "air_temperature", statistic: "min", value: 48.5, unit: "[degF]" },
    };
    expect(line(frame, "imperial")).toBe("Long House: min 48.5 °F, today.");
    expect(line(frame)).toBe("Long House: min 9.2 °C, today.");
  });

  test.each(ACTS)("%s has words of its own", (act) => {
    const text = line({ act, subjects: aloe });
    expect(text).not.toMatch(/_|undefined|null|!/);
    expect(text).toMatch(/^Aloe, Long House: [a-z-]+.*, today\.$/);
  });
});

const household = {
  location: "Gdańsk, Poland",
  zone: "Europe/Warsaw",
  hemisphere: "north",
  units: "metric",
  locale: "en-GB",
  reminderTime: "07:30",
  reminderDays: [6],
  quietHours: null,
  dangerAtNight: true,
  tasks: {},
} as unknown as Household;
const alarm = (n: number) => ({
  kind: "under_floor" as const,
  place,
  entryId: entry({ act: "reading" }).id,
  statistic: "min" as const,
  valueC: 5 - n,
  floorC: 5,
  byK: n,
});
const reading: Entry = {
  act: "reading",
  reading: { quantity: "air_temperature", statistic: "min", value: 3, unit: "Cel" },
};
const rule = {
  id: "r",
  rule: { subjects: [{ genus: "Aloe" }], never: "top_dress" as const },
  saidBy: "Ines",
  saidAt: now,
  rawText: "",
};

/** One of each kind at least. */
const OUTCOMES: Outcome[] = [
  {
    kind: "logged",
    entries: Array.from({ length: 9 }, () => logged({ act: "water" })),
    note: null,
    alarms: [],
  },
  {
    kind: "logged",
    entries: [logged(reading), logged({ act: "water" }), logged({ act: "feed" })],
    note: null,
    alarms: [alarm(2), alarm(3)],
  },
  {
    kind: "logged",
    entries: [logged({ act: "power_cut" })],
    note: null,
    alarms: [{ kind: "power_cut", place, entryId: "e" }],
  },
  {
    kind: "logged",
    entries: [logged({ act: "heat_off", cause: "failure" })],
    note: null,
    alarms: [{ kind: "heat_lost", place, entryId: "e", cold: true }],
  },
  {
    kind: "logged",
    entries: [{ ...logged({ act: "heat_off" }), mayHaveFailed: true }],
    note: null,
    alarms: [],
  },
  { kind: "amended", before: [], entries: [logged({ act: "water" })], alarms: [], back: false },
  { kind: "undone", entries: Array.from({ length: 6 }, () => entry({ act: "water" })), byOther: "Tomasz" },
  { kind: "nothing_to_undo", gone: false },
  { kind: "nothing_to_undo", gone: true },
  { kind: "nothing_to_amend", gone: false },
  {
    kind: "answer",
    answer: {
      about: "last",
      question: { about: "last", act: "take_cutting" },
      found: Array.from({ length: 7 }, () => ({
        subject: { genus: "Aloe" },
        entry: null,
        days: null,
        by: null,
        place: null,
      })),
    },
  },
  { kind: "answer", answer: { about: "why", lines: Array.from({ length: 9 }, (_, n) => `${n}`) } },
  {
    kind: "answer",
    answer: {
      about: "inventory",
      question: { about: "inventory" },
      plants: Array.from({ length: 30 }, (_, n) => ({
        plant: { ...plant, id: `${n}`, tag: `T-${n}` },
        place,
      })),
      seen: [],
    },
  },
  { kind: "set", instruction: { do: "set", setting: "location" }, household, place: null },
  { kind: "set_failed", setting: "quiet_hours", reason: "unreadable", words: "x".repeat(400) },
  {
    kind: "set_failed",
    setting: "floor",
    reason: "which_place",
    words: "",
    places: [place, place],
    value: { value: 41, unit: "[degF]" },
  },
  { kind: "places", added: [place], changed: [], known: [] },
  { kind: "place_removed", place: null, words: "shed" },
  { kind: "rule_kept", rule },
  { kind: "rule_lifted", rules: [rule] },
  { kind: "reminder_kept", text: "test the heater", person: null, at: now },
  { kind: "snoozed", subjects: [], until: now },
  { kind: "claimed", by: { id: "a", userId: 1, name: "Ines" }, open: 1 },
  { kind: "all_well", by: { id: "a", userId: 1, name: "Ines" }, open: 0 },
  {
    kind: "unclear",
    interpretation: { kind: "unclear", partial: { act: "top_dress" } },
    missing: ["subject"],
    choices: [{ kind: "everything", place: "Long House" }],
  },
  {
    kind: "unclear",
    interpretation: { kind: "unclear" },
    missing: ["unit"],
    choices: [{ kind: "unit", unit: "[foz_us]" }],
  },
  { kind: "not_understood", words: "y".repeat(400) },
  { kind: "not_yet", what: "chart" },
  { kind: "help" },
];

describe.each(["metric", "imperial"] as const)("every reply in %s units", (units) => {
  test.each(OUTCOMES.map((outcome, n) => [outcome.kind, n, outcome] as const))(
    "%s (%i) is short and plain",
    (_kind, _n, outcome) => {
      const reply = wordOutcome(outcome, speaking(units));
      const text = reply?.text ?? "";
      expect(text).not.toBe("");
      expect(text.split("\n").length).toBeLessThanOrEqual(4);
      for (const shown of [
        text,
        ...(reply?.more ?? []),
        ...(reply?.buttons ?? []).flat().map(({ label }) => label),
      ]) {
        expect(shown).not.toMatch(/!|undefined|null|\[(?:deg|gal|foz|in)|\bCel\b|[a-z]_[a-z]/);
      }
      for (const { data } of (reply?.buttons ?? []).flat())
        expect(new TextEncoder().encode(data).length).toBeLessThanOrEqual(64);
      expect((reply?.buttons ?? []).every((row) => row.length <= 4)).toBe(true);
    },
  );
});

test("under the floor in °F is a difference without 32, the floor as it was told", () => {
  const told = { ...place, floor: { value: 41, unit: "[degF]" } };
  const text = said(
    { kind: "logged", entries: [logged(reading)], note: null, alarms: [{ ...alarm(2), place: told }] },
    "imperial",
  );
  expect(text).toContain("min 37.4 °F, 3.6 °F under its floor of 41 °F");
});

test("what people wrote passes through as it is; the edge escapes it", () => {
  const text = line({ act: "note", text: "<b>5 < 6 & 7</b>" });
  expect(text).toContain("“<b>5 < 6 & 7</b>”");
});

test("a long list folds, and nothing of it is lost", () => {
  const lines = Array.from({ length: 10 }, (_, n) => `${n}`);
  const folded = fold(lines, "more");
  expect(folded.lines).toEqual(["0", "1", "2", "And 7 more."]);
  expect([...folded.lines.slice(0, 3), ...folded.more]).toEqual(lines);
  expect(fold(lines.slice(0, 4))).toEqual({ lines: lines.slice(0, 4), more: [] });
});
