import { describe, expect, test } from "vitest";
import type { Mention } from "../../bot/horticulture/due/plan-types.js";
import type { TaskChoices } from "../../bot/horticulture/due/task-types.js";
import { dueToday } from "../../bot/horticulture/due/today.js";
import type { DuePlant } from "../../bot/horticulture/due/types.js";
import { morningLines } from "../../bot/messenger/replies/en/morning.js";
import { plural } from "../../bot/messenger/replies/en/plurals.js";
import { planMorning, planRequest } from "../../bot/nudges/plan-morning.js";
import { readTasks } from "../../db/care/tasks.js";
import { day, historyOf, place, plant, small, taskView } from "./support.js";

const table = readTasks();
const manner = { units: "metric" as const };
const ALL_WEEK = [1, 2, 3, 4, 5, 6, 7];
/** Tasks that a test of water does not want to hear of. */
const QUIET = Object.fromEntries(
  table.tasks.map(({ key }) => [key, { off: key !== "feed" && key !== "rest" }]),
);

interface Day {
  plants: DuePlant[];
  /** "Haworthia water 2026-12-27" */
  done?: readonly string[];
  mentions?: Record<string, [on: string, times?: number]>;
  weekdays?: readonly number[];
  places?: Parameters<typeof place>[0][];
  choices?: TaskChoices;
}

function inputOf(
  on: string,
  { plants, done = [], mentions = {}, weekdays = ALL_WEEK, places, choices }: Day,
) {
  const known = (places ?? [{}]).map((one) => place(one));
  const view = taskView(on, { plants, places: known, choices: choices ?? QUIET });
  const history = historyOf([], []);
  for (const text of done) {
    const [id = "", act = "", date = ""] = text.split(" ");
    const entry = historyOf([`${act} ${date}`], [id]);
    for (const past of entry.of(id, act)) history.add(past, [id]);
  }
  const today = dueToday({ ...view, history }, table, small);
  const remembered = new Map<string, Mention>(
    Object.entries(mentions).map(([key, [date, times]]) => [key, { on: day(date), times: times ?? 1 }]),
  );
  return { today, plants, places: known.map(({ name }) => name), mentions: remembered, weekdays };
}

const said = (on: string, given: Day): string[] | null => {
  const plan = planMorning(inputOf(on, given));
  return plan === null ? null : morningLines(plan, { manner });
};

const haworthia = plant("Haworthia");
const mammillaria = plant("Mammillaria");

