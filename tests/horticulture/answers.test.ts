import { describe, expect, test } from "vitest";
import { answerCare, answerName } from "../../bot/horticulture/answer-care.js";
import type { CareQuestion, Circumstances, ListAnswer, TaxonAnswer } from "../../bot/horticulture/answers.js";
import { whyOf } from "../../bot/horticulture/why.js";
import { around, day, plant } from "./household.js";
import { knowledge } from "./knowledge.js";

const WINTER = "2027-01-15";

function taxonAnswer(question: CareQuestion, circumstances: Circumstances): TaxonAnswer {
  const answer = answerCare(question, knowledge, circumstances);
  if (answer.kind !== "taxon") throw new Error(`answered ${answer.kind}`);
  return answer;
}

function listAnswer(question: CareQuestion, circumstances: Circumstances): ListAnswer {
  const answer = answerCare(question, knowledge, circumstances);
  if (answer.kind !== "list") throw new Error(`answered ${answer.kind}`);
  return answer;
}

describe("does it need water", () => {
  test("answers from the table and from the household's own journal", () => {
    const answer = taxonAnswer(
      { topic: "water", subjects: [{ genus: "Gasteria" }], season: "winter" },
      around(WINTER, { plants: [plant("Gasteria", "Long House", "2026-12-27")] }),
    );
    expect(answer).toMatchObject({
      accepted: "Gasteria",
      speaksFor: "genus",
      care: { mode: "sips", days: [14, 21] },
      standings: [{ place: "Long House", daysAgo: 19, by: "Priya", state: "due" }],
    });
  });

  test.each([
    ["a cactus stays dry", "Copiapoa", "2026-10-01", 6.5, "keep dry"],
    ["not yet", "Gasteria", "2027-01-10", 6.5, "not yet"],
    ["due", "Gasteria", "2026-12-30", 6.5, "due"],
    ["overdue", "Gasteria", "2026-11-30", 6.5, "overdue"],
    ["never noted", "Gasteria", null, 6.5, "never noted"],
    ["held back by cold", "Gasteria", "2026-12-20", 3, "too cold"],
  ])("tells how the plants stand: %s", (_what, taxon, last, coldestC, state) => {
    const circumstances = around(WINTER, { plants: [plant(taxon, "Long House", last)] });
    const places = circumstances.places.map((place) => ({ ...place, coldestC }));
    const answer = taxonAnswer(
      { topic: "water", subjects: [{ genus: taxon }] },
      { ...circumstances, places },
    );
    expect(answer.standings[0]?.state).toBe(state);
  });

  test("a plant just out of its dry rest is not late for the winter it slept through", () => {
    const spring = around("2027-03-04", { plants: [plant("Copiapoa", "Long House", "2026-10-01")] });
    const answer = taxonAnswer({ topic: "water", subjects: [{ genus: "Copiapoa" }] }, spring);
    expect(answer.standings[0]?.state).toBe("not yet");
  });

  test("a month is read in the household's hemisphere", () => {
    const north = taxonAnswer(
      { topic: "water", subjects: [{ genus: "Copiapoa" }], month: 1 },
      around(WINTER),
    );
    const south = taxonAnswer(
      { topic: "water", subjects: [{ genus: "Copiapoa" }], month: 7 },
      around(WINTER, { hemisphere: "south", latitude: -35 }),
    );
    expect(north.care.mode).toBe("none");
    expect(south.care.mode).toBe("none");
  });

  test("a warm bench is in spring while a cool house still sleeps", () => {
    const plants = [plant("Echinopsis", "Long House"), plant("Echinopsis", "Warm Bench")];
    const february = around("2027-02-14", { plants });
    const at = (place: string) =>
      taxonAnswer({ topic: "water", subjects: [{ genus: "Echinopsis" }], place }, february).at;
    expect(at("Long House").season).toBe("winter");
    expect(at("Warm Bench")).toMatchObject({ season: "spring", calendar: "winter" });
  });

  test("goes by the place where all its plants stand, before the default one", () => {
    const answer = taxonAnswer(
      { topic: "water", subjects: [{ genus: "Adenium" }] },
      around("2027-02-14", { plants: [plant("Adenium obesum", "Warm Bench")] }),
    );
    expect(answer.place).toBe("Warm Bench");
  });
});

