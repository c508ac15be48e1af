import { describe, expect, test } from "vitest";
import { compareFact } from "./care-facts.js";
import { type Compared, compare, reference } from "./knowledge.js";
import { compareCommonName, compareListing, compareMisspelling, compareSynonym } from "./name-facts.js";

/**
 * Our tables against published ones. The pass rate is printed with every disagreement and the reason why we keep
 * ours (`reference/reasons.csv`); a disagreement without a reason fails, and so does a reason no longer needed.
 */
describe.each<[string, () => Compared[]]>([
  ["care-facts", () => reference("care-facts").map(compareFact)],
  ["synonyms", () => reference("synonyms").map(compareSynonym)],
  ["vernacular", () => reference("vernacular").flatMap(compareCommonName)],
  ["misspellings", () => reference("misspellings").map(compareMisspelling)],
  ["cites", () => reference("cites").flatMap(compareListing)],
])("the %s table", (table, rows) => {
  const { report, unexplained, idle } = compare(table, rows());

  test("agrees, or says why not", () => {
    process.stdout.write(report);
    expect(unexplained).toEqual([]);
  });

  test("has no reason that is no longer needed", () => {
    expect(idle).toEqual([]);
  });
});
