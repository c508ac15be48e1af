import { BASES, type Basis, type Range, type RowPlace, type Source } from "./care.js";

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

/** Cells of one row, read with checks; each failed check leaves a defect and a harmless value. */
export class RowReader {
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

  place(): RowPlace {
    return { file: this.row.file, line: this.row.line };
  }
}
