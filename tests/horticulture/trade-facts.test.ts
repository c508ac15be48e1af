import { describe, expect, test } from "vitest";
import { answerCare } from "../../bot/horticulture/answer-care.js";
import type { CareQuestion, TaxonAnswer } from "../../bot/horticulture/answers.js";
import type { Season } from "../../bot/horticulture/care.js";
import { around } from "./household.js";
import { knowledge } from "./knowledge.js";

/** What every grower of the trade holds: common practice without a source, northern hemisphere. */

const { lookup, index } = knowledge;

function rulesOf(typed: string) {
  const name = index.resolve(typed);
  if (name.kind !== "taxon") throw new Error(`${typed} is ${name.kind}`);
  const found = lookup.find(name.accepted, name.family);
  if (!found) throw new Error(`nothing speaks for ${name.accepted}`);
  return found;
}
const inSeason = (typed: string, season: Season) => rulesOf(typed).rules[season];

function asked(question: CareQuestion, date: string, south = false): TaxonAnswer {
  const answer = answerCare(question, knowledge, {
    ...around(date, { places: [] }),
    hemisphere: south ? "south" : "north",
    latitude: south ? -35 : 53.4,
  });
  if (answer.kind !== "taxon") throw new Error(`answered ${answer.kind}`);
  return answer;
}

const desertCacti = [...lookup.table.taxa.values()].filter(
  (taxon) => taxon.rank === "genus" && taxon.groups.includes("cacti") && !taxon.groups.includes("epiphytes"),
);

describe("cacti in general", () => {
  test("stay dry in winter, at about 6 °C and up", () => {
    const { water, least, phase } = inSeason("cacti", "winter");
    expect({ mode: water.mode, phase }).toEqual({ mode: "none", phase: "resting" });
    expect(least.dry).toBeGreaterThanOrEqual(5);
    expect(least.dry).toBeLessThanOrEqual(7);
    // tropical ones, kept above 8 °C, take a sip
    const cool = desertCacti.filter((taxon) => Number(lookup.find(taxon.name)?.rules.winter.least.dry) <= 8);
    const dry = cool.filter((taxon) => lookup.find(taxon.name)?.rules.winter.water.mode === "none");
    expect(cool.length).toBeGreaterThan(70);
    expect(dry.length / cool.length).toBeGreaterThan(0.95);
  });

  test.each(["Mammillaria", "Copiapoa", "Gymnocalycium", "Rebutia", "Echinopsis", "Parodia", "Astrophytum"])(
    "%s: dry in winter, watered in summer, repotted from late January into March, sown about April",
    (genus) => {
      const { rules, taxon } = rulesOf(genus);
      expect(rules.winter.water.mode).toBe("none");
      expect(["normal", "generous", "light"]).toContain(rules.summer.water.mode);
      expect(taxon.repot.some((month) => month === 2 || month === 3)).toBe(true);
      expect(taxon.sow).toContain(4);
    },
  );

  test("are repotted in bone-dry substrate while they rest", () => {
    const answer = asked({ topic: "repot", subjects: [{ group: "cacti" }] }, "2027-02-10");
    expect(answer).toMatchObject({ repotDry: true, repot: { open: true, months: [1, 2, 3] } });
    expect(asked({ topic: "repot", subjects: [{ group: "cacti" }] }, "2027-08-10", true)).toMatchObject({
      repot: { open: true, months: [7, 8, 9] },
    });
  });

  test("nearly all are sown about April", () => {
    const april = desertCacti.filter((taxon) => taxon.sow.includes(4));
    expect(april.length / desertCacti.length).toBeGreaterThan(0.95);
  });

  test.each(["Melocactus", "Discocactus", "Uebelmannia"])("the tropical %s is kept warm", (genus) => {
    expect(inSeason(genus, "winter").least.dry).toBeGreaterThanOrEqual(10);
  });

  test.each(["Echinocereus", "Escobaria", "Lobivia", "Opuntia", "Pediocactus"])(
    "%s takes cold when dry",
    (genus) => {
      expect(inSeason(genus, "winter").least.dry).toBeLessThanOrEqual(5);
    },
  );

  test.each(["Schlumbergera", "Rhipsalis", "Epiphyllum", "Hatiora"])(
    "the epiphyte %s never stands bone dry",
    (genus) => {
      const { rules } = rulesOf(genus);
      for (const season of ["winter", "spring", "summer", "autumn"] as const) {
        expect(rules[season].water.mode, season).not.toBe("none");
      }
    },
  );
});

