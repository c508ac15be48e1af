import fc from "fast-check";
import { Temporal } from "temporal-polyfill";
import { describe, expect, test } from "vitest";
import { SEASONS, WATER_MODES } from "../../bot/horticulture/care.js";
import { ruleAt, ruleOf, TURN_DAYS } from "../../bot/horticulture/lookup.js";
import { placeSeason } from "../../bot/horticulture/place-season.js";
import type { Hemisphere } from "../../bot/horticulture/seasons.js";
import { buildCareTable, type TableRow } from "../../bot/horticulture/table.js";
import { readCareTable } from "../../db/care/read.js";
import { knowledge, names } from "./knowledge.js";

const { lookup, index } = knowledge;
const { table } = lookup;
const taxa = [...table.taxa.values()];
const HEMISPHERES: Hemisphere[] = ["north", "south"];
const year = Array.from({ length: 366 }, (_, day) =>
  Temporal.PlainDate.from("2028-01-01").add({ days: day }),
);

describe("the care table", () => {
  test("reads without a defect and has a hash that only the files decide", () => {
    const first = readCareTable();
    expect(first.hash).toMatch(/^[0-9a-f]{64}$/);
    expect(readCareTable().hash).toBe(first.hash);
    expect(first.rows.length).toBe(4 * table.rules.size);
  });

  test("has 250 genera or more with rules of their own", () => {
    const genera = taxa.filter((taxon) => taxon.rank === "genus" && table.rules.has(taxon.name));
    expect(genera.length).toBeGreaterThanOrEqual(250);
  });

  test("has a rule for every taxon on every day of a leap year in both hemispheres", () => {
    const wrong: string[] = [];
    for (const hemisphere of HEMISPHERES) {
      const days = year.map((date) => placeSeason(date, {}, hemisphere));
      for (const taxon of taxa) {
        const found = lookup.find(taxon.name);
        if (!found) {
          wrong.push(`${taxon.name} has no rule`);
          continue;
        }
        for (const at of days) {
          const { days: interval, mode, rule } = ruleAt(found.rules, at);
          const ordered = interval === null || interval[0] <= interval[1];
          const dry = (interval === null) === (mode === "none");
          if (!ordered || !dry || rule.least.moist < rule.least.dry) {
            wrong.push(`${taxon.name}, day ${at.day}, ${hemisphere}`);
          }
        }
      }
    }
    expect(wrong).toEqual([]);
  });

  test("orders intervals, and never waters a plant that rests with none", () => {
    for (const rules of table.rules.values()) {
      for (const season of SEASONS) {
        const { water, phase } = rules[season];
        expect(water.days === null).toBe(water.mode === "none");
        if (water.days) expect(water.days[0]).toBeLessThanOrEqual(water.days[1]);
        if (water.mode === "none") expect(["resting", "waking", "slowing"]).toContain(phase);
      }
    }
  });

  test("names a source for every published row", () => {
    for (const rules of table.rules.values()) {
      for (const season of SEASONS) {
        const rule = rules[season];
        expect(rule.basis === "published").toBe(rule.source !== null);
        if (rule.source) expect(table.sources.has(rule.source), rule.source).toBe(true);
      }
    }
  });

  test("knows where each row stands", () => {
    for (const rules of table.rules.values()) {
      expect(rules.winter.at.file).toMatch(/^db\/care\/rules\/.+\.csv$/);
      expect(rules.winter.at.line).toBeGreaterThan(1);
    }
  });
});