describe("when the morning speaks", () => {
  test.each<[string, string, Day, string[] | null]>([
    [
      "something is due",
      "2027-01-15",
      { plants: [haworthia], done: ["Haworthia water 2026-12-27"] },
      ["Long House: haworthias 19 days, a sip."],
    ],
    [
      "something is late",
      "2027-01-15",
      { plants: [haworthia], done: ["Haworthia water 2026-12-20"] },
      ["Long House: haworthias 26 days (late), a sip."],
    ],
    ["nothing is due yet", "2027-01-15", { plants: [haworthia], done: ["Haworthia water 2027-01-05"] }, null],
    [
      "it is early, and nothing else is due",
      "2027-01-15",
      { plants: [haworthia], done: ["Haworthia water 2026-12-31"] },
      null,
    ],
    ["all rest", "2027-01-15", { plants: [mammillaria], done: ["Mammillaria water 2026-10-20"] }, null],
    [
      "it was said two days ago",
      "2027-01-15",
      {
        plants: [haworthia],
        done: ["Haworthia water 2026-12-27"],
        mentions: { "water|Haworthia|2026-12-27": ["2027-01-13"] },
      },
      null,
    ],
    [
      "it was said three days ago",
      "2027-01-15",
      {
        plants: [haworthia],
        done: ["Haworthia water 2026-12-27"],
        mentions: { "water|Haworthia|2026-12-27": ["2027-01-12"] },
      },
      ["Long House: haworthias 19 days, a sip."],
    ],
    [
      "it was passed over three times, five days ago",
      "2027-01-15",
      {
        plants: [haworthia],
        done: ["Haworthia water 2026-12-20"],
        mentions: { "water|Haworthia|2026-12-20": ["2027-01-10", 3] },
      },
      null,
    ],
    [
      "and a week ago",
      "2027-01-15",
      {
        plants: [haworthia],
        done: ["Haworthia water 2026-12-20"],
        mentions: { "water|Haworthia|2026-12-20": ["2027-01-08", 3] },
      },
      ["Long House: haworthias 26 days (late), a sip."],
    ],
    [
      "not a weekday that was asked for",
      "2027-01-15",
      { plants: [haworthia], done: ["Haworthia water 2026-12-27"], weekdays: [6, 7] },
      null,
    ],
  ])("%s", (_, on, given, lines) => {
    expect(said(on, given)).toEqual(lines);
  });

  test("on weekends only: what falls due until the next one is told too", () => {
    const given = { plants: [haworthia], done: ["Haworthia water 2026-12-31"], weekdays: [6] };
    expect(said("2027-01-16", given)).toEqual(["Long House: haworthias 16 days, a sip."]);
  });

  test("what is due in two days goes along with others of its place, not alone", () => {
    const echeveria = plant("Haworthia", { id: "other", tag: "H-2" });
    const done = ["Haworthia water 2026-12-27", "other water 2026-12-30"];
    expect(said("2027-01-15", { plants: [haworthia, echeveria], done })).toEqual([
      "Long House: haworthias 19 days, a sip each.",
    ]);
    expect(said("2027-01-15", { plants: [echeveria], done })).toBeNull();
  });

  test("nothing known is asked once, and never again", () => {
    const fresh = plant("Haworthia", { knownSince: day("2027-01-14") });
    expect(said("2027-01-15", { plants: [fresh] })).toEqual([
      "No watering noted yet: haworthias. When was it last?",
    ]);
    expect(said("2027-02-25", { plants: [fresh], mentions: { "ask|Haworthia": ["2027-01-15"] } })).toBeNull();
  });

  test("a rest that begins is told once", () => {
    const given: Day = { plants: [mammillaria], done: ["Mammillaria water 2026-11-15"] };
    expect(said("2026-11-26", given)).toEqual(["Into their rest now, no more water: mammillarias."]);
    expect(
      said("2026-11-28", { ...given, mentions: { "rest|Mammillaria|2027": ["2026-11-26"] } }),
    ).toBeNull();
  });
});

describe("what waits", () => {
  const cold = [{ coldestC: 3 }];
  test("is named with its reason once its window has passed", () => {
    expect(
      said("2027-01-15", { plants: [haworthia], done: ["Haworthia water 2026-12-20"], places: cold }),
    ).toEqual(["Waiting: haworthias, nights too cold for moist roots (3 °C, wants 8)."]);
  });
  test("rides along before that, and starts no message by itself", () => {
    const given: Day = { plants: [haworthia], done: ["Haworthia water 2026-12-27"], places: cold };
    expect(said("2027-01-15", given)).toBeNull();
    const two = [haworthia, plant("Haworthia", { id: "warm", tag: "H-9", place: "Warm Bench" })];
    const places = [{ coldestC: 3 }, { name: "Warm Bench", coldestC: 13 }];
    const done = ["Haworthia water 2026-12-27", "warm water 2026-12-27"];
    expect(said("2027-01-15", { plants: two, done, places })).toEqual([
      "Warm Bench: Haworthia H-9 19 days, a sip.",
      "Long House: nothing due.",
      "Waiting: haworthias, nights too cold for moist roots (3 °C, wants 8).",
    ]);
  });
  test("is not repeated within a fortnight", () => {
    const mentions = { "held|water|Haworthia|2026-12-20": ["2027-01-05"] } as Record<string, [string]>;
    expect(
      said("2027-01-15", {
        plants: [haworthia],
        done: ["Haworthia water 2026-12-20"],
        places: cold,
        mentions,
      }),
    ).toBeNull();
  });
  test("by the household's own word is not told at all", () => {
    const given: Day = {
      plants: [haworthia],
      done: ["Haworthia water 2026-12-20", "Haworthia skip 2027-01-12"],
    };
    expect(said("2027-01-15", given)).toBeNull();
  });
});

