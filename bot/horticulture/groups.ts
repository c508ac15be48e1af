import type { InGroup } from "./coverage.js";
import type { CareLookup } from "./lookup.js";

/** Words of the taxa's `group` column by the words growers use in a sentence. */
const GROUP_OF_WORD: Readonly<Record<string, string>> = {
  cacti: "cacti",
  epiphytes: "epiphytes",
  mesembs: "mesembs",
  stapeliads: "stapeliads",
  caudiciforms: "caudiciforms",
  orchids: "orchids",
  bulbs: "bulbs",
  companions: "companions",
  bromeliads: "bromeliads",
};
const NOT_SUCCULENT = new Set(["orchids", "companions"]);

/**
 * Whether a genus or species belongs to a group of growers' speech. "Succulents" takes cacti in, "other succulents"
 * does not; "winter growers" goes by the growth cycle. Seedlings and cuttings are not a matter of the taxon: false.
 */
export function groupTest(lookup: CareLookup): InGroup {
  return (genus, species, group) => {
    const found = lookup.find(species ? `${genus} ${species}` : genus);
    if (!found) return false;
    const row = lookup.table.taxa.get(genus) ?? found.taxon;
    const groups = new Set([...row.groups, ...found.taxon.groups]);
    switch (group) {
      case "succulents":
        return ![...NOT_SUCCULENT].some((word) => groups.has(word)) || groups.has("succulents");
      case "other succulents":
        return !groups.has("cacti") && ![...NOT_SUCCULENT].some((word) => groups.has(word));
      case "winter growers":
        return found.taxon.cycle === "winter grower";
      case "summer growers":
        return found.taxon.cycle === "summer grower";
      default:
        return groups.has(GROUP_OF_WORD[group] ?? group);
    }
  };
}
