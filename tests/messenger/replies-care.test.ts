import fc from "fast-check";
import { Temporal } from "temporal-polyfill";
import { describe, expect, test } from "vitest";
import { answerCare, answerName } from "../../bot/horticulture/answer-care.js";
import { CARE_TOPICS, type CareQuestion, type Circumstances } from "../../bot/horticulture/answers.js";
import { whyOf } from "../../bot/horticulture/why.js";
import { type CareSaid, careLines } from "../../bot/messenger/replies/en/care.js";
import { careWhyLines } from "../../bot/messenger/replies/en/care-why.js";
import { interval, months } from "../../bot/messenger/replies/en/care-words.js";
import type { Manner } from "../../bot/messenger/replies/en/figures.js";
import { around, day, plant } from "../horticulture/household.js";
import { knowledge } from "../horticulture/knowledge.js";
import { small } from "./small-care-table.js";

const manner = (date: string, units: Manner["units"] = "metric"): Manner => ({
  units,
  zone: "Europe/Warsaw",
  now: Temporal.ZonedDateTime.from(`${date}T09:00[Europe/Warsaw]`).toInstant(),
});

interface Asked {
  on?: string;
  units?: Manner["units"];
  around?: Partial<Circumstances>;
}

const WINTER = "2027-01-15";

function said(question: CareQuestion, { on = WINTER, units, around: rest }: Asked = {}): CareSaid {
  return careLines(answerCare(question, small, around(on, rest)), manner(on, units));
}

const ADENIUM_RULE = {
  subjects: [{ genus: "Gasteria" }],
  saidBy: "Ines",
  saidOn: day("2026-05-03"),
  words: "we give the gasterias a sip every 10 days",
};