describe("who speaks for a name", () => {
  test.each([
    ["a species with its own row", "Euphorbia", "obesa", "species", "Euphorbia obesa"],
    ["a species without one", "Lithops", "aucampiae", "genus", "Lithops"],
    ["a genus", "Copiapoa", undefined, "genus", "Copiapoa"],
    ["a genus without a row: its family", "Brachycereus", undefined, "family", "Cactaceae"],
    ["a species of it: the same", "Brachycereus", "nesioticus", "family", "Cactaceae"],
  ])("%s", (_what, genus, species, speaksFor, by) => {
    const answer = taxonAnswer({ topic: "any", subjects: [{ genus, species }] }, around(WINTER));
    expect(answer).toMatchObject({ speaksFor, by });
  });

  test.each([
    ["lobivias", "Echinopsis", "Echinopsis [Lobivia]"],
    ["monadenium", "Euphorbia", "Euphorbia [Monadenium]"],
  ])("%s, an old genus that is a section now, is answered by the section", (as, genus, by) => {
    const answer = taxonAnswer({ topic: "any", subjects: [{ genus, as }] }, around(WINTER));
    expect(answer).toMatchObject({ accepted: genus, asked: as, by, speaksFor: "section" });
  });

  test("a group is answered by its own row", () => {
    const answer = taxonAnswer({ topic: "water", subjects: [{ group: "cacti" }] }, around(WINTER));
    expect(answer).toMatchObject({ accepted: "cacti", speaksFor: "group", care: { mode: "none" } });
  });

  test("a tag is answered as the plant that carries it", () => {
    const tagged = { ...plant("Aloe polyphylla", "Long House"), tag: "L-014", name: "Spiral" };
    const answer = taxonAnswer(
      { topic: "water", subjects: [{ tag: "L-014" }] },
      around(WINTER, { plants: [tagged, plant("Aloe", "Long House")] }),
    );
    expect(answer).toMatchObject({ accepted: "Aloe polyphylla", asked: "L-014" });
    expect(answer.standings).toHaveLength(1);
  });

  test.each([
    [{ genus: "Quercus" }, "unknown"],
    [{ genus: "elephant's foot" }, "ambiguous"],
  ])("%j is %s", (subject, kind) => {
    expect(answerCare({ topic: "any", subjects: [subject] }, knowledge, around(WINTER)).kind).toBe(kind);
  });

  test("a name used for several plants is asked back, unless only one of them is kept here", () => {
    const question: CareQuestion = {
      topic: "water",
      subjects: [{ genus: "Dioscorea", species: "elephantipes", as: "elephant's foot" }],
    };
    expect(answerCare(question, knowledge, around(WINTER)).kind).toBe("ambiguous");
    const one = around(WINTER, { plants: [plant("Beaucarnea recurvata", "Long House", "2027-01-01")] });
    const answer = taxonAnswer(question, one);
    expect(answer).toMatchObject({ accepted: "Beaucarnea recurvata", asked: "elephant's foot" });
    expect(answer.standings).toHaveLength(1);
  });

  test("a doubtful spelling is asked back with the nearest names", () => {
    const answer = answerCare({ topic: "any", subjects: [{ genus: "Echinops" }] }, knowledge, around(WINTER));
    expect(answer.kind).toBe("doubtful");
    if (answer.kind === "doubtful") expect(answer.nearest).toContain("Echinopsis");
  });
});

