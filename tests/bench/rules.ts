import { Temporal } from "temporal-polyfill";
import { answerCare } from "../../bot/horticulture/answer-care.js";
import { careKnowledge } from "../../bot/horticulture/knowledge.js";
import { ruleAt } from "../../bot/horticulture/lookup.js";
import { placeSeason } from "../../bot/horticulture/place-season.js";
import { readHazards } from "../../db/care/hazards.js";
import { readCareTable } from "../../db/care/read.js";
import { readNameRows } from "../../db/names/read.js";

/** One measured figure. */
export interface Row {
  name: string;
  value: number;
  unit: string;
}

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
  return [
    { name: "care table and names read", value: Math.round(read - start), unit: "ms" },
    { name: "care table and names indexed", value: Math.round(built - read), unit: "ms" },
    { name: "names of the tables", value: names.length, unit: "names" },
    {
      name: "misspelt names resolved, first time",
      value: Math.round((1000 * slips.length) / (slipped - cold)),
      unit: "1/s",
    },
    { name: "rule found by any name", value: perSecond(names, rule), unit: "1/s" },
    {
      name: "season of a place",
      value: perSecond(names, () => {
        placeSeason(DATE, { meanMinC: 7, latitude: 53 });
      }),
      unit: "1/s",
    },
    {
      name: "care question answered",
      value: perSecond(genera, (genus) => {
        answerCare({ topic: "any", subjects: [{ genus }] }, knowledge, around);
      }),
      unit: "1/s",
    },
  ];
}
