import { parseArgs } from "node:util";
import { interpret } from "../../../bot/language/index.js";
import { sameFrame } from "./compare.js";
import { contextOf, readCorpus, vocabulary } from "./corpus.js";

/** Prints how a corpus fares: `tsx tests/language/support/score.ts [--only NAME] [--quiet] [--blind]`. */
const { values } = parseArgs({
  options: {
    only: { type: "string" },
    quiet: { type: "boolean" },
    blind: { type: "boolean" },
    open: { type: "boolean" },
  },
});
const folder = values.blind
  ? new URL("../../corpus/", import.meta.url)
  : new URL("../corpus/", import.meta.url);
const lines = readCorpus(folder, (file) => !values.only || file.includes(values.only));
/** Names of the keys in which two frames differ, without their values. */
function differing(want: unknown, got: unknown, path: string, into: Set<string>): void {
  if (Array.isArray(want) && Array.isArray(got)) {
    if (want.length !== got.length) {
      const acts = (list: unknown[]): string =>
        list.map((one) => (one as { act?: string }).act ?? "").join("+");
      into.add(`${path}#${want.length}/${got.length} ${acts(want)} > ${acts(got)}`);
    } else for (const [i, one] of want.entries()) differing(one, got[i], path, into);
    return;
  }
  if (want && got && typeof want === "object" && typeof got === "object") {
    for (const key of new Set([...Object.keys(want), ...Object.keys(got)])) {
      if (key === "as" || key === "remainder" || key === "partial" || key === "failure") continue;
      const a = (want as Record<string, unknown>)[key];
      const b = (got as Record<string, unknown>)[key];
      if (a === undefined) into.add(`${path}.${key} extra`);
      else if (b === undefined) into.add(`${path}.${key} missing`);
      else differing(a, b, `${path}.${key}`, into);
    }
    return;
  }
  if (want !== got) into.add(path);
}
const keys = new Map<string, number>();

let exact = 0;
let kind = 0;
let falseLogs = 0;
const byAct = new Map<string, [number, number]>();
for (const line of lines) {
  const got = interpret(line.text, contextOf(line), vocabulary());
  const same = sameFrame(got, line.expect);
  if (same) exact++;
  if (got.kind === line.expect.kind) kind++;
  if (line.expect.kind === "none" && got.kind === "log") falseLogs++;
  const label =
    line.expect.kind === "log"
      ? `log ${line.expect.entries?.[0]?.act}`
      : line.expect.kind === "ask"
        ? `ask ${line.expect.question?.about}`
        : line.expect.kind === "instruct"
          ? `instruct ${line.expect.instruction?.do}`
          : line.expect.kind;
  const tally = byAct.get(label) ?? [0, 0];
  tally[0] += same ? 1 : 0;
  tally[1]++;
  byAct.set(label, tally);
  if (!same && values.blind) {
    const found = new Set<string>();
    differing(
      line.expect,
      got,
      line.expect.kind === got.kind ? "" : `${line.expect.kind}>${got.kind}`,
      found,
    );
    for (const key of line.expect.kind === got.kind ? found : [`${label} > ${got.kind}`])
      keys.set(key, (keys.get(key) ?? 0) + 1);
  }
  if (!same && !values.quiet && (!values.blind || values.open)) {
    process.stdout.write(
      `${line.id} ${line.addressed ? "@" : " "} ${line.text}\n  want ${JSON.stringify(line.expect)}\n  got  ${JSON.stringify(got)}\n`,
    );
  }
}
if (values.blind) {
  for (const [key, count] of [...keys].sort((a, b) => b[1] - a[1]))
    process.stdout.write(`  ${count} ${key}\n`);
  for (const [label, [ok, all]] of [...byAct].sort())
    if (ok < all) process.stdout.write(`${label}: ${ok}/${all}\n`);
}
const share = (n: number): string => `${n}/${lines.length} ${((100 * n) / lines.length).toFixed(1)} %`;
process.stdout.write(`exact ${share(exact)}, kind ${share(kind)}, false logs ${falseLogs}\n`);