describe("can it take the cold", () => {
  test.each([
    ["Melocactus", { value: 6, unit: "Cel" }, "no"],
    ["Melocactus", { value: 42.8, unit: "[degF]" }, "no"],
    ["Gasteria", { value: 5, unit: "Cel" }, "only dry"],
    ["Gasteria", { value: 10, unit: "Cel" }, "yes"],
    ["Gasteria", { value: 41, unit: "[degF]" }, "only dry"],
    ["Rebutia", { value: 5, unit: "Cel" }, "only dry"],
    ["Lithops", { value: 42, unit: "Cel" }, "not known"],
  ])("%s at %j: %s", (genus, value, expected) => {
    for (const date of [WINTER, "2027-07-15"]) {
      const answer = taxonAnswer({ topic: "temperature", subjects: [{ genus }], value }, around(date));
      expect(answer.verdict).toMatchObject({ answer: expected, season: "winter" });
    }
  });

  test("the group's own limit goes before the table's", () => {
    const own = {
      subjects: [{ genus: "Adenium" }],
      leastC: 14,
      saidBy: "Ines",
      saidOn: day("2026-05-03"),
      words: "our adeniums stay above 14",
    };
    const answer = taxonAnswer(
      { topic: "temperature", subjects: [{ genus: "Adenium" }], value: { value: 13, unit: "Cel" } },
      around(WINTER, { ownRules: [own] }),
    );
    expect(answer.verdict?.answer).toBe("no");
    expect(answer.care.overrides).toMatchObject([{ what: "least", ownC: 14 }]);
    expect(answer.care.rule.least.dry).not.toBe(14);
  });
});

describe("the group's own rules", () => {
  const own = (rule: object) => ({
    subjects: [{ genus: "Aloe" }],
    saidBy: "Ines",
    saidOn: day("2026-05-03"),
    words: "",
    ...rule,
  });

  test("an own interval in its season, the book's in the others", () => {
    const rules = [own({ season: "summer", everyDays: { from: 10, to: 10 } })];
    const summer = taxonAnswer(
      { topic: "water", subjects: [{ genus: "Aloe" }], season: "summer" },
      around("2027-07-15", { ownRules: rules }),
    );
    expect(summer.care.days).toEqual([10, 10]);
    expect(summer.care.overrides).toHaveLength(1);
    const winter = taxonAnswer(
      { topic: "water", subjects: [{ genus: "Aloe" }], season: "winter" },
      around(WINTER, { ownRules: rules }),
    );
    expect(winter.care.overrides).toEqual([]);
  });

  test("never is never, whatever the season", () => {
    const rules = [own({ subjects: [{ genus: "Lithops" }], never: "water" })];
    const answer = taxonAnswer(
      { topic: "water", subjects: [{ genus: "Lithops" }], season: "summer" },
      around("2027-07-15", { ownRules: rules, plants: [plant("Lithops", "Long House", "2027-01-01")] }),
    );
    expect(answer.care).toMatchObject({ mode: "none", days: null });
    expect(answer.standings[0]?.state).toBe("keep dry");
    expect(answer.care.rule.water.mode).not.toBe("none");
  });

  test("the later of two goes before the earlier; a rule for a group holds for its members", () => {
    const rules = [
      own({ everyDays: { from: 8, to: 8 }, saidOn: day("2026-06-01") }),
      own({
        subjects: [{ group: "succulents" }],
        everyDays: { from: 12, to: 12 },
        saidOn: day("2026-05-01"),
      }),
    ];
    const answer = taxonAnswer(
      { topic: "water", subjects: [{ genus: "Aloe" }], season: "summer" },
      around("2027-07-15", { ownRules: rules }),
    );
    expect(answer.care.days).toEqual([8, 8]);
    expect(answer.care.overrides).toHaveLength(2);
  });

  test("leave the table and the question as they were", () => {
    const before = JSON.stringify(knowledge.lookup.find("Aloe")?.rules);
    taxonAnswer(
      { topic: "water", subjects: [{ genus: "Aloe" }] },
      around(WINTER, { ownRules: [own({ never: "water" }), own({ leastC: 20 })] }),
    );
    expect(JSON.stringify(knowledge.lookup.find("Aloe")?.rules)).toBe(before);
  });
});

