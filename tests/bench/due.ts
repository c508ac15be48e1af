import { Temporal } from "temporal-polyfill";
import { dueToday } from "../../bot/horticulture/due/today.js";
import { morningInstant } from "../../bot/nudges/due-instant.js";
import { planMorning } from "../../bot/nudges/plan-morning.js";
import { acceptedBy, parseHousehold } from "../../bot/simulation/household.js";
import { SimJournal } from "../../bot/simulation/journal.js";
import { simulate } from "../../bot/simulation/run.js";
import { Tally } from "../../bot/simulation/tally.js";
import { readTasks } from "../../db/care/tasks.js";
import { readWeather } from "../../db/weather/read.js";
import { knowledge } from "../horticulture/knowledge.js";
import { collectionFile } from "../support/collection.js";
import type { Row } from "./row.js";

const FROM = Temporal.PlainDate.from("2026-09-01");
const DAY = Temporal.PlainDate.from("2027-07-15");

/** Runs a task again and again for about a second; times a second. */
function perSecond(task: () => void): number {
  let done = 0;
  const start = performance.now();
  while (performance.now() - start < 1000) {
    task();
    done++;
  }
  return (1000 * done) / (performance.now() - start);
}

/** Due engine: plants judged and mornings planned a second, instants found, years simulated. */
export async function benchDue(): Promise<Row[]> {
  const file = JSON.stringify(collectionFile(knowledge));
  const household = parseHousehold(file, FROM, acceptedBy(knowledge.index));
  const tasks = readTasks();
  const journal = new SimJournal(household, FROM);
  for (let ago = 0; ago < 120; ago += 11) {
    journal.notePlants("water", household.plants, DAY.subtract({ days: 120 - ago }), "Ines");
  }
  const places = household.places.map(({ name }) => name);
  const judge = () => dueToday(journal.viewOn(DAY), tasks, knowledge);
  judge();
  const days = perSecond(judge);
  const today = judge();
  const mentions = new Map();
  const weekdays = household.reminderDays;
  const plans = perSecond(() => planMorning({ today, plants: household.plants, places, mentions, weekdays }));
  const instants = perSecond(() => morningInstant(DAY, "07:30", "Australia/Lord_Howe"));
  const series = readWeather();
  const start = performance.now();
  let lines = 0;
  const run = simulate({
    household,
    keeper: "obedient",
    from: FROM,
    to: Temporal.PlainDate.from("2029-09-01"),
    knowledge,
    tasks,
    weather: (date) => series.on(date),
    tally: new Tally(),
  });
  for (const _ of run) lines++;
  const seconds = (performance.now() - start) / 1000;
  const whole = (value: number) => Math.round(value).toLocaleString("en-GB");
  return [
    {
      name: "plants judged, water, feed and tasks",
      figure: `${whole(days * household.plants.length)}/s`,
      note: "collection of 300",
    },
    { name: "mornings planned", figure: `${whole(plans)}/s`, note: "300 plants of 80 genera" },
    { name: "due instants", figure: `${whole(instants)}/s` },
    {
      name: "three years of 300 plants simulated",
      figure: `${seconds.toFixed(1)} s`,
      note: `${whole(lines)} lines`,
    },
  ];
}
