import {
  BASES,
  type Basis,
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

/** One row of a table file, by column, with where it stands. */
export interface TableRow {
  file: string;
  line: number;
  get(column: string): string;
}

/** What is wrong with a row, for whoever corrects it. */
export interface Defect {
  file: string;
  line: number;
  column: string;
  problem: string;
}

export interface CareTableRows {
  taxa: readonly TableRow[];
  rules: readonly TableRow[];
  sources: readonly TableRow[];
}

const RANKS: readonly Rank[] = ["genus", "subgenus", "species", "family", "group"];
const LEAST_RANGE: Range = [-40, 30];

/** Cells of one row, read with checks; each failed check leaves a defect and a harmless value. */
class RowReader {
  constructor(
    readonly row: TableRow,
    private readonly defects: Defect[],
  ) {}

  fail(column: string, problem: string): void {
    this.defects.push({ file: this.row.file, line: this.row.line, column, problem });
  }

  text(column: string): string {
    return this.row.get(column).trim();
  }

  required(column: string): string {
    const value = this.text(column);
    if (value === "") this.fail(column, "is empty");
    return value;
  }

  oneOf<T extends string>(column: string, allowed: readonly T[]): T {
    const value = this.text(column);
    const found = allowed.find((word) => word === value);
    if (found === undefined) this.fail(column, `"${value}" is none of: ${allowed.join(", ")}`);
    return found ?? (allowed[0] as T);
  }

  list(column: string): string[] {
    return this.text(column)
      .split(";")
      .map((word) => word.trim())
      .filter((word) => word !== "");
  }

  number(column: string, [lo, hi]: Range, whole = false): number {
    const value = this.text(column);
    const read = value === "" ? Number.NaN : Number(value);
    if (!(read >= lo && read <= hi) || (whole && !Number.isInteger(read))) {
      this.fail(column, `"${value}" is not a ${whole ? "whole " : ""}number from ${lo} to ${hi}`);
      return lo;
    }
    return read;
  }

  /** "20-28", "14" or empty. */
  range(column: string, [lo, hi]: Range): Range | null {
    const value = this.text(column);
    if (value === "") return null;
    const parts = /^(\d+(?:\.\d+)?)(?:\s*[-–]\s*(\d+(?:\.\d+)?))?$/.exec(value);
    const from = Number(parts?.[1]);
    const to = Number(parts?.[2] ?? parts?.[1]);
    if (parts === null || from > to || from < lo || to > hi) {
      this.fail(column, `"${value}" is not a range like 14-21 within ${lo} to ${hi}`);
      return null;
    }
    return [from, to];
  }

  /** "1-3", "2;9", "11-2" (over the turn of the year) or empty. */
  months(column: string): number[] {
    const months: number[] = [];
    for (const part of this.list(column)) {
      const ends = /^(\d{1,2})(?:\s*[-–]\s*(\d{1,2}))?$/.exec(part);
      const from = Number(ends?.[1]);
      const to = Number(ends?.[2] ?? ends?.[1]);
      if (ends === null || from < 1 || from > 12 || to < 1 || to > 12) {
        this.fail(column, `"${part}" is not a month or a span of months like 1-3`);
        continue;
      }
      for (let month = from; ; month = (month % 12) + 1) {
        if (!months.includes(month)) months.push(month);
        if (month === to) break;
      }
    }
    return months;
  }

  grounds(sources: ReadonlyMap<string, Source>): { basis: Basis; source: string | null } {
    const basis = this.oneOf("basis", BASES);
    const source = this.text("source");
    if (basis === "published" && source === "") this.fail("source", "a published row names its source");
    if (basis !== "published" && source !== "") {
      this.fail("source", `only a published row names a source, this one is ${basis}`);
    }
    if (source !== "" && !sources.has(source)) this.fail("source", `no source has the key "${source}"`);
    return { basis, source: source === "" ? null : source };
  }

  place() {
    return { file: this.row.file, line: this.row.line };
  }
}

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
    if (sources.has(key)) reader.fail("key", `"${key}" stands twice`);
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
