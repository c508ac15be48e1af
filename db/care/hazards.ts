import { BASES, type Source } from "../../bot/horticulture/care.js";
import type { Caution } from "../../bot/horticulture/cautions.js";
import { CARE_DIR, type Row, readTables, TableError } from "./csv.js";

const list = (cell: string): string[] =>
  cell
    .split(";")
    .map((word) => word.trim())
    .filter((word) => word !== "");

/**
 * Cautions of the hazards file.
 * @throws {TableError} naming file and line of a row that cannot be used
 */
export function readHazards(sources: ReadonlyMap<string, Source>, dir = CARE_DIR): Caution[] {
  return readTables(dir, "hazards").map((row) => caution(row, sources));
}

function caution(row: Row, sources: ReadonlyMap<string, Source>): Caution {
  const fail = (column: string, problem: string) => {
    throw new TableError(row.file, row.line, `${column}: ${problem}`);
  };
  const basis = BASES.find((word) => word === row.get("basis"));
  const key = row.get("source");
  const source = sources.get(key) ?? null;
  if (!basis) throw fail("basis", `"${row.get("basis")}" is none of: ${BASES.join(", ")}`);
  if (key !== "" && source === null) fail("source", `no source has the key "${key}"`);
  const of = list(row.get("of"));
  const acts = list(row.get("acts"));
  if (of.length === 0 && acts.length === 0) fail("of", "a caution is tied to a taxon or to an act");
  const text = row.get("text");
  if (text === "") fail("text", "is empty");
  return { key: row.get("key"), of, acts, text, firstAid: row.get("first_aid"), basis, source };
}
