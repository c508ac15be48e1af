/**
 * The care table on the command line.
 *
 *   npm run rules                       what the table holds, by basis, family and rank
 *   npm run rules -- --check            every defect of the files, one a line; exit code 1 if there is one
 *   npm run --silent rules -- --json [--hemisphere south]
 *                                       names from standard input, one a line -> one JSON line each
 */
import { createInterface } from "node:readline";
import { parseArgs } from "node:util";
import { TableError } from "../../db/care/csv.js";
import { readHazards } from "../../db/care/hazards.js";
import { checkCareTable, readCareTable } from "../../db/care/read.js";
import { readNameRows } from "../../db/names/read.js";
import { careKnowledge } from "../horticulture/knowledge.js";
import { ruleLine } from "../horticulture/rule-line.js";
import { tableSummary } from "../horticulture/table-summary.js";
import { endWithReader } from "./pipe.js";

endWithReader();

async function main(): Promise<number> {
  const { values } = parseArgs({
    options: {
      json: { type: "boolean", default: false },
      check: { type: "boolean", default: false },
      hemisphere: { type: "string", default: "north" },
    },
  });
  const hemisphere = values.hemisphere;
  if (hemisphere !== "north" && hemisphere !== "south") {
    process.stderr.write(`--hemisphere is north or south, not "${hemisphere}".\n`);
    return 2;
  }
  if (values.check) {
    const { defects } = checkCareTable();
    for (const { file, line, column, problem } of defects) {
      process.stdout.write(`${file}, line ${line}, ${column}: ${problem}\n`);
    }
    return defects.length === 0 ? 0 : 1;
  }
  const { table } = readCareTable();
  const names = readNameRows();
  const { index, lookup, cautions } = careKnowledge(table, names, readHazards(table.sources));
  if (values.json) {
    for await (const line of createInterface({ input: process.stdin, crlfDelay: Number.POSITIVE_INFINITY })) {
      process.stdout.write(`${JSON.stringify(ruleLine(line.trim(), index, lookup, hemisphere, cautions))}\n`);
    }
    return 0;
  }
  process.stdout.write(
    tableSummary(lookup, {
      synonyms: names.synonyms.length,
      common: names.common.length,
      misspellings: names.misspellings.length,
    }),
  );
  return 0;
}

main().then(
  (code) => {
    process.exitCode = code;
  },
  (error: unknown) => {
    process.stderr.write(`${error instanceof TableError ? error.message : String(error)}\n`);
    process.exitCode = 1;
  },
);
