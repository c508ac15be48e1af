/**
 * What the demo collection is told through the year, for a grower to read over:
 *
 *   npx tsx tests/support/digests.ts [north|south] [household file]
 */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { Temporal } from "temporal-polyfill";
import { morningLines } from "../../bot/messenger/replies/en/morning.js";
import { planRequest } from "../../bot/nudges/plan-morning.js";
import { acceptedBy, parseHousehold } from "../../bot/simulation/household.js";
import { simulate } from "../../bot/simulation/run.js";
import { Tally } from "../../bot/simulation/tally.js";
import { readTasks } from "../../db/care/tasks.js";
import { readWeather } from "../../db/weather/read.js";
import { knowledge } from "../horticulture/knowledge.js";

const DEMO = join(import.meta.dirname, "..", "fixtures", "demo-household.json");
const DAYS_AROUND = 4;

/** The digest of a day: the next morning message from it on, and the answer to "what's due" on the day itself. */
export function digestsOf(file: string, dates: readonly string[], from: string, to: string): string[] {
  const household = parseHousehold(file, Temporal.PlainDate.from(from), acceptedBy(knowledge.index));
  const series = readWeather();
  const said: string[] = [];
  const waiting = new Set<string>();
  const places = household.places.map((place) => place.name);
  const run = simulate({
    household,
    keeper: "obedient",
    from: Temporal.PlainDate.from(from),
    to: Temporal.PlainDate.from(to),
    knowledge,
    tasks: readTasks(),
    weather: (date) => series.on(date, household.hemisphere),
    tally: new Tally(),
    onDay(plan, today) {
      const day = today.date.toString();
      const manner = { units: "metric" as const };
      if (dates.includes(day)) {
        const answer = morningLines(planRequest({ today, plants: household.plants, places }), { manner });
        said.push(`${day}, asked what's due:`, ...answer.map((line) => `  ${line}`));
        for (let ahead = 0; ahead < DAYS_AROUND; ahead++)
          waiting.add(today.date.add({ days: ahead }).toString());
      }
      if (waiting.has(day)) {
        said.push(
          `${day}, morning:`,
          ...(plan ? morningLines(plan, { manner }) : ["(no message)"]).map((line) => `  ${line}`),
        );
      }
    },
  });
  for (const _ of run);
  return said;
}

if (process.argv[1]?.endsWith("digests.ts")) {
  const file = readFileSync(process.argv[3] ?? DEMO, "utf8");
  const south = process.argv[2] === "south";
  const text = south
    ? JSON.stringify({ ...JSON.parse(file), latitude: -36, zone: "Australia/Melbourne" })
    : file;
  const dates = ["2028-01-15", "2028-04-15", "2028-07-15", "2028-10-15"];
  process.stdout.write(`${digestsOf(text, dates, "2026-09-01", "2028-10-20").join("\n")}\n`);
}
