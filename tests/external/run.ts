import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { checkMeasures } from "./measures.js";
import { checkNegatives } from "./negatives.js";
import { checkNumbers } from "./numbers.js";
import { checkWhen, checkWhenNegative } from "./when.js";

/** How one public set fared. */
export interface SetResult {
  set: string;
  lines: number;
  right: number;
  remark: string;
  failures: string[];
}

const { values, positionals } = parseArgs({
  options: { failures: { type: "boolean", default: false } },
  allowPositionals: true,
});
const folder = positionals[0];
if (!folder || !existsSync(folder)) {
  process.stdout.write(
    `test:external: no folder of public sets at ${folder ?? "(none given)"}; nothing to do\n`,
  );
  process.exit(0);
}

const read = <T>(name: string): T[] => {
  const path = join(folder, name);
  if (!existsSync(path)) return [];
  return readFileSync(path, "utf8")
    .split("\n")
    .filter((line) => line.trim() !== "")
    .map((line) => JSON.parse(line) as T);
};

const results: SetResult[] = [
  checkMeasures("temperature", read("temperature.jsonl")),
  checkMeasures("dimension", read("dimension.jsonl")),
  checkNumbers(read("number.jsonl")),
  ...checkWhen(read("when.jsonl")),
  checkWhenNegative(read("when_negative.jsonl")),
  ...checkNegatives(read("negatives.jsonl")),
].filter((result) => result.lines > 0);

for (const { set, lines, right, remark, failures } of results) {
  const share = ((100 * right) / lines).toFixed(1).padStart(5);
  process.stdout.write(
    `${set.padEnd(26)} ${String(right).padStart(5)} of ${String(lines).padStart(5)}  ${share} %  ${remark}\n`,
  );
  if (values.failures) for (const failure of failures) process.stdout.write(`    ${failure}\n`);
}
