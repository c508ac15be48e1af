import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeEach, describe, expect, test } from "vitest";
import { CARE_DIR, TableError } from "../../db/care/csv.js";
import { readHazards } from "../../db/care/hazards.js";
import { readCareTable } from "../../db/care/read.js";
import { knowledge, names } from "./knowledge.js";

const root = mkdtempSync(join(tmpdir(), "care-"));
const dir = join(root, "db", "care");
const RULES = readdirSync(join(CARE_DIR, "rules")).filter((name) => name.endsWith(".csv"))[0] as string;
const rulesFile = join(dir, "rules", RULES);

beforeEach(() => cpSync(CARE_DIR, dir, { recursive: true }));
afterAll(() => rmSync(root, { recursive: true, force: true }));

/** Replaces a column of the third line of a rules file. */
function spoil(change: (cells: string[]) => void): void {
  const lines = readFileSync(rulesFile, "utf8").split("\n");
  const cells = (lines[2] as string).split(",");
  change(cells);
  lines[2] = cells.join(",");
  writeFileSync(rulesFile, lines.join("\n"));
}

function problem(read: () => unknown): TableError {
  try {
    read();
  } catch (error) {
    if (error instanceof TableError) return error;
    throw error;
  }
  throw new Error("was read without a word");
}

describe("the care files", () => {
  test("a copy of the files has the same hash, one changed byte another", () => {
    const before = readCareTable(dir).hash;
    expect(before).toBe(readCareTable().hash);
    writeFileSync(rulesFile, `${readFileSync(rulesFile, "utf8")}\n`);
    expect(readCareTable(dir).hash).not.toBe(before);
  });

  test("a bad row stops the load with file, line and column", () => {
    spoil((cells) => {
      cells[3] = "drench";
    });
    const error = problem(() => readCareTable(dir));
    expect(error).toMatchObject({ file: `db/care/rules/${RULES}`, line: 3 });
    expect(error.message).toContain(`db/care/rules/${RULES}, line 3: water: "drench" is none of`);
  });

  test("how many more there are is told", () => {
    spoil((cells) => {
      cells[2] = "asleep";
      cells[3] = "drench";
    });
    expect(problem(() => readCareTable(dir)).message).toMatch(/\(and \d+ more\)$/);
  });

  test("a file that is no CSV is told with its line", () => {
    writeFileSync(rulesFile, 'taxon,season\nAloe,"winter\n');
    expect(problem(() => readCareTable(dir))).toMatchObject({ file: `db/care/rules/${RULES}` });
  });

  test.each([
    ["of and acts empty", "a,,,text,,from memory,", "of: a caution is tied to a taxon or to an act"],
    ["an unknown source", "a,Aloe,,text,,published,nobody", 'source: no source has the key "nobody"'],
    ["an unknown basis", "a,Aloe,,text,,hearsay,", 'basis: "hearsay" is none of'],
    ["no text", "a,Aloe,,,,from memory,", "text: is empty"],
  ])("a caution with %s is told", (_what, row, message) => {
    writeFileSync(join(dir, "hazards.csv"), `key,of,acts,text,first_aid,basis,source\n${row}\n`);
    const error = problem(() => readHazards(new Map(), dir));
    expect(error).toMatchObject({ file: "db/care/hazards.csv", line: 2 });
    expect(error.message).toContain(message);
  });
});

describe("the cautions", () => {
  test("are tied to names that the tables know", () => {
    const lost = knowledge.cautions
      .flatMap((caution) => caution.of)
      .filter((of) => knowledge.index.resolve(of).kind !== "taxon");
    expect(lost).toEqual([]);
  });
});

describe("the genera without rows", () => {
  test("have none, and a family that speaks for them", () => {
    const rows = names.genera ?? [];
    expect(rows.length).toBeGreaterThan(100);
    for (const { genus, family } of rows) {
      expect(knowledge.lookup.table.taxa.has(genus), genus).toBe(false);
      expect(knowledge.lookup.table.rules.has(family), family).toBe(true);
      expect(knowledge.lookup.find(genus)).toMatchObject({ speaksFor: "family", by: { name: family } });
    }
  });
});