describe("a care answer in words", () => {
  test.each<[string, CareQuestion, Asked, string[]]>([
    [
      "does gasteria need water in winter",
      { topic: "water", subjects: [{ genus: "Gasteria" }], season: "winter" },
      { around: { plants: [plant("Gasteria", "Long House", "2026-12-27")] } },
      [
        "Gasteria, winter, kept cool: a sip every 2 to 3 weeks. Dry it takes 5 °C, moist keep it above 8 °C.",
        "Yours (Long House) had one 19 days ago: due now. Common practice.",
      ],
    ],
    [
      "the same on an imperial household's phone",
      { topic: "water", subjects: [{ genus: "Gasteria" }], season: "winter" },
      { units: "imperial" },
      [
        "Gasteria, winter, kept cool: a sip every 2 to 3 weeks. Dry it takes 41 °F, moist keep it above 46 °F.",
        "Common practice.",
      ],
    ],
    [
      "an old name comes first, the accepted one in brackets",
      { topic: "water", subjects: [{ genus: "Parodia", as: "notocactus" }], season: "winter" },
      {},
      [
        "Notocactus (Parodia), winter, kept cool: keep it bone dry. Dry it takes 5 °C, moist keep it above 8 °C.",
        "Common practice.",
      ],
    ],
    [
      "the family speaks for a genus without a rule, and it is said",
      { topic: "water", subjects: [{ genus: "Copiapoa" }], season: "winter" },
      {},
      [
        "Copiapoa, winter, kept cool: keep it bone dry. Dry it takes 5 °C, moist keep it above 8 °C.",
        "No rule of its own: this is its family's, Cactaceae; one of yours would go before it.",
        "Common practice.",
      ],
    ],
    [
      "both the group's own rule and the book's",
      { topic: "water", subjects: [{ genus: "Gasteria" }], season: "winter" },
      { around: { ownRules: [{ ...ADENIUM_RULE, everyDays: { from: 10, to: 10 } }] } },
      [
        "Gasteria, winter, kept cool: a sip every 10 days. Dry it takes 5 °C, moist keep it above 8 °C.",
        "Your own rule (Ines, 3 May 2026): every 10 days. The book: a sip every 2 to 3 weeks.",
        "Common practice.",
      ],
    ],
    [
      "held back by the cold",
      { topic: "water", subjects: [{ genus: "Gasteria" }] },
      {
        around: {
          plants: [plant("Gasteria", "Long House", "2026-12-20")],
          places: [{ name: "Long House", floorC: 5, meanMinC: 5.5, nights: 14, coldestC: 3 }],
        },
      },
      [
        "Gasteria, winter, kept cool: a sip every 2 to 3 weeks. Dry it takes 5 °C, moist keep it above 8 °C.",
        "Yours (Long House) had one 26 days ago: due, but it was too cold there (3 °C, wants 8 °C).",
        "Common practice.",
      ],
    ],
    [
      "can melocactus take 6 °C",
      { topic: "temperature", subjects: [{ genus: "Melocactus" }], value: { value: 6, unit: "Cel" } },
      {},
      [
        "No: 6 °C is 6 K too cold for Melocactus (winter). Dry it takes 12 °C, moist keep it above 15 °C.",
        "Common practice.",
      ],
    ],
    [
      "can melocactus take 43 °F: a difference has no offset",
      { topic: "temperature", subjects: [{ genus: "Melocactus" }], value: { value: 43, unit: "[degF]" } },
      { units: "imperial" },
      [
        "No: 43 °F is 11 °F too cold for Melocactus (winter). Dry it takes 54 °F, moist keep it above 59 °F.",
        "Common practice.",
      ],
    ],
    [
      "can rebutia take 4 °C",
      { topic: "temperature", subjects: [{ genus: "Rebutia" }], value: { value: 4, unit: "Cel" } },
      {},
      ["Only dry: Rebutia takes 3 °C with dry roots; moist keep it above 7 °C (winter).", "Common practice."],
    ],
    [
      "how cold can rebutia get",
      { topic: "temperature", subjects: [{ genus: "Rebutia" }], season: "winter" },
      {},
      [
        "Rebutia, winter: dry it takes 3 °C, moist keep it above 7 °C.",
        "It takes some frost when bone dry. Common practice.",
      ],
    ],
    [
      "a place whose floor is too low for what stands there",
      { topic: "temperature", subjects: [{ genus: "Melocactus" }] },
      { around: { plants: [plant("Melocactus", "Long House")] } },
      [
        "Melocactus, winter: dry it takes 12 °C, moist keep it above 15 °C.",
        "Long House is kept above 5 °C only: too cold for yours there.",
        "Common practice.",
      ],
    ],
    [
      "is it normal that my euphorbia drops its leaves, in October",
      { topic: "any", subjects: [{ genus: "Euphorbia" }], sign: "leaf_drop", season: "autumn" },
      { on: "2027-10-15" },
      [
        "Yes, normal in autumn. Euphorbia: leafy kinds drop all their leaves. It rests, it is not dead.",
        "Published: Cactus Society.",
      ],
    ],
    [
      "the same in June",
      { topic: "any", subjects: [{ genus: "Euphorbia" }], sign: "leaf_drop", season: "summer" },
      { on: "2027-06-15" },
      [
        "Euphorbia: normal in winter and autumn (bare of leaves), not in summer. Feel the stem: firm is rest, soft is rot.",
        "Published: Cactus Society.",
      ],
    ],
    [
      "when do I repot",
      { topic: "repot", subjects: [{ genus: "Parodia" }] },
      { on: "2027-10-05" },
      [
        "Parodia: repot from January to March in bone-dry substrate, every 1 to 2 years; next from Sat 1 Jan, in 88 days.",
        "Keep dry; repot dry from late January at 5 to 8 °C. Common practice.",
      ],
    ],
    [
      "the same in the south, in °F",
      { topic: "repot", subjects: [{ genus: "Parodia" }] },
      { units: "imperial", around: { hemisphere: "south", latitude: -34 } },
      [
        "Parodia: repot from July to September in bone-dry substrate, every 1 to 2 years; next from Thu 1 Jul, in 167 days.",
        "Keep dry; repot dry from late July at 41 to 46 °F. Common practice.",
      ],
    ],
    [
      "a caution where it matters",
      { topic: "repot", subjects: [{ genus: "Euphorbia" }] },
      { on: "2027-04-05" },
      [
        "Euphorbia: repot from March to May; that is now.",
        "Common practice.",
        "Caution: milky sap burns skin and eyes: gloves and goggles.",
      ],
    ],
    [
      "asked for everything: phase, what to do, the caution in short",
      { topic: "any", subjects: [{ genus: "Euphorbia" }] },
      { around: { plants: [plant("Euphorbia", "Warm Bench", "2026-10-01")] } },
      [
        "Euphorbia, winter: keep it bone dry. Dry it takes 10 °C, moist keep it above 13 °C.",
        "Resting; a summer grower.",
        "Yours (Warm Bench) last had water 106 days ago: stays dry now.",
        "Caution: milky sap burns skin and eyes. Common practice.",
      ],
    ],
    [
      "no caution where it does not",
      { topic: "light", subjects: [{ genus: "Euphorbia" }] },
      {},
      ["Euphorbia, winter: bright, airy.", "Common practice."],
    ],
    [
      "when to sow",
      { topic: "sow", subjects: [{ genus: "Parodia" }] },
      { on: "2027-04-05" },
      [
        "Parodia: sow from March to May at 18 to 28 °C; that is now. First seedlings after 5 to 28 days.",
        "Common practice.",
      ],
    ],
    [
      "is its sap dangerous",
      { topic: "hazard", subjects: [{ genus: "Euphorbia" }] },
      {},
      ["Caution: milky sap burns skin and eyes: gloves and goggles.", "Published."],
    ],
    [
      "a hazard that the tables do not know is no promise",
      { topic: "hazard", subjects: [{ genus: "Gasteria" }] },
      {},
      [
        "Gasteria: no caution in the tables. That is no promise that it is harmless; a vet or a poison line knows more.",
      ],
    ],
    [
      "what must not go below 10",
      { topic: "temperature", value: { value: 10, unit: "Cel" } },
      {
        around: {
          plants: [
            plant("Melocactus", "Warm Bench"),
            plant("Gasteria", "Long House"),
            plant("Euphorbia", "Warm Bench"),
          ],
        },
      },
      ["Not below 10 °C, even dry (winter): Melocactus (Warm Bench) 12 °C and Euphorbia (Warm Bench) 10 °C."],
    ],
    [
      "which of our plants want water in winter",
      { topic: "water", season: "winter" },
      {
        around: {
          plants: [
            plant("Melocactus", "Warm Bench"),
            plant("Gasteria", "Long House"),
            plant("Rebutia", "Long House"),
          ],
        },
      },
      [
        "A sip in winter: Gasteria (Long House) and Melocactus (Warm Bench).",
        "Dry in winter: Rebutia (Long House).",
      ],
    ],
    [
      "a place ahead of the calendar",
      { topic: "water", subjects: [{ genus: "Rebutia" }], place: "Warm Bench" },
      { on: "2027-02-12" },
      [
        "Rebutia, spring: water it through every 9 to 18 days, dry in between. Dry it takes 5 °C, moist keep it above 8 °C.",
        "Warm Bench runs about 4 weeks ahead of the calendar: spring there.",
        "Published: Cactus Society.",
      ],
    ],
    [
      "several at once",
      {
        topic: "water",
        subjects: [{ genus: "Gasteria" }, { genus: "Rebutia" }, { genus: "Quercus" }],
        season: "winter",
      },
      {},
      [
        "Gasteria, winter, kept cool: a sip every 2 to 3 weeks. Dry it takes 5 °C, moist keep it above 8 °C.",
        "Rebutia, winter, kept cool: keep it bone dry. Dry it takes 3 °C, moist keep it above 7 °C.",
        "No rule for Quercus.",
      ],
    ],
    [
      "a name nobody knows",
      { topic: "any", subjects: [{ genus: "Quercus" }] },
      {},
      ["No plant called “Quercus” in the tables. The genus helps: “care gasteria”."],
    ],
    [
      "a known genus without any rule",
      { topic: "any", subjects: [{ genus: "Agave" }] },
      {},
      ["Agave: no rule in the table.", "Keep one of your own: “we water the agave every 10 days in summer”."],
    ],
    ["no plant named", { topic: "repot" }, {}, ["Of which plant? For example “when do I repot copiapoa?”."]],
  ])("%s", (_what, question, asked, lines) => {
    expect(said(question, asked).lines).toEqual(lines);
  });

  test("an ambiguous name asks which, with a button for each", () => {
    const answer = said({ topic: "any", subjects: [{ genus: "turk's cap" }] });
    expect(answer.lines).toEqual(["“turk's cap” is used for several plants. Which one?"]);
    expect(answer.choices.map((choice) => choice.label)).toEqual(["Melocactus", "Parodia"]);
  });

  test("a doubtful spelling asks with the nearest names", () => {
    const answer = said({ topic: "any", subjects: [{ genus: "Rebatio" }] });
    expect(answer.lines).toEqual(["“Rebatio” is no name the tables know. Do you mean Rebutia?"]);
    expect(answer.choices).toEqual([{ label: "Rebutia", words: "Rebutia" }]);
  });

  test("the more there is to say stands behind the button", () => {
    const answer = said({ topic: "any", subjects: [{ genus: "Parodia" }] });
    expect(answer.lines.length).toBeLessThanOrEqual(4);
    expect(answer.more).toContain("Normal now: crown sunk.");
  });

  test.each([
    ["notocactus", ["Notocactus is Parodia (Cactaceae) here.", "Some societies keep Notocactus."]],
    ["Parodia", ["Parodia (Cactaceae) is the name used here."]],
    ["Gasteria 'Little Warty'", ["Gasteria 'Little Warty' (Asphodelaceae) is the name used here."]],
  ])("what is %s called now", (typed, lines) => {
    expect(careLines(answerName(typed, small), manner(WINTER)).lines).toEqual(lines);
  });
});

