import { existsSync, readdirSync, readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { parse } from "csv-parse/sync";

/** Folder of the care tables; the name tables lie beside it. */
export const CARE_DIR = dirname(fileURLToPath(import.meta.url));
export const NAMES_DIR = join(CARE_DIR, "..", "names");

/** One data row of a CSV file with where it stands, so that an error can point at it. */
export interface Row {
  file: string;
  line: number;
  get(column: string): string;
}

/** A table file that cannot be used as it is. */
export class TableError extends Error {
  constructor(
    readonly file: string,
    readonly line: number,
    readonly problem: string,
  ) {
    super(`${file}, line ${line}: ${problem}`);
    this.name = "TableError";
  }
}

/**
 * Rows of one CSV file with a header line (RFC 4180, UTF-8).
 * @throws {TableError} if the file is not valid CSV
 */
export function readTable(path: string): Row[] {
  const file = path.slice(path.lastIndexOf("/db/") + 1);
  let records: { record: Record<string, string>; info: { lines: number } }[];
  try {
    records = parse(readFileSync(path, "utf8"), {
      columns: true,
      skip_empty_lines: true,
      trim: true,
      bom: true,
      info: true,
    }) as unknown as typeof records;
  } catch (error) {
    const lines = (error as { lines?: number }).lines ?? 1;
    throw new TableError(file, lines, error instanceof Error ? error.message : String(error));
  }
  return records.map(({ record, info }) => ({
    file,
    line: info.lines,
    get: (column) => record[column] ?? "",
  }));
}

/** Rows of all CSV files of a folder whose names begin with `prefix`, in the order of their names; none if absent. */
export function readTables(dir: string, prefix = ""): Row[] {
  if (!existsSync(dir)) return [];
  return readdirSync(dir)
    .filter((name) => name.endsWith(".csv") && name.startsWith(prefix))
    .sort()
    .flatMap((name) => readTable(join(dir, name)));
}
