import { existsSync } from "node:fs";
import { join } from "node:path";
import type { Row } from "./row.js";

/**
 * `npm run bench [PART ...]`: runs the benches one after the other and prints a table.
 * Figures of one run may be compared with each other, not with those of another machine or day.
 */
const PARTS: Readonly<Record<string, () => Promise<Row[]>>> = {
  interpret: async () => (await import("./interpret.js")).benchInterpret(),
  rules: async () => (await import("./rules.js")).benchRules(),
  due: async () => (await import("./due.js")).benchDue(),
  store: async () => (await import("./store.js")).benchStore(),
  delivery: async () => (await import("./delivery.js")).benchDelivery(),
  start: async () => (await import("./start.js")).benchStart(),
};

const wanted = process.argv.slice(2);
const unknown = wanted.filter((part) => !(part in PARTS));
if (unknown.length > 0) {
  process.stderr.write(`unknown part ${unknown.join(", ")}; there are: ${Object.keys(PARTS).join(", ")}\n`);
  process.exit(2);
}

const out = (line: string) => process.stdout.write(`${line}\n`);
out(`node ${process.version}, ${process.platform} ${process.arch}`);
for (const [part, bench] of Object.entries(PARTS)) {
  if (wanted.length > 0 && !wanted.includes(part)) continue;
  if (!existsSync(join(import.meta.dirname, `${part}.ts`))) continue;
  out("");
  out(`== ${part}`);
  const rows = await bench();
  const width = Math.max(...rows.map((row) => row.name.length));
  for (const row of rows) {
    const beside = row.beside ? `   | ${row.beside}` : "";
    const note = row.note ? `   (${row.note})` : "";
    out(`${row.name.padEnd(width)}  ${row.figure}${beside}${note}`);
  }
}
process.exit(0);