describe("names", () => {
  const endsOf = (name: string): string[] => {
    const found = index.resolve(name);
    if (found.kind === "taxon") return [found.accepted];
    return found.kind === "ambiguous" ? found.candidates : [];
  };
  const synonyms = names.synonyms.map((row) => row.name);
  const misspellings = names.misspellings.map((row) => row.typed);

  test.each([
    ["synonym", synonyms],
    ["misspelling", misspellings],
  ])("every %s ends at an accepted name with a rule", (_kind, list) => {
    const groups = new Set(names.groups.map((row) => row.group));
    const lost = list.filter((name) => {
      const ends = endsOf(name);
      return (
        ends.length === 0 || ends.some((end) => !groups.has(end) && !lookup.find(end, index.familyOf(end)))
      );
    });
    expect(lost).toEqual([]);
  });

  test("every common name is understood", () => {
    expect(names.common.map((row) => row.name).filter((name) => endsOf(name).length === 0)).toEqual([]);
  });

  test("no name is claimed twice without being marked ambiguous", () => {
    const claims = new Map<string, { accepted: Set<string>; marked: boolean }>();
    const claim = (name: string, accepted: string, marked: boolean) => {
      const key = name.toLowerCase();
      const held = claims.get(key) ?? { accepted: new Set<string>(), marked: false };
      for (const one of accepted.split(";")) held.accepted.add(one.trim());
      claims.set(key, { accepted: held.accepted, marked: held.marked || marked });
    };
    for (const row of names.synonyms) claim(row.name, row.accepted, false);
    for (const row of names.common) claim(row.name, row.accepted, row.ambiguous);
    for (const row of names.misspellings) claim(row.typed, row.accepted, row.kind === "ambiguous");
    const twice = [...claims].filter(([, { accepted, marked }]) => accepted.size > 1 && !marked);
    expect(twice.map(([name, { accepted }]) => `${name}: ${[...accepted].join(", ")}`)).toEqual([]);
  });

  test("where others call an accepted name otherwise, both are understood and the difference is told", () => {
    const accepted = new Set(taxa.map((taxon) => taxon.name));
    for (const row of names.synonyms.filter(({ name }) => accepted.has(name))) {
      const found = index.resolve(row.name);
      expect(found, row.name).toMatchObject({ kind: "taxon", accepted: row.name });
      if (found.kind === "taxon") expect(found.note, row.name).not.toBe("");
    }
  });

  test("there are 600 synonyms and trade names, 300 common names or more", () => {
    expect(names.synonyms.length).toBeGreaterThanOrEqual(600);
    expect(names.common.length).toBeGreaterThanOrEqual(300);
  });

  test("resolving is stable: an accepted name means itself", () => {
    for (const taxon of taxa) {
      expect(index.resolve(taxon.name), taxon.name).toMatchObject({ kind: "taxon", accepted: taxon.name });
    }
  });

  test("never throws, whatever is typed", () => {
    fc.assert(
      fc.property(fc.oneof(fc.string(), fc.string({ unit: "grapheme" }), fc.lorem()), (text) => {
        expect(["taxon", "ambiguous", "doubtful", "unknown"]).toContain(index.resolve(text).kind);
      }),
    );
  });
});

describe("the turn of a season", () => {
  const taxon = fc.constantFrom(...taxa.map((row) => row.name));

  test("changes an interval by small steps, so that nothing falls due overnight", () => {
    fc.assert(
      fc.property(taxon, fc.integer({ min: 0, max: 364 }), (name, day) => {
        const found = lookup.find(name);
        const [today, tomorrow] = [day, day + 1].map((days) =>
          ruleAt(
            (found as NonNullable<typeof found>).rules,
            placeSeason(Temporal.PlainDate.from("2027-01-01").add({ days }), {}, "north"),
          ),
        );
        if (!today?.days || !tomorrow?.days) return;
        for (const end of [0, 1]) {
          const [from, to] = [today.days[end] as number, tomorrow.days[end] as number];
          expect(Math.abs(from - to)).toBeLessThanOrEqual(Math.max(1.5, 0.12 * Math.max(from, to)));
        }
      }),
    );
  });

  test("stays between the two seasons, and leaves the middle of a season as it stands", () => {
    for (const found of table.rules.values()) {
      for (const season of SEASONS) {
        expect(ruleOf(found, season).days).toEqual(found[season].water.days);
        const edge = ruleAt(found, { season, since: 0, left: 90 });
        expect(edge.mode).toBe(found[season].water.mode);
        if (edge.days === null || edge.turn === null || edge.turn.other.water.days === null) continue;
        const [a, b] = [found[season].water.days?.[0] ?? 0, edge.turn.other.water.days[0]];
        expect(edge.days[0]).toBeGreaterThanOrEqual(Math.min(a, b));
        expect(edge.days[0]).toBeLessThanOrEqual(Math.max(a, b));
      }
    }
  });

  test("after a rest without water the waiting counts from the end of the rest", () => {
    const cacti = lookup.find("cacti");
    if (!cacti) throw new Error("no row for the cacti");
    expect(ruleAt(cacti.rules, { season: "spring", since: 3, left: 89 }).restEndedDaysAgo).toBe(3);
    expect(ruleAt(cacti.rules, { season: "summer", since: 3, left: 89 }).restEndedDaysAgo).toBeNull();
    expect(ruleAt(cacti.rules, { season: "winter", since: 3, left: 89 }).days).toBeNull();
    const first = ruleAt(cacti.rules, { season: "spring", since: 0, left: 92 }).days?.[0] ?? 0;
    const settled = ruleAt(cacti.rules, { season: "spring", since: TURN_DAYS, left: 77 }).days?.[0] ?? 0;
    expect(first).toBe(2 * settled);
  });
});

