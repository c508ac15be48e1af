import { SEASONS, type Season } from "../../bot/horticulture/care.js";
import type { Caution } from "../../bot/horticulture/cautions.js";
import { type CareKnowledge, careKnowledge } from "../../bot/horticulture/knowledge.js";
import type { NameRows, Rank } from "../../bot/horticulture/names.js";
import { buildCareTable, type TableRow } from "../../bot/horticulture/table.js";

/** A care table of a few taxa, so that wording is tested against figures that do not move. */

const row = (cells: Record<string, string>, line: number, file: string): TableRow => ({
  file,
  line,
  get: (column) => cells[column] ?? "",
});

interface Year {
  phase: string;
  water: string;
  days?: string;
  least: string;
  normal?: string;
  do?: string;
  published?: boolean;
}

const TAXA: Record<string, [Rank, string, string, string, Record<string, string>]> = {
  Cactaceae: ["family", "Cactaceae", "cacti", "summer grower", {}],
  Gasteria: ["genus", "Asphodelaceae", "succulents", "summer grower", { repot: "3-5", sow: "3-5" }],
  Parodia: [
    "genus",
    "Cactaceae",
    "cacti",
    "summer grower",
    { repot: "1-3", repot_every_years: "1-2", sow: "3-5", germination_c: "18-28", germination_days: "5-28" },
  ],
  Melocactus: ["genus", "Cactaceae", "cacti", "summer grower", {}],
  Rebutia: ["genus", "Cactaceae", "cacti", "summer grower", { frost_dry: "yes" }],
  Copiapoa: ["genus", "Cactaceae", "cacti", "summer grower", {}],
  Euphorbia: ["genus", "Euphorbiaceae", "succulents", "summer grower", { repot: "3-5" }],
};

const wet: Year = { phase: "growing", water: "normal", days: "7-14", least: "5/8", published: true };
const bone: Year = { phase: "resting", water: "none", least: "5/8" };
const RULES: Record<string, Record<Season, Year>> = {
  Cactaceae: {
    winter: bone,
    spring: { ...wet, water: "light" },
    summer: wet,
    autumn: { ...wet, phase: "slowing" },
  },
  Gasteria: {
    winter: { phase: "resting", water: "sips", days: "14-21", least: "5/8", normal: "leaves redden" },
    spring: wet,
    summer: wet,
    autumn: { ...wet, days: "10-18" },
  },
  Parodia: {
    winter: { ...bone, normal: "crown sunk", do: "keep dry; repot dry from late January at 5 to 8 °C" },
    spring: wet,
    summer: wet,
    autumn: wet,
  },
  Melocactus: {
    winter: { phase: "resting", water: "sips", days: "21-30", least: "12/15" },
    spring: { ...wet, least: "12/15" },
    summer: { ...wet, least: "12/15" },
    autumn: { ...wet, least: "12/15" },
  },
  Rebutia: { winter: { ...bone, least: "3/7" }, spring: wet, summer: wet, autumn: wet },
  Euphorbia: {
    winter: { ...bone, least: "10/13", normal: "bare of leaves" },
    spring: wet,
    summer: wet,
    autumn: { ...wet, phase: "slowing", normal: "leafy kinds drop all their leaves" },
  },
};

const taxaRows = Object.entries(TAXA).map(([taxon, [rank, family, group, cycle, rest]], i) =>
  row(
    { taxon, rank, family, group, cycle, frost_dry: "no", basis: "common practice", ...rest },
    i + 2,
    "taxa.csv",
  ),
);
const ruleRows = Object.entries(RULES).flatMap(([taxon, year], i) =>
  SEASONS.map((season, j) => {
    const { phase, water, days, least, published, ...rest } = year[season];
    const [dryMin = "", moistMin = ""] = least.split("/");
    const [from = "", to = ""] = days?.split("-") ?? [];
    const basis = published ? "published" : "common practice";
    const cells: Record<string, string> = {
      taxon,
      season,
      phase,
      water,
      days_min: from,
      days_max: to,
      dry_min_c: dryMin,
      moist_min_c: moistMin,
      light: "bright, airy",
      feed: "none",
      basis,
      source: published ? "society" : "",
      ...rest,
    };
    return row(cells, 4 * i + j + 2, "rules.csv");
  }),
);
const sourceRows = [
  row(
    { key: "society", author: "Cactus Society, Coast branch", title: "Growing hints", year: "2019" },
    2,
    "sources.csv",
  ),
];

const { table, defects } = buildCareTable({ taxa: taxaRows, rules: ruleRows, sources: sourceRows });
if (defects[0]) throw new Error(`small table: ${defects[0].column} ${defects[0].problem}`);

const named = { rank: "genus", basis: "from memory", source: "", remarks: "" };
const names: NameRows = {
  taxa: Object.entries(TAXA).map(([taxon, [rank, family, group, cycle]]) => ({
    taxon,
    rank,
    family,
    groups: [group],
    cycle,
  })),
  synonyms: [
    { ...named, name: "Notocactus", accepted: "Parodia", remarks: "some societies keep Notocactus" },
    { ...named, name: "Eriocactus", accepted: "Parodia" },
  ],
  common: [
    { ...named, name: "turk's cap", accepted: "Melocactus", ambiguous: true, lesser: false },
    { ...named, name: "turk's cap", accepted: "Parodia", ambiguous: true, lesser: false },
  ],
  misspellings: [],
  species: [{ genus: "Agave", epithet: "americana" }],
  cultivars: [],
  groups: [],
  fieldNumbers: [],
  families: [],
};
const cautions: Caution[] = [
  {
    key: "latex",
    firstAid: "Rinse at once with plenty of water.",
    of: ["Euphorbia"],
    acts: ["repot", "prune"],
    text: "milky sap burns skin and eyes: gloves and goggles",
    basis: "published",
    source: null,
  },
];

export const small: CareKnowledge = careKnowledge(table, names, cautions);
