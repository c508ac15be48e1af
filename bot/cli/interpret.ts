import { readFileSync } from "node:fs";
import { createInterface } from "node:readline";
import { parseArgs } from "node:util";
import { readNameRows } from "../../db/names/read.js";
import { EMPTY_HOUSEHOLD, type HouseholdContext, type InterpretContext } from "../language/context.js";
import { buildVocabulary, explain, interpret, readEnglishLexicon } from "../language/index.js";
import { endWithReader } from "./pipe.js";

endWithReader();

const USAGE =
  "npm run --silent interpret -- --now 2027-01-15T09:00 --zone Europe/Warsaw [--household FILE] [--explain] < lines";

interface Line {
  text: string;
  now?: string;
  zone?: string;
  addressed?: boolean;
}

/** A line that begins with "{" and parses carries its own circumstances; every other is the message itself. */
function readLine(line: string): Line {
  if (line.startsWith("{")) {
    try {
      const parsed: unknown = JSON.parse(line);
      if (parsed && typeof parsed === "object" && "text" in parsed && typeof parsed.text === "string") {
        const given = parsed as Record<string, unknown>;
        return {
          text: parsed.text,
          ...(typeof given.now === "string" && { now: given.now }),
          ...(typeof given.zone === "string" && { zone: given.zone }),
          ...(typeof given.addressed === "boolean" && { addressed: given.addressed }),
        };
      }
    } catch {
      return { text: line };
    }
  }
  return { text: line };
}

const LOCAL_TIME = /^\d{4}-\d\d-\d\dT\d\d:\d\d/;

function fail(message: string): never {
  process.stderr.write(`${message}\n${USAGE}\n`);
  process.exit(2);
}

async function main(): Promise<void> {
  const { values } = parseArgs({
    options: {
      now: { type: "string" },
      zone: { type: "string" },
      household: { type: "string" },
      addressed: { type: "boolean", default: false },
      explain: { type: "boolean", default: false },
    },
  });
  const now =
    values.now ?? fail("--now is missing: the local time of writing, for instance 2027-01-15T09:00");
  if (!LOCAL_TIME.test(now)) fail(`--now must be local time like 2027-01-15T09:00, not "${now}"`);
  let household: Partial<HouseholdContext> = {};
  if (values.household) {
    try {
      household = JSON.parse(readFileSync(values.household, "utf8")) as Partial<HouseholdContext>;
    } catch (cause) {
      fail(`--household ${values.household} cannot be read: ${(cause as Error).message}`);
    }
  }
  const zone =
    values.zone ?? household.zone ?? fail("--zone is missing: an IANA zone, for instance Europe/Warsaw");
  const base: HouseholdContext = { ...EMPTY_HOUSEHOLD, ...household };
  const vocabulary = buildVocabulary(readNameRows(), readEnglishLexicon());
  for await (const line of createInterface({ input: process.stdin, crlfDelay: Number.POSITIVE_INFINITY })) {
    const given = readLine(line);
    const context: InterpretContext = {
      ...base,
      now: given.now && LOCAL_TIME.test(given.now) ? given.now : now,
      zone: given.zone ?? zone,
      addressed: given.addressed ?? values.addressed,
    };
    const result = values.explain
      ? explain(given.text, context, vocabulary)
      : interpret(given.text, context, vocabulary);
    if (!process.stdout.write(`${JSON.stringify(result)}\n`))
      await new Promise((go) => process.stdout.once("drain", go));
  }
}

await main();
