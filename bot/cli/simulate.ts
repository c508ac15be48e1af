/**
 * Years of a household on a simulated clock and weather.
 *
 *   npm run --silent simulate -- --from 2026-09-01 --to 2029-09-01 --household FILE --keeper obedient
 *
 * prints every message and entry as JSON Lines on standard output and a summary on standard error.
 * Exit code 2 for arguments that cannot be used, 1 if the run broke one of its own rules.
 */
import { once } from "node:events";
import { readFileSync } from "node:fs";
import { parseArgs } from "node:util";
import { Temporal } from "temporal-polyfill";
import { readHazards } from "../../db/care/hazards.js";
import { readCareTable } from "../../db/care/read.js";
import { readTasks } from "../../db/care/tasks.js";
import { readNameRows } from "../../db/names/read.js";
import { readWeather } from "../../db/weather/read.js";
import { type CareKnowledge, careKnowledge } from "../horticulture/knowledge.js";
import {
  acceptedBy,
  HouseholdFileError,
  parseHousehold,
  type SimHousehold,
} from "../simulation/household.js";
import { KEEPERS, type KeeperKind } from "../simulation/keeper.js";
import { simulate } from "../simulation/run.js";
import { Tally } from "../simulation/tally.js";
import { endWithReader } from "./pipe.js";

class UsageError extends Error {}

interface Asked {
  from: Temporal.PlainDate;
  to: Temporal.PlainDate;
  household: string;
  keeper: KeeperKind;
}

function asked(): Asked {
  const { values } = readArguments();
  const day = (name: "from" | "to"): Temporal.PlainDate => {
    const text = values[name];
    if (text === undefined) throw new UsageError(`--${name} is missing: a day such as 2026-09-01.`);
    try {
      return Temporal.PlainDate.from(text, { overflow: "reject" });
    } catch {
      throw new UsageError(`--${name} "${text}" is no day; write it as 2026-09-01.`);
    }
  };
  const from = day("from");
  const to = day("to");
  if (Temporal.PlainDate.compare(from, to) >= 0) throw new UsageError("--to must lie after --from.");
  const { household, keeper: kind = "obedient" } = values;
  if (household === undefined) throw new UsageError("--household is missing: the path of a household file.");
  const keeper = KEEPERS.find((known) => known === kind);
  if (!keeper) throw new UsageError(`--keeper "${kind}" is none of: ${KEEPERS.join(", ")}.`);
  return { from, to, household, keeper };
}

function readArguments() {
  try {
    return parseArgs({
      options: {
        from: { type: "string" },
        to: { type: "string" },
        household: { type: "string" },
        keeper: { type: "string" },
      },
    });
  } catch (error) {
    throw new UsageError(`${error instanceof Error ? error.message : String(error)}.`);
  }
}

function householdOf(path: string, from: Temporal.PlainDate, { index }: CareKnowledge): SimHousehold {
  let text: string;
  try {
    text = readFileSync(path, "utf8");
  } catch (error) {
    throw new UsageError(`--household ${path}: ${error instanceof Error ? error.message : String(error)}.`);
  }
  try {
    return parseHousehold(text, from, acceptedBy(index));
  } catch (error) {
    if (error instanceof HouseholdFileError) throw new UsageError(`--household ${path}: ${error.message}.`);
    throw error;
  }
}

async function main(): Promise<number> {
  const { from, to, household: path, keeper } = asked();
  const { table } = readCareTable();
  const knowledge = careKnowledge(table, readNameRows(), readHazards(table.sources));
  const household = householdOf(path, from, knowledge);
  const series = readWeather();
  const tally = new Tally();
  const lines = simulate({
    household,
    keeper,
    from,
    to,
    knowledge,
    tasks: readTasks(),
    weather: (date) => series.on(date, household.hemisphere),
    tally,
  });
  for (const line of lines) {
    if (!process.stdout.write(`${JSON.stringify(line)}\n`)) await once(process.stdout, "drain");
  }
  process.stderr.write(`${tally.lines().join("\n")}\n`);
  return tally.broken === 0 ? 0 : 1;
}

endWithReader();

main().then(
  (code) => {
    process.exitCode = code;
  },
  (error: unknown) => {
    process.stderr.write(`${error instanceof Error ? error.message : String(error)}\n`);
    process.exitCode = error instanceof UsageError ? 2 : 1;
  },
);
