import { Temporal } from "temporal-polyfill";
import { answerCare } from "../../bot/horticulture/answer-care.js";
import { careKnowledge } from "../../bot/horticulture/knowledge.js";
import { ruleAt } from "../../bot/horticulture/lookup.js";
import { placeSeason } from "../../bot/horticulture/place-season.js";
import { readHazards } from "../../db/care/hazards.js";
import { readCareTable } from "../../db/care/read.js";
import { readNameRows } from "../../db/names/read.js";
import type { Row } from "./row.js";

const DATE = Temporal.PlainDate.from("2027-02-10");

/** Runs a task over the names again and again for about a second; times a second. */
function perSecond(names: readonly string[], task: (name: string) => void): number {
  let done = 0;
  const start = performance.now();
  let elapsed = 0;
  while (elapsed < 1000) {
    for (const name of names) task(name);
    done += names.length;
    elapsed = performance.now() - start;
  }
  return Math.round((1000 * done) / elapsed);
}

/** Care table: time to load, names resolved, rules looked up by any name and questions answered a second. */
export async function benchRules(): Promise<Row[]> {
  const start = performance.now();
  const { table } = readCareTable();
  const rows = readNameRows();
  const read = performance.now();
  const knowledge = careKnowledge(table, rows, readHazards(table.sources));
  const built = performance.now();
  const { index, lookup } = knowledge;

  const names = [
    ...rows.synonyms.map((row) => row.name),
    ...rows.common.map((row) => row.name),
    ...rows.misspellings.map((row) => row.typed),
    ...rows.taxa.map((row) => row.taxon),
  ];
  const slips = names.filter((name) => name.length > 6).map((name) => `${name.slice(0, 4)}${name.slice(5)}`);
  const rule = (name: string): void => {
    const found = index.resolve(name);
    if (found.kind !== "taxon") return;
    const rules = lookup.find(found.accepted, found.family);
    if (rules) ruleAt(rules.rules, at);
  };
  const at = placeSeason(DATE, { meanMinC: 7, latitude: 53 });
  const cold = performance.now();
  for (const name of names) rule(name);
  const first = performance.now();
  for (const name of slips) index.resolve(name);
  const slipped = performance.now();
  const around = {
    date: DATE,
    hemisphere: "north" as const,
    latitude: 53,
    places: [{ name: "Long House", floorC: 5, meanMinC: 7, nights: 14 }],
    defaultPlace: "Long House",
    plants: [],
    ownRules: [],
  };
  const genera = index.names("genus");
  const milliseconds = (from: number, to: number) => `${Math.round(to - from)} ms`;
  const rate = (perSecond: number) => `${Math.round(perSecond).toLocaleString("en-GB")}/s`;
  return [
    { name: "care table and names: read", figure: milliseconds(start, read) },
    { name: "care table and names: indexed", figure: milliseconds(read, built) },
    {
      name: "rule by any name, first time",
      figure: rate((1000 * names.length) / (first - cold)),
      note: `${names.length.toLocaleString("en-GB")} names of the tables`,
    },
    { name: "rule by any name", figure: rate(perSecond(names, rule)) },
    { name: "misspelt name, first time", figure: rate((1000 * slips.length) / (slipped - first)) },
    {
      name: "season of a place",
      figure: rate(
        perSecond(names, () => {
          placeSeason(DATE, { meanMinC: 7, latitude: 53 });
        }),
      ),
    },
    {
      name: "care question answered",
      figure: rate(
        perSecond(genera, (genus) => {
          answerCare({ topic: "any", subjects: [{ genus }] }, knowledge, around);
        }),
      ),
    },
  ];
}