describe("is it normal", () => {
  test.each([
    ["Euphorbia", undefined, "leaf_drop", "autumn", true],
    ["Adenium", "obesum", "leaf_drop", "winter", true],
    ["Lithops", undefined, "leaf_drop", "winter", true],
    ["Dioscorea", "elephantipes", "leaf_drop", "summer", true],
    ["Adenium", "obesum", "rot", "winter", false],
  ])("that %s %s shows %s in %s: %s", (genus, species, sign, season, normal) => {
    const answer = taxonAnswer(
      { topic: "any", subjects: [{ genus, species }], season: season as "autumn", sign },
      around(WINTER),
    );
    expect(answer.sign?.normal).toBe(normal);
  });

  test("what is normal in another season is told as such", () => {
    const answer = taxonAnswer(
      {
        topic: "any",
        subjects: [{ genus: "Adenium", species: "obesum" }],
        season: "summer",
        sign: "leaf_drop",
      },
      around("2027-07-15"),
    );
    expect(answer.sign).toMatchObject({ normal: false });
    expect(answer.sign?.seasons).toContain("winter");
  });
});

describe("when to repot and sow", () => {
  test("cacti: from late January into March, seed about April; half a year off in the south", () => {
    const north = taxonAnswer({ topic: "repot", subjects: [{ genus: "Copiapoa" }] }, around("2027-02-10"));
    expect(north.repot).toMatchObject({ open: true });
    expect(north.sow.months).toContain(4);
    const south = taxonAnswer(
      { topic: "repot", subjects: [{ genus: "Copiapoa" }] },
      around("2027-02-10", { hemisphere: "south", latitude: -35 }),
    );
    expect(south.repot.open).toBe(false);
    expect(south.repot.months).toContain(8);
    expect(south.sow.months).toContain(10);
  });
});

describe("over all plants", () => {
  const plants = [
    plant("Copiapoa", "Long House", "2026-10-01"),
    plant("Gasteria", "Long House", "2026-12-27"),
    plant("Kalanchoe", "Warm Bench"),
    plant("Melocactus", "Warm Bench"),
    plant("Adenium obesum", "Warm Bench"),
    plant("Aloe", "Long House"),
  ];

  test("which of our plants want water in winter", () => {
    const answer = listAnswer({ topic: "water", season: "winter" }, around("2027-07-15", { plants }));
    expect(answer.ofHousehold).toBe(true);
    expect(answer.items.map((item) => item.accepted)).toEqual(
      expect.arrayContaining(["Aloe", "Gasteria", "Kalanchoe"]),
    );
    expect(answer.others.map((item) => item.accepted)).toContain("Copiapoa");
  });

  test("in one place only", () => {
    const answer = listAnswer(
      { topic: "water", subjects: [{ all: true }], place: "long house" },
      around(WINTER, { plants }),
    );
    expect(answer.items.map((item) => item.accepted).sort()).toEqual(["Aloe", "Gasteria"]);
  });

  test("what must not go below 10, in °C and in °F", () => {
    for (const value of [
      { value: 10, unit: "Cel" },
      { value: 50, unit: "[degF]" },
    ]) {
      const answer = listAnswer({ topic: "temperature", value }, around(WINTER, { plants }));
      const told = answer.items.map((item) => item.accepted);
      expect(told).toEqual(expect.arrayContaining(["Melocactus", "Adenium obesum"]));
      expect(told).not.toContain("Copiapoa");
    }
  });

  test("a household without plants is answered from the table, and told so", () => {
    const answer = listAnswer({ topic: "water", season: "winter" }, around(WINTER));
    expect(answer.ofHousehold).toBe(false);
    expect(answer.items.map((item) => item.accepted)).toContain("Gasteria");
  });

  test("several subjects are answered one by one", () => {
    const answer = answerCare(
      { topic: "water", subjects: [{ genus: "Aloe" }, { genus: "Gasteria" }, { genus: "Quercus" }] },
      knowledge,
      around(WINTER),
    );
    expect(answer).toMatchObject({
      kind: "several",
      answers: [{ accepted: "Aloe" }, { accepted: "Gasteria" }],
      withoutRule: ["Quercus"],
    });
  });

  test("a question of no plant at all is asked back", () => {
    expect(answerCare({ topic: "repot" }, knowledge, around(WINTER))).toMatchObject({ kind: "no subject" });
  });
});