describe("a row that cannot be used", () => {
  const TAXON = {
    taxon: "Aloe",
    rank: "genus",
    family: "Asphodelaceae",
    group: "succulents",
    cycle: "summer grower",
    members: "",
    repot: "3-5",
    repot_every_years: "2-3",
    sow: "3-5",
    germination_c: "20-25",
    germination_days: "7-21",
    bud_trigger: "",
    frost_dry: "no",
    basis: "common practice",
    source: "",
    remarks: "",
  };
  const RULE = {
    taxon: "Aloe",
    season: "winter",
    phase: "resting",
    water: "sips",
    days_min: "14",
    days_max: "21",
    dry_min_c: "5",
    moist_min_c: "8",
    light: "bright",
    feed: "none",
    normal: "",
    do: "",
    basis: "common practice",
    source: "",
    remarks: "",
  };
  const row = (cells: Record<string, string>, file: string, line: number): TableRow => ({
    file,
    line,
    get: (column) => cells[column] ?? "",
  });
  const defects = (taxon: Partial<typeof TAXON>, rule: Partial<typeof RULE>) =>
    buildCareTable({
      taxa: [row({ ...TAXON, ...taxon }, "taxa/a.csv", 2)],
      rules: SEASONS.map((season, i) =>
        row({ ...RULE, season, ...(i === 0 ? rule : {}) }, "rules/a.csv", i + 2),
      ),
      sources: [],
    }).defects.map(({ file, line, column, problem }) => `${file}:${line} ${column}: ${problem}`);

  test("is not found among sound rows", () => {
    expect(defects({}, {})).toEqual([]);
  });

  test.each<[Partial<typeof TAXON>, Partial<typeof RULE>, string]>([
    [{}, { days_min: "21", days_max: "14" }, "rules/a.csv:2 days_max: 14 is less than days_min 21"],
    [{}, { days_min: "" }, 'rules/a.csv:2 days_min: "" is not a whole number from 1 to 365'],
    [{}, { days_min: "1.5" }, 'rules/a.csv:2 days_min: "1.5" is not a whole number from 1 to 365'],
    [{}, { moist_min_c: "4" }, "rules/a.csv:2 moist_min_c: 4 is under dry_min_c 5"],
    [{}, { dry_min_c: "cold" }, 'rules/a.csv:2 dry_min_c: "cold" is not a number from -40 to 30'],
    [{}, { water: "none" }, "rules/a.csv:2 days_min: a plant kept bone dry has no days"],
    [{}, { water: "soak" }, `rules/a.csv:2 water: "soak" is none of: ${WATER_MODES.join(", ")}`],
    [{}, { phase: "asleep" }, 'rules/a.csv:2 phase: "asleep" is none of: resting, waking, growing, slowing'],
    [
      {},
      { season: "spring" },
      "rules/a.csv:3 season: spring of Aloe stands twice, first in rules/a.csv, line 2",
    ],
    [{}, { basis: "published" }, "rules/a.csv:2 source: a published row names its source"],
    [{}, { basis: "published", source: "nobody" }, 'rules/a.csv:2 source: no source has the key "nobody"'],
    [
      {},
      { basis: "hearsay" },
      'rules/a.csv:2 basis: "hearsay" is none of: published, common practice, from memory',
    ],
    [{}, { taxon: "Aloo" }, 'rules/a.csv:2 taxon: "Aloo" is not among the taxa'],
    [{ repot: "3-13" }, {}, 'taxa/a.csv:2 repot: "3-13" is not a month or a span of months like 1-3'],
    [
      { germination_c: "25-20" },
      {},
      'taxa/a.csv:2 germination_c: "25-20" is not a range like 14-21 within 0 to 45',
    ],
    [{ taxon: "aloe" }, {}, 'taxa/a.csv:2 taxon: "aloe" is not written like a genus'],
    [{ rank: "tribe" }, {}, 'taxa/a.csv:2 rank: "tribe" is none of: genus, subgenus, species, family, group'],
    [{ frost_dry: "maybe" }, {}, 'taxa/a.csv:2 frost_dry: "maybe" is none of: yes, no'],
  ])("%j %j is told with file, line and column", (taxon, rule, expected) => {
    expect(defects(taxon, rule)).toContain(expected);
  });

  test("a taxon that nothing speaks for is told", () => {
    const { defects: found } = buildCareTable({
      taxa: [row(TAXON, "taxa/a.csv", 2)],
      rules: [],
      sources: [],
    });
    expect(found).toMatchObject([{ file: "taxa/a.csv", line: 2, column: "family" }]);
  });
});