describe("the year of the others", () => {
  test.each(["Aloe", "Haworthia", "Haworthiopsis", "Gasteria", "Graptopetalum"])(
    "%s kept cool takes a little water every two to three weeks in winter",
    (genus) => {
      const { water } = inSeason(genus, "winter");
      expect(["sips", "light"]).toContain(water.mode);
      expect(water.days?.[0]).toBeLessThanOrEqual(21);
      expect(water.days?.[1]).toBeGreaterThanOrEqual(14);
    },
  );

  test.each(["Kalanchoe", "Adromischus", "Dioscorea elephantipes", "Conophytum", "Tylecodon", "Othonna"])(
    "%s grows in winter and wants water then",
    (name) => {
      const { rules, taxon } = rulesOf(name);
      expect(rules.winter.phase).toBe("growing");
      expect(rules.winter.water.mode).not.toBe("none");
      expect(taxon.cycle === "winter grower" || name === "Kalanchoe").toBe(true);
    },
  );

  test.each(["Cymbidium", "tiger orchid", "Odontoglossum grande", "Rossioglossum grande"])(
    "%s stays in a cool house, is watered in winter and sets buds on its low temperatures",
    (name) => {
      const { rules, taxon } = rulesOf(name);
      expect(rules.winter.water.mode).not.toBe("none");
      expect(rules.winter.least.moist).toBeLessThanOrEqual(13);
      expect(rules.winter.least.moist).toBeGreaterThanOrEqual(5);
      expect(taxon.budTrigger).toMatch(/cool|cold|night|low/i);
    },
  );

  test.each([
    ["Euphorbia", undefined],
    ["Commiphora", undefined],
    ["Adenium", "obesum"],
    ["Pachypodium", undefined],
    ["Jatropha", undefined],
    ["Cyphostemma", "juttae"],
  ])("%s %s dropping all its leaves in autumn is resting, not dead", (genus, species) => {
    const subjects = [species === undefined ? { genus } : { genus, species }];
    const answer = asked({ topic: "any", subjects, sign: "leaf_drop" }, "2027-10-20");
    expect(answer.at.season).toBe("autumn");
    expect(answer.sign?.normal).toBe(true);
    const south = asked({ topic: "any", subjects, sign: "leaf_drop" }, "2027-04-20", true);
    expect(south.at.season).toBe("autumn");
    expect(south.sign?.normal).toBe(true);
  });

  test.each(["Adenium", "Melocactus", "Discocactus", "Pachypodium", "Uebelmannia", "Commiphora"])(
    "%s belongs into the warm compartment at about 13 °C, and is safe in it when dry",
    (genus) => {
      const { least } = inSeason(genus, "winter");
      expect(least.dry).toBeGreaterThanOrEqual(10);
      expect(least.dry).toBeLessThanOrEqual(15);
    },
  );

  test("each season's rule in the south is that of the north half a year on", () => {
    for (const genus of ["Copiapoa", "Conophytum", "Aloe", "Cymbidium"]) {
      for (const [north, south] of [
        ["2027-01-15", "2027-07-15"],
        ["2027-04-15", "2027-10-15"],
        ["2027-07-15", "2027-01-15"],
        ["2027-10-15", "2027-04-15"],
      ] as const) {
        const question: CareQuestion = { topic: "water", subjects: [{ genus }] };
        expect(asked(question, south, true).care).toEqual(asked(question, north).care);
      }
    }
  });
});