describe("what is it called now", () => {
  test.each([
    ["notocactus", { accepted: "Parodia", via: "synonym", as: "notocactus" }],
    ["Notocacti", { accepted: "Parodia" }],
    ["Senecio rowleyanus", { accepted: "Curio rowleyanus", rank: "species", genus: "Curio" }],
    ["lobivias", { accepted: "Echinopsis" }],
    ["Aloe", { accepted: "Aloe", as: null, via: "accepted" }],
    ["ALOE VERA", { accepted: "Aloe vera" }],
    ["aloe's", { accepted: "Aloe" }],
    ["the jade plant", { accepted: "Crassula ovata", via: "common" }],
    ["jade plants", { accepted: "Crassula ovata" }],
    ["Kalanchoë", { accepted: "Kalanchoe" }],
    ["gymnos", { accepted: "Gymnocalycium" }],
    ["copiopoa", { accepted: "Copiapoa" }],
    ["E. obesa", { accepted: "Euphorbia obesa", via: "abbreviation" }],
    ["Gasteria 'Little Warty'", { accepted: "Gasteria", cultivar: "Little Warty" }],
    ["Euphorbia aff. obesa", { accepted: "Euphorbia obesa" }],
    ["aloe sp.", { accepted: "Aloe" }],
    ["xGraptoveria", { accepted: "Graptoveria" }],
    ["× Gasteraloe", { accepted: "Gasteraloe" }],
    ["Copiapoa cinera", { accepted: "Copiapoa cinerea" }],
    ["Cactaceae", { accepted: "Cactaceae", rank: "family", genus: null }],
    ["Lithops C 123", { accepted: "Lithops", fieldNumber: "C 123" }],
    ["Rebutia KK1234", { accepted: "Rebutia", fieldNumber: "KK1234" }],
  ])("%s", (typed, expected) => {
    expect(knowledge.index.resolve(typed)).toMatchObject({ kind: "taxon", ...expected });
  });

  test.each(["tomato", "hello there", "", "rose", "42", "the heater"])("%j is no plant of ours", (typed) => {
    expect(knowledge.index.resolve(typed).kind).toBe("unknown");
  });

  test("tells the other names that lead there", () => {
    const answer = answerName("notocactus", knowledge);
    if (answer.kind !== "name") throw new Error(answer.kind);
    expect(answer.alsoCalled).toEqual(expect.arrayContaining(["Notocactus", "Eriocactus"]));
  });
});

describe("why", () => {
  test("shows the chain: name, rule row, own rule, season, phase, last entry, source", () => {
    const answer = taxonAnswer(
      { topic: "water", subjects: [{ genus: "Parodia", as: "notocactus" }] },
      around("2027-06-15", {
        places: [],
        plants: [plant("Parodia", "Long House", "2027-06-10")],
        ownRules: [
          {
            subjects: [{ genus: "Parodia" }],
            everyDays: { from: 9, to: 9 },
            saidBy: "Ines",
            saidOn: day("2026-05-03"),
            words: "we water the notos every 9 days",
          },
        ],
      }),
    );
    const steps = whyOf(answer);
    expect(steps.map((step) => step.step)).toEqual([
      "name",
      "rule",
      "own",
      "season",
      "phase",
      "last",
      "source",
    ]);
    expect(steps[1]).toMatchObject({
      by: "Parodia [Notocactus]",
      season: "summer",
      file: expect.stringContaining("db/care/rules/"),
    });
  });
});
