import { join } from "node:path";
import type { NameRows, Rank } from "../../bot/horticulture/names.js";
import { CARE_DIR, NAMES_DIR, type Row, readTables } from "../care/csv.js";

const list = (cell: string): string[] =>
  cell
    .split(";")
    .map((word) => word.trim())
    .filter((word) => word !== "");

/** Remarks of a meaning that only stands where the name has no other. */
const LESSER = /\b(?:rare|loose|trade) use\b/;

const named = (row: Row) => ({
  name: row.get("name"),
  accepted: row.get("accepted"),
  rank: row.get("rank"),
  basis: row.get("basis"),
  source: row.get("source"),
  remarks: row.get("remarks"),
});

/**
 * Reads every name table from the project's files.
 * @throws {TableError} naming file and line if one is not valid CSV
 */
export function readNameRows(): NameRows {
  const table = (name: string): Row[] => readTables(NAMES_DIR, name);
  return {
    taxa: readTables(join(CARE_DIR, "taxa")).map((row) => ({
      taxon: row.get("taxon"),
      rank: row.get("rank") as Rank,
      family: row.get("family"),
      groups: list(row.get("group")),
      cycle: row.get("cycle"),
    })),
    synonyms: table("synonyms").map(named),
    common: table("common").map((row) => ({
      ...named(row),
      ambiguous: row.get("ambiguous") === "yes",
      lesser: LESSER.test(row.get("remarks")),
    })),
    misspellings: table("misspellings").map((row) => ({
      typed: row.get("typed"),
      accepted: row.get("accepted"),
      kind: row.get("kind"),
    })),
    species: table("species").map((row) => ({ genus: row.get("genus"), epithet: row.get("epithet") })),
    cultivars: table("cultivars").map((row) => ({ genus: row.get("genus"), cultivar: row.get("cultivar") })),
    groups: table("groups").map((row) => ({ typed: row.get("typed"), group: row.get("group") })),
    fieldNumbers: table("field-numbers").map((row) => ({
      prefix: row.get("prefix"),
      collector: row.get("collector"),
    })),
    genera: table("genera").map((row) => ({ genus: row.get("genus"), family: row.get("family") })),
    families: table("families").map((row) => ({ name: row.get("name"), accepted: row.get("accepted") })),
  };
}