describe("who is meant", () => {
  const aloe = (tag: string, species: string | null = null) => plant("Haworthia", { tag, species });
  test.each<[string, DuePlant[], string[], string, object[]]>([
    [
      "all of a genus in the place",
      [aloe("A"), aloe("B")],
      ["A", "B"],
      "haworthias 19 days, a sip each",
      [{ genus: "Haworthia" }],
    ],
    ["one of two, by its tag", [aloe("A"), aloe("B")], ["A"], "Haworthia A 19 days, a sip", [{ tag: "A" }]],
    ["the only one, by its tag", [aloe("A")], ["A"], "Haworthia A 19 days, a sip", [{ tag: "A" }]],
    [
      "two of three, by tags",
      [aloe("A"), aloe("B"), aloe("C")],
      ["A", "B"],
      "Haworthia A and B 19 days, a sip each",
      [{ tag: "A" }, { tag: "B" }],
    ],
    [
      "a holding of one species beside another",
      [
        plant("Haworthia", { id: "x", species: "attenuata" }),
        plant("Haworthia", { id: "y", species: "cooperi" }),
      ],
      ["x"],
      "Haworthia attenuata 19 days, a sip",
      [{ genus: "Haworthia", species: "attenuata" }],
    ],
  ])("%s", (_, plants, due, words, subjects) => {
    const done = plants.map(({ id }) => `${id} water ${due.includes(id) ? "2026-12-27" : "2027-01-10"}`);
    const input = inputOf("2027-01-15", { plants, done });
    const plan = planMorning(input);
    expect(plan?.places[0]?.water[0]?.subjects).toEqual(subjects);
    expect(plan && morningLines(plan, { manner })).toEqual([`Long House: ${words}.`]);
  });
});

describe("asked what is due", () => {
  test("everything is listed: early, due, overdue, held and never noted, mentioned or not", () => {
    const plants = ["early", "due", "late", "unknown", "not-yet"].map((id) =>
      plant("Haworthia", { id, tag: id }),
    );
    const done = [
      "early water 2026-12-31",
      "due water 2026-12-27",
      "late water 2026-12-01",
      "not-yet water 2027-01-14",
    ];
    const input = inputOf("2027-01-15", { plants, done });
    const plan = planRequest(input);
    expect(plan.places[0]?.water[0]?.plants.map(({ id }) => id)).toEqual(["early", "due", "late"]);
    expect(plan.ask[0]?.plants.map(({ id }) => id)).toEqual(["unknown"]);
    const weekend = planRequest(input, { until: day("2027-02-01") });
    expect(weekend.places[0]?.water[0]?.plants.map(({ id }) => id)).toContain("not-yet");
    expect(planRequest(input, { place: "Warm Bench" }).places).toEqual([]);
  });
});

describe("a large collection", () => {
  test("stays phone-sized: 300 plants in three places", () => {
    const genera = ["Haworthia", "Mammillaria", "Dioscorea"];
    const plants = Array.from({ length: 300 }, (_, index) =>
      plant(genera[index % 3] as string, {
        id: `p${index}`,
        tag: `P${index}`,
        species: `s${index}`,
        place: `House ${index % 3}`,
      }),
    );
    const done = plants.map(({ id }) => `${id} water 2027-04-20`);
    const places = [0, 1, 2].map((index) => ({ name: `House ${index}` }));
    const lines = said("2027-05-15", { plants, done, places }) ?? [];
    expect(lines.length).toBeLessThanOrEqual(8);
    expect(lines.join("\n").length).toBeLessThan(900);
  });
});

test.each([
  ["Haworthia", "haworthias"],
  ["Aloe", "aloes"],
  ["Lithops", "lithops"],
  ["Ferocactus", "ferocacti"],
  ["Echinopsis", "echinopsis"],
  ["Gymnocalycium", "gymnocalyciums"],
  ["Adromischus", "adromischus"],
  ["Hylotelephium", "hylotelephiums"],
])("%s are %s", (genus, words) => {
  expect(plural(genus)).toBe(words);
});
