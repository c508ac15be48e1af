import { readFileSync } from "node:fs";

/** One row of a word table by column name; an absent cell is empty. */
export type TableRow = Readonly<Record<string, string>>;

/**
 * Reads a tab-separated word table with a header line. Lines that begin with "#" are remarks.
 * @throws {Error} naming the file if a row has more cells than the header
 */
export function readTable(file: string | URL): TableRow[] {
  const lines = readFileSync(file, "utf8").split("\n");
  const header = (lines[0] ?? "").split("\t");
  const rows: TableRow[] = [];
  for (let i = 1; i < lines.length; i++) {
    const line = lines[i] as string;
    if (line.trim() === "" || line.startsWith("#")) continue;
    const cells = line.split("\t");
    if (cells.length > header.length) throw new Error(`${String(file)}, line ${i + 1}: too many cells`);
    const row: Record<string, string> = {};
    for (let column = 0; column < header.length; column++) {
      row[header[column] as string] = (cells[column] ?? "").trim();
    }
    rows.push(row);
  }
  return rows;
}

/** The alternatives of one cell: "watered|waterd". */
export const alternatives = (cell: string | undefined): string[] =>
  (cell ?? "")
    .split("|")
    .map((word) => word.trim())
    .filter((word) => word !== "");

/** The lines of a plain word list. */
export const readLines = (file: string | URL): string[] => readFileSync(file, "utf8").trimEnd().split("\n");