describe("every answer", () => {
  const topics = ["water", "temperature", "light", "feed", "repot", "sow", "rest", "hazard", "any"] as const;
  const plants = [
    plant("Gasteria", "Long House", "2026-12-27"),
    plant("Gasteria", "Warm Bench", "2027-01-01"),
  ];
  const ownRules = [
    { ...ADENIUM_RULE, everyDays: { from: 10, to: 12 } },
    { ...ADENIUM_RULE, leastC: 9 },
  ];

  test.each(topics)("on %s fits into four lines, ends each with a full stop and names its basis", (topic) => {
    for (const genus of ["Gasteria", "Parodia", "Copiapoa", "Euphorbia"]) {
      for (const units of ["metric", "imperial"] as const) {
        const { lines, more } = said(
          { topic, subjects: [{ genus }] },
          { units, around: { plants, ownRules } },
        );
        expect(lines.length).toBeLessThanOrEqual(4);
        for (const line of [...lines, ...more]) {
          expect(line).toMatch(/[.?]$/);
          expect(line).not.toMatch(/\.\.|undefined|null|NaN|!| {2}/);
          if (units === "imperial") expect(line).not.toContain("°C");
        }
        if (topic !== "hazard") expect(lines.join(" ")).toMatch(/Common practice|Published|From memory/);
      }
    }
  });
});

