import {
  type CareRule,
  type CareTable,
  CYCLES,
  PHASES,
  type Range,
  type RuleSet,
  SEASONS,
  type Source,
  type Taxon,
  WATER_MODES,
} from "./care.js";
import type { Rank } from "./names.js";
import { type Defect, RowReader, type TableRow } from "./table-row.js";

export type { Defect, TableRow } from "./table-row.js";

export interface CareTableRows {
  taxa: readonly TableRow[];
  rules: readonly TableRow[];
  sources: readonly TableRow[];
}

const RANKS: readonly Rank[] = ["genus", "subgenus", "species", "family", "group"];
const LEAST_RANGE: Range = [-40, 30];

const NAME_SHAPES: Readonly<Record<Rank, RegExp>> = {
  genus: /^[×x]?\s?[A-Z][a-z-]+$/,
  subgenus: /^[A-Z][a-z-]+ \[[^\]]+\]$/,
  species: /^[A-Z][a-z-]+ (?:[×x] )?[a-z][a-z-]+(?: (?:subsp|var|f)\. [a-z-]+)?$/,
  family: /^[A-Z][a-z]+aceae$/,
  group: /^[a-z].*$/,
};

function readTaxon(reader: RowReader, sources: ReadonlyMap<string, Source>): Taxon {
  const name = reader.required("taxon");
  const rank = reader.oneOf("rank", RANKS);
  if (name !== "" && !NAME_SHAPES[rank].test(name)) {
    reader.fail("taxon", `"${name}" is not written like a ${rank}`);
  }
  const own = rank === "genus" || rank === "subgenus" || rank === "species";
  const members = reader.list("members");
  if (rank === "subgenus" && members.length === 0) {
    reader.fail("members", "a subgenus row lists the species it covers");
  }
  return {
    name,
    rank,
    genus: own ? (name.split(" ")[0] ?? null) : null,
    family: rank === "group" ? reader.text("family") : reader.required("family"),
    groups: reader.list("group"),
    cycle: reader.oneOf("cycle", CYCLES),
    members,
    repot: reader.months("repot"),
    repotEveryYears: reader.range("repot_every_years", [1, 20]),
    sow: reader.months("sow"),
    germination: {
      celsius: reader.range("germination_c", [0, 45]),
      days: reader.range("germination_days", [1, 1000]),
    },
    budTrigger: reader.text("bud_trigger"),
    frostDry: reader.oneOf("frost_dry", ["yes", "no"]) === "yes",
    ...reader.grounds(sources),
    remarks: reader.text("remarks"),
    at: reader.place(),
  };
}

function readRule(reader: RowReader, sources: ReadonlyMap<string, Source>): CareRule {
  const mode = reader.oneOf("water", WATER_MODES);
  const phase = reader.oneOf("phase", PHASES);
  let days: Range | null = null;
  if (mode === "none") {
    for (const column of ["days_min", "days_max"]) {
      if (reader.text(column) !== "") reader.fail(column, "a plant kept bone dry has no days");
    }
  } else {
    const from = reader.number("days_min", [1, 365], true);
    const to = reader.number("days_max", [1, 365], true);
    if (from > to) reader.fail("days_max", `${to} is less than days_min ${from}`);
    days = from > to ? [to, from] : [from, to];
  }
  if (mode === "none" && phase === "growing") {
    reader.fail("water", "a growing plant is not kept bone dry");
  }
  const dry = reader.number("dry_min_c", LEAST_RANGE);
  const moist = reader.number("moist_min_c", LEAST_RANGE);
  if (moist < dry) reader.fail("moist_min_c", `${moist} is under dry_min_c ${dry}`);
  return {
    taxon: reader.required("taxon"),
    season: reader.oneOf("season", SEASONS),
    phase,
    water: { mode, days },
    least: { dry, moist: Math.max(dry, moist) },
    light: reader.required("light"),
    feed: reader.required("feed"),
    normal: reader.text("normal"),
    todo: reader.text("do"),
    ...reader.grounds(sources),
    remarks: reader.text("remarks"),
    at: reader.place(),
  };
}

/**
 * Reads and checks the rows of the care tables.
 * @returns the table, with whatever rows were sound, and every defect found, in the order of the files
 */
