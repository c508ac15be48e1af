import type { CareTable } from "./care.js";
import type { Caution } from "./cautions.js";
import type { InGroup } from "./coverage.js";
import { groupTest } from "./groups.js";
import { CareLookup } from "./lookup.js";
import type { NameRows } from "./names.js";
import { TaxonIndex } from "./taxon-index.js";

/** All that the trade's tables know, indexed; built once at start. */
export interface CareKnowledge {
  lookup: CareLookup;
  index: TaxonIndex;
  cautions: readonly Caution[];
  inGroup: InGroup;
}

export function careKnowledge(
  table: CareTable,
  names: NameRows,
  cautions: readonly Caution[],
): CareKnowledge {
  const index = new TaxonIndex(names);
  const lookup = new CareLookup(table, (genus) => index.familyOf(genus));
  return { lookup, index, cautions, inGroup: groupTest(lookup) };
}