describe("over the project's own table", () => {
  const taxa = [...knowledge.lookup.table.taxa.values()].filter((taxon) => taxon.rank !== "subgenus");

  test("every taxon is answered on every topic, briefly, in both hemispheres and units", () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...taxa),
        fc.constantFrom(...CARE_TOPICS),
        fc.integer({ min: 0, max: 364 }),
        fc.constantFrom("north" as const, "south" as const),
        fc.constantFrom("metric" as const, "imperial" as const),
        (taxon, topic, days, hemisphere, units) => {
          const date = day("2027-01-01").add({ days }).toString();
          const subject = taxon.rank === "group" ? { group: taxon.name } : { genus: taxon.name };
          const answer = answerCare(
            { topic, subjects: [subject] },
            knowledge,
            around(date, { hemisphere, latitude: hemisphere === "south" ? -35 : 53 }),
          );
          expect(answer.kind, taxon.name).toBe("taxon");
          const { lines, more } = careLines(answer, manner(date, units));
          expect(lines.length).toBeGreaterThan(0);
          expect(lines.length).toBeLessThanOrEqual(4);
          for (const line of [...lines, ...more]) {
            expect(line.length, line).toBeLessThanOrEqual(200);
            expect(line).toMatch(/[.?]$/);
            expect(line).not.toMatch(/\.\.|undefined|null|NaN|!| {2}/);
            if (units === "imperial") expect(line).not.toMatch(/\d ?°C/);
          }
        },
      ),
      { numRuns: 2000 },
    );
  });
});

describe("why in words", () => {
  test("shows rule row, own rule, season, phase, last entry and source", () => {
    const answer = answerCare(
      { topic: "water", subjects: [{ genus: "Parodia", as: "notocactus" }] },
      small,
      around("2027-02-14", {
        plants: [plant("Parodia", "Warm Bench", "2026-10-10")],
        ownRules: [{ ...ADENIUM_RULE, subjects: [{ genus: "Parodia" }], everyDays: { from: 10, to: 10 } }],
      }),
    );
    expect(careWhyLines(whyOf(answer), manner("2027-02-14"))).toEqual([
      { what: "Name", value: "notocactus is Parodia here (some societies keep Notocactus)" },
      { what: "Rule", value: "Parodia, spring: rules.csv, line 11" },
      { what: "Your own rule (Ines, 3 May 2026)", value: "“we give the gasterias a sip every 10 days”" },
      {
        what: "Season",
        value: "spring: nights of about 12.8 °C in Warm Bench, usual 6 °C, so 27 days ahead of the calendar",
      },
      { what: "Phase", value: "growing (summer grower)" },
      { what: "Last watered, Warm Bench", value: "Sat 10 Oct 2026, 127 days ago, Priya" },
      { what: "From", value: "Cactus Society, Growing hints, 2019" },
    ]);
  });
});

describe("phrases", () => {
  test.each<[[number, number], string]>([
    [[7, 7], "every week"],
    [[14, 21], "every 2 to 3 weeks"],
    [[14, 14], "every 2 weeks"],
    [[7, 14], "every 1 to 2 weeks"],
    [[10, 18], "every 10 to 18 days"],
    [[10, 10], "every 10 days"],
  ])("%j: %s", (days, words) => {
    expect(interval(days)).toBe(words);
  });

  test.each([
    [[1, 2, 3], "from January to March"],
    [[3, 9], "in March and in September"],
    [[11, 12, 1], "from November to January"],
    [[1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12], "in any month"],
  ])("%j: %s", (list, words) => {
    expect(months(list)).toBe(words);
  });
});
