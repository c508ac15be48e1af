import { readdirSync, readFileSync } from "node:fs";
import {
  EMPTY_HOUSEHOLD,
  type HouseholdContext,
  type InterpretContext,
} from "../../../bot/language/context.js";
import { buildVocabulary, readEnglishLexicon, type Vocabulary } from "../../../bot/language/index.js";
import type { Interpretation } from "../../../bot/language/interpretation.js";
import { readNameRows } from "../../../db/names/read.js";

/** One labelled message. */
export interface Labelled {
  id: string;
  household: string;
  now: string;
  addressed: boolean;
  text: string;
  expect: Interpretation;
}

const HOUSEHOLDS = new URL("../households/", import.meta.url);
const BLIND_HOUSEHOLDS = new URL("../../corpus/", import.meta.url);
const households = new Map<string, HouseholdContext>();

export function household(name: string): HouseholdContext {
  let found = households.get(name);
  if (!found) {
    const path = name.startsWith("blind-")
      ? new URL(`household-${name.slice("blind-".length)}.json`, BLIND_HOUSEHOLDS)
      : new URL(`${name}.json`, HOUSEHOLDS);
    const file = JSON.parse(readFileSync(path, "utf8")) as Partial<HouseholdContext>;
    found = { ...EMPTY_HOUSEHOLD, ...file };
    households.set(name, found);
  }
  return found;
}

export const contextOf = (line: Labelled): InterpretContext => {
  const known = household(line.household);
  return { ...known, now: line.now, zone: known.zone ?? "Europe/Warsaw", addressed: line.addressed };
};

/** The labelled lines of every file in a folder whose name passes. */
export function readCorpus(folder: URL, wanted: (file: string) => boolean = () => true): Labelled[] {
  return readdirSync(folder)
    .filter((file) => file.endsWith(".jsonl") && wanted(file))
    .sort()
    .flatMap((file) =>
      readFileSync(new URL(file, folder), "utf8")
        .split("\n")
        .filter((line) => line.trim() !== "")
        .map((line) => ({ ...(JSON.parse(line) as Labelled) }))
        .map((line) => ({ ...line, household: line.household ?? file.replace(/\.jsonl$/, "") })),
    );
}

let built: Vocabulary | undefined;
export function vocabulary(): Vocabulary {
  built ??= buildVocabulary(readNameRows(), readEnglishLexicon());
  return built;
}
