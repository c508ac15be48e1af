import { createHash } from "node:crypto";
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import type { CareRule, CareTable } from "../../bot/horticulture/care.js";
import { buildCareTable, type Defect } from "../../bot/horticulture/table.js";
import { CARE_DIR, readTables, TableError } from "./csv.js";

export interface CareTableRead {
  table: CareTable;
  /** SHA-256 of the names and contents of all files read, hexadecimal; the same files give the same hash. */
  hash: string;
  /** Every rule, in the order of the files. */
  rows: CareRule[];
}

/**
 * Reads and checks the care tables.
 * @throws {TableError} naming the first bad row and how many more there are
 */
export function readCareTable(dir = CARE_DIR): CareTableRead {
  const { table, defects } = checkCareTable(dir);
  const [first, ...more] = defects;
  if (first) throw defectError(first, more.length);
  const rows = [...table.rules.values()].flatMap((set) => Object.values(set));
  return { table, hash: hashOf(dir), rows };
}

/** The table with every defect, for whoever is correcting the files. */
export function checkCareTable(dir = CARE_DIR): { table: CareTable; defects: Defect[] } {
  return buildCareTable({
    taxa: readTables(join(dir, "taxa")),
    rules: readTables(join(dir, "rules")),
    sources: readTables(dir, "sources"),
  });
}

export function defectError(defect: Defect, more = 0): TableError {
  const rest = more > 0 ? ` (and ${more} more)` : "";
  return new TableError(defect.file, defect.line, `${defect.column}: ${defect.problem}${rest}`);
}

function hashOf(dir: string): string {
  const hash = createHash("sha256");
  for (const folder of ["", "taxa", "rules"]) {
    const path = join(dir, folder);
    if (!existsSync(path)) continue;
    for (const name of readdirSync(path).sort()) {
      if (!name.endsWith(".csv")) continue;
      hash
        .update(`${folder}/${name}\0`)
        .update(readFileSync(join(path, name)))
        .update("\0");
    }
  }
  return hash.digest("hex");
}
