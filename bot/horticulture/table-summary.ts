import { BASES, type Basis, CYCLES, SEASONS, type Taxon } from "./care.js";
import type { CareLookup } from "./lookup.js";

/** What the table holds, for `npm run rules`: text with one line a figure. */
export function tableSummary(
  lookup: CareLookup,
  names: { synonyms: number; common: number; misspellings: number },
): string {
  const { table } = lookup;
  const taxa = [...table.taxa.values()];
  const of = (rank: string) => taxa.filter((taxon) => taxon.rank === rank);
  const genera = of("genus");
  const withRules = genera.filter((taxon) => table.rules.has(taxon.name));
  const lines = [
    `${genera.length} genera, ${withRules.length} with rules of their own; ${of("species").length} species and ${of("subgenus").length} sections override them; ${of("group").length} groups and ${of("family").length} families catch the rest.`,
    `${names.synonyms} synonyms and trade names, ${names.common} common names, ${names.misspellings} misspellings and clips; ${table.sources.size} sources.`,
    "",
    "Genera by basis (of their surest row, of their least sure row):",
    ...BASES.map((basis) => {
      const surest = count(genera, basis, Math.min, lookup);
      const least = count(genera, basis, Math.max, lookup);
      return `  ${basis.padEnd(16)} ${String(surest).padStart(4)} ${String(least).padStart(4)}`;
    }),
    "Rows by basis:",
    ...BASES.map((basis) => `  ${basis.padEnd(16)} ${rowsOf(basis, lookup)}`),
    "Genera by cycle:",
    ...CYCLES.map(
      (cycle) => `  ${cycle.padEnd(26)} ${genera.filter((taxon) => taxon.cycle === cycle).length}`,
    ),
    "Genera by family:",
    ...byFamily(lookup),
  ];
  return `${lines.join("\n")}\n`;
}

/** Genera whose surest (`Math.min`) or least sure (`Math.max`) row has the basis. */
function count(
  genera: readonly Taxon[],
  basis: Basis,
  pick: (...ranks: number[]) => number,
  { table }: CareLookup,
): number {
  return genera.filter((taxon) => {
    const rules = table.rules.get(taxon.name);
    const bases = [taxon.basis, ...(rules ? SEASONS.map((season) => rules[season].basis) : [])];
    return BASES[pick(...bases.map((one) => BASES.indexOf(one)))] === basis;
  }).length;
}

function rowsOf(basis: Basis, { table }: CareLookup): number {
  let rows = 0;
  for (const rules of table.rules.values()) {
    for (const season of SEASONS) if (rules[season].basis === basis) rows++;
  }
  return rows;
}

function byFamily({ table }: CareLookup): string[] {
  const families = new Map<string, number>();
  for (const taxon of table.taxa.values()) {
    if (taxon.rank === "genus") families.set(taxon.family, (families.get(taxon.family) ?? 0) + 1);
  }
  return [...families]
    .sort(([a, m], [b, n]) => n - m || a.localeCompare(b))
    .map(
      ([family, genera]) =>
        `  ${family.padEnd(26)} ${genera}${table.rules.has(family) ? "" : "  (no general row)"}`,
    );
}
