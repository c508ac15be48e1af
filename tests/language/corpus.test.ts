import { describe, expect, test } from "vitest";
import { interpret } from "../../bot/language/index.js";
import { sameFrame } from "./support/compare.js";
import { contextOf, type Labelled, readCorpus, vocabulary } from "./support/corpus.js";

interface Score {
  lines: number;
  exact: number;
  kind: number;
  falseLogs: number;
}

function score(lines: readonly Labelled[]): Score {
  const result: Score = { lines: lines.length, exact: 0, kind: 0, falseLogs: 0 };
  for (const line of lines) {
    const got = interpret(line.text, contextOf(line), vocabulary());
    if (sameFrame(got, line.expect)) result.exact++;
    if (got.kind === line.expect.kind) result.kind++;
    if (line.expect.kind === "none" && got.kind === "log") result.falseLogs++;
  }
  return result;
}

const OWN = new URL("./corpus/", import.meta.url);
const BLIND = new URL("../corpus/", import.meta.url);

const report = (name: string, { lines, exact, kind, falseLogs }: Score): void => {
  const share = (n: number): string => `${((100 * n) / lines).toFixed(1)} %`;
  process.stdout.write(
    `${name.padEnd(22)} ${lines} messages, exact ${share(exact)}, kind ${share(kind)}, false logs ${falseLogs}\n`,
  );
};

/** What each part of the corpus has reached; a change that falls below it has broken something. */
const PARTS: readonly (readonly [
  name: string,
  folder: URL,
  files: (file: string) => boolean,
  exact: number,
  kind: number,
])[] = [
  ["samples", OWN, (file) => file.startsWith("shared-"), 0.98, 1],
  ["contract's examples", OWN, (file) => file.startsWith("contract-"), 1, 1],
  ["acts and questions", OWN, (file) => /^(acts|questions)/.test(file), 0.97, 0.98],
  ["hunted sentences", OWN, (file) => file.startsWith("hunt-"), 0.97, 0.985],
  ["what is not for it", OWN, (file) => file.startsWith("kinds"), 0.98, 0.98],
  ["around a sentence", OWN, (file) => file.startsWith("edges"), 0.97, 0.98],
  ["near misses", OWN, (file) => file.startsWith("none-more"), 0.96, 0.98],
  ["asked and told", OWN, (file) => file.startsWith("asks-more"), 0.97, 0.98],
  ["shapes of one clause", OWN, (file) => file.startsWith("shapes"), 0.9, 0.97],
  ["width of the words", OWN, (file) => file.startsWith("vocabulary"), 0.95, 0.95],
  ["wishes to the bot", OWN, (file) => file.startsWith("wishes"), 0.96, 0.96],
  ["places and labels", OWN, (file) => /^(places|labels)/.test(file), 1, 1],
  ["fresh messages", OWN, (file) => file.startsWith("fresh-"), 0.98, 0.99],
  ["lists and run-ons", OWN, (file) => file.startsWith("lists"), 0.97, 1],
  ["from the bench", OWN, (file) => file.startsWith("bench-side"), 0.97, 0.98],
  // Before the rules knew them: 375, then 1,440 in sets of 180 and 240, each mended before the next was read. Exact 92.0 %,
  // 91.7, 92.8, 81.7, 91.2, 85.4, 96.1, 91.7; kind 96.0 %, 95.6, 95.6, 91.7, 96.2, 92.5, 97.8, 96.1; four false logs.
  ["at first sight", OWN, (file) => file.startsWith("first-sight"), 0.97, 0.98],
  ["open classes", OWN, (file) => file.startsWith("open-"), 0.97, 0.98],
  // Written and labelled while the rules were, and not looked at: 91 % exact and 95 % of kinds at first sight.
  ["kept apart", OWN, (file) => file.startsWith("kept-apart"), 0.96, 0.99],
  ["written apart (open)", BLIND, (file) => /^blind-(british|southern)/.test(file), 0.9, 0.93],
  ["written apart (blind)", BLIND, (file) => /^blind-(american|baltic)/.test(file), 0.8, 0.9],
];

describe("labelled messages", () => {
  test.each(PARTS)("reads %s", (name, folder, files, exact, kind) => {
    const found = score(readCorpus(folder, files));
    report(name, found);
    expect(found.lines).toBeGreaterThan(10);
    expect(found.exact / found.lines).toBeGreaterThanOrEqual(exact);
    expect(found.kind / found.lines).toBeGreaterThanOrEqual(kind);
    expect(found.falseLogs / found.lines).toBeLessThanOrEqual(0.025);
  });

  test("every label uses the contract's keys and every file is valid", () => {
    for (const line of readCorpus(OWN)) {
      expect(["log", "ask", "instruct", "unclear", "none"], line.id).toContain(line.expect.kind);
      if (line.expect.kind === "log") expect(line.expect.entries?.length, line.id).toBeGreaterThan(0);
    }
  });
});