export function buildCareTable(rows: CareTableRows): { table: CareTable; defects: Defect[] } {
  const defects: Defect[] = [];
  const sources = new Map<string, Source>();
  for (const row of rows.sources) {
    const reader = new RowReader(row, defects);
    const key = reader.required("key");
    const earlier = sources.get(key);
    if (earlier && earlier.address !== reader.text("address")) {
      reader.fail("key", `"${key}" already stands for ${earlier.address || earlier.title}`);
    }
    sources.set(key, {
      key,
      author: reader.text("author"),
      title: reader.required("title"),
      year: reader.text("year"),
      address: reader.text("address"),
    });
  }

  const taxa = new Map<string, Taxon>();
  for (const row of rows.taxa) {
    const reader = new RowReader(row, defects);
    const taxon = readTaxon(reader, sources);
    const earlier = taxa.get(taxon.name);
    if (earlier) {
      reader.fail(
        "taxon",
        `"${taxon.name}" stands twice, first in ${earlier.at.file}, line ${earlier.at.line}`,
      );
    } else taxa.set(taxon.name, taxon);
  }

  const bySeason = new Map<string, Partial<Record<CareRule["season"], CareRule>>>();
  for (const row of rows.rules) {
    const reader = new RowReader(row, defects);
    const rule = readRule(reader, sources);
    if (!taxa.has(rule.taxon)) reader.fail("taxon", `"${rule.taxon}" is not among the taxa`);
    const set = bySeason.get(rule.taxon) ?? {};
    const earlier = set[rule.season];
    if (earlier) {
      reader.fail(
        "season",
        `${rule.season} of ${rule.taxon} stands twice, first in ${earlier.at.file}, line ${earlier.at.line}`,
      );
    } else set[rule.season] = rule;
    bySeason.set(rule.taxon, set);
  }

  const rules = new Map<string, RuleSet>();
  for (const [name, set] of bySeason) {
    const missing = SEASONS.filter((season) => set[season] === undefined);
    const any = SEASONS.map((season) => set[season]).find((rule) => rule !== undefined);
    if (missing.length > 0 && any) {
      defects.push({ ...any.at, column: "season", problem: `${name} has no row for ${missing.join(", ")}` });
    } else rules.set(name, set as RuleSet);
  }

  const table: CareTable = { taxa, rules, sections: sectionsOf(taxa, defects), sources };
  checkFallbacks(table, defects);
  return { table, defects };
}

function sectionsOf(taxa: ReadonlyMap<string, Taxon>, defects: Defect[]): Map<string, Taxon> {
  const sections = new Map<string, Taxon>();
  for (const taxon of taxa.values()) {
    if (taxon.rank !== "subgenus") continue;
    for (const epithet of taxon.members) {
      const name = `${taxon.genus} ${epithet}`;
      const earlier = sections.get(name);
      if (earlier) {
        const problem = `${name} already belongs to ${earlier.name}`;
        defects.push({ ...taxon.at, column: "members", problem });
      } else sections.set(name, taxon);
    }
  }
  return sections;
}

/** Every taxon must end at a rule: its own, or that of its genus, a group or its family. */
function checkFallbacks(table: CareTable, defects: Defect[]): void {
  for (const taxon of table.taxa.values()) {
    const fail = (column: string, problem: string) => defects.push({ ...taxon.at, column, problem });
    if (taxon.rank === "family" || taxon.rank === "group") {
      if (!table.rules.has(taxon.name)) fail("taxon", `${taxon.name} has no rules`);
      continue;
    }
    if (taxon.rank !== "genus" && taxon.genus && table.taxa.get(taxon.genus)?.rank !== "genus") {
      fail("taxon", `its genus ${taxon.genus} has no row`);
    }
    if (taxon.rank === "subgenus" && !table.rules.has(taxon.name))
      fail("taxon", `${taxon.name} has no rules`);
    const caught = [taxon.name, taxon.genus ?? "", ...taxon.groups, taxon.family];
    if (!caught.some((name) => table.rules.has(name))) {
      fail("family", `${taxon.name} has no rules, nor have its groups or its family ${taxon.family}`);
    }
  }
}
