import { parseArgs } from "node:util";
import { interpret } from "../../../bot/language/index.js";
import { sameFrame } from "./compare.js";
import { contextOf, readCorpus, vocabulary } from "./corpus.js";

/** Prints how a corpus fares: `tsx tests/language/support/score.ts [--only NAME] [--quiet] [--blind]`. */
const { values } = parseArgs({
  options: { only: { type: "string" }, quiet: { type: "boolean" }, blind: { type: "boolean" } },
});
const folder = values.blind
  ? new URL("../../corpus/", import.meta.url)
  : new URL("../corpus/", import.meta.url);
const lines = readCorpus(folder, (file) => !values.only || file.includes(values.only));
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
  if (!same && !values.quiet && !values.blind) {
    process.stdout.write(
      `${line.id} ${line.addressed ? "@" : " "} ${line.text}\n  want ${JSON.stringify(line.expect)}\n  got  ${JSON.stringify(got)}\n`,
    );
  }
}
if (values.blind) {
  for (const [label, [ok, all]] of [...byAct].sort())
    if (ok < all) process.stdout.write(`${label}: ${ok}/${all}\n`);
}
const share = (n: number): string => `${n}/${lines.length} ${((100 * n) / lines.length).toFixed(1)} %`;
process.stdout.write(`exact ${share(exact)}, kind ${share(kind)}, false logs ${falseLogs}\n`);
