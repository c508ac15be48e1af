import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { ACTS, GRAINS, GROUPS } from "../../bot/language/interpretation.js";

/**
 * The corpus itself under test: every line parses, speaks only words of the contract, names only plants,
 * places and people its household knows, and has calendar-true times. It does not run the interpreter.
 */

interface Json {
  [key: string]: unknown;
}
interface Line {
  id: string;
  now: string;
  addressed: boolean;
  text: string;
  expect: Json;
}
interface Household {
  units: "metric" | "imperial";
  places: { name: string; aliases?: string[] }[];
  members: string[];
  plants: { tag: string; name?: string; genus: string }[];
}

const SIZES = { british: 100, southern: 100, american: 100, baltic: 60 };
const read = (file: string): string => readFileSync(join(import.meta.dirname, file), "utf8");
const load = (name: string): { lines: Line[]; household: Household } => ({
  lines: read(`blind-${name}.jsonl`)
    .trimEnd()
    .split("\n")
    .map((line) => JSON.parse(line) as Line),
  household: JSON.parse(read(`household-${name}.json`)) as Household,
});

const ENTRY_KEYS = words(
  `act subjects except place when amount reading count outOf pot substrate product pest cause dilution
   origin recipient from to person stock pollen text value tentative`,
);
const SUBJECT_KEYS = words("genus species cultivar tag name as count group all");
const QUESTION_KEYS: Record<string, Set<string>> = {
  care: words("topic subjects season month"),
  last: words("act subjects place"),
  due: words("act subjects place when"),
  reading: words("quantity statistic place when"),
  inventory: words("subjects place state count"),
  history: words("subjects place when"),
  calculate: words("calculation inputs"),
  name: words("text"),
  why: words(""),
};
const INSTRUCTION_KEYS: Record<string, Set<string>> = {
  undo: words(""),
  amend: words("change"),
  remind: words("text when person"),
  snooze: words("when"),
  claim: words(""),
  set: words("setting place value"),
  add_place: words("place value"),
  remove_place: words("place"),
  away: words("when person"),
  chart: words("quantity place when"),
  export: words("format"),
  import: words(""),
  help: words(""),
  forget: words(""),
};
const TOPICS = words("water temperature light feed repot sow rest hazard any");
const QUANTITIES = words(
  "air_temperature soil_temperature outdoor_temperature relative_humidity illuminance energy",
);
const STATISTICS = words("min max current mean");
const CALCULATIONS = words(
  `dew_point vapour_pressure_deficit relative_humidity heat_hold running_cost substrate_volume dilution
   day_length germination convert`,
);
const INPUTS = words(
  `air_temperature relative_humidity heater inside outside duration price volume dilution pots diameter
   height count outOf value to date`,
);
const SETTINGS = words("floor location units reminder_time quiet_hours zone language");
const MISSING = words("subject value unit place time act");
const UNITS = words(
  `Cel [degF] % mL L [gal_us] [gal_br] [qt_us] [pt_us] [foz_us] [tsp_us] [tbs_us] cm mm [in_i] g kg W kW
   kW.h lx h 1 mL/L [tsp_us]/[gal_us] [tbs_us]/[gal_us] AUD/kW.h GBP/kW.h USD/kW.h`,
);

function words(text: string): Set<string> {
  return new Set(text.split(/\s+/).filter(Boolean));
}

/** Every object at or below a value. */
function objects(value: unknown): Json[] {
  if (Array.isArray(value)) return value.flatMap(objects);
  if (typeof value !== "object" || value === null) return [];
  return [value as Json, ...Object.values(value).flatMap(objects)];
}

const strangers = (object: Json, known: Set<string>): string[] =>
  Object.keys(object).filter((key) => !known.has(key));

/** What is wrong with one entry, one message a fault. */
function entryFaults(entry: Json, house: Household): string[] {
  const faults = strangers(entry, ENTRY_KEYS).map((key) => `key ${key}`);
  if (!(ACTS as readonly unknown[]).includes(entry.act)) faults.push(`act ${entry.act}`);
  const people = typeof entry.person === "string" ? entry.person.split(" and ") : [];
  for (const person of people) if (!house.members.includes(person)) faults.push(`person ${person}`);
  if ((entry.act === "reading") !== (entry.reading !== undefined)) faults.push("reading without act");
  const reading = entry.reading as Json | undefined;
  if (reading && !QUANTITIES.has(String(reading.quantity))) faults.push(`quantity ${reading.quantity}`);
  if (reading && !STATISTICS.has(String(reading.statistic))) faults.push(`statistic ${reading.statistic}`);
  if (entry.act === "setpoint" && entry.value === undefined) faults.push("setpoint without value");
  for (const key of ["substrate", "product", "pest", "cause"]) {
    const word = entry[key];
    if (typeof word === "string" && word !== word.toLowerCase()) faults.push(`${key} ${word}`);
  }
  return faults;
}

function subjectFaults(subject: Json, house: Household): string[] {
  const faults = strangers(subject, SUBJECT_KEYS).map((key) => `subject key ${key}`);
  const tags = house.plants.map((plant) => plant.tag);
  if (subject.tag !== undefined && !tags.includes(String(subject.tag))) faults.push(`tag ${subject.tag}`);
  if (subject.group !== undefined && !(GROUPS as readonly unknown[]).includes(subject.group))
    faults.push(`group ${subject.group}`);
  if (subject.genus !== undefined && !/^[A-Z][a-z]+$/.test(String(subject.genus)))
    faults.push(`genus ${subject.genus}`);
  if (subject.species !== undefined && !/^[a-z-]+$/.test(String(subject.species)))
    faults.push(`species ${subject.species}`);
  return faults;
}

const DAY = 24 * 60;
const minutes = (stamp: unknown): number => Date.parse(`${stamp}:00Z`) / 60_000;

/** Length and start that each grain must have, in minutes. */
function whenFaults(when: Json): string[] {
  const [from, to] = [minutes(when.from), minutes(when.to)];
  const length = to - from;
  const clock = ((from % DAY) + DAY) % DAY;
  const start = new Date(from * 60_000);
  const good: Record<string, boolean> = {
    moment: length === 0,
    hour: length === 60,
    part: clock !== 0 && clock % (6 * 60) === 0 && length === 6 * 60,
    night: clock === 18 * 60 && length === 14 * 60,
    day: clock === 0 && length > 0,
    week: clock === 0 && length === 7 * DAY && start.getUTCDay() === 1,
    month: clock === 0 && start.getUTCDate() === 1 && length >= 28 * DAY && length <= 31 * DAY,
  };
  const grain = String(when.grain);
  if (!(GRAINS as readonly string[]).includes(grain)) return [`grain ${grain}`];
  return good[grain] === true ? [] : [`${grain} ${when.from} to ${when.to}`];
}

function questionFaults(question: Json): string[] {
  const known = QUESTION_KEYS[String(question.about)];
  if (!known) return [`about ${question.about}`];
  const faults = strangers(question, new Set([...known, "about"])).map((key) => `question key ${key}`);
  if (question.topic !== undefined && !TOPICS.has(String(question.topic)))
    faults.push(`topic ${question.topic}`);
  if (question.act !== undefined && !(ACTS as readonly unknown[]).includes(question.act))
    faults.push(`act ${question.act}`);
  if (question.about === "calculate") {
    if (!CALCULATIONS.has(String(question.calculation))) faults.push(`calculation ${question.calculation}`);
    faults.push(...strangers(question.inputs as Json, INPUTS).map((key) => `input ${key}`));
  }
  return faults;
}

function instructionFaults(instruction: Json): string[] {
  const known = INSTRUCTION_KEYS[String(instruction.do)];
  if (!known) return [`do ${instruction.do}`];
  const faults = strangers(instruction, new Set([...known, "do"])).map((key) => `instruction key ${key}`);
  if (instruction.do === "set" && !SETTINGS.has(String(instruction.setting)))
    faults.push(`setting ${instruction.setting}`);
  if (instruction.do === "amend")
    faults.push(...strangers(instruction.change as Json, ENTRY_KEYS).map((key) => `change ${key}`));
  return faults;
}

function lineFaults(line: Line, house: Household): string[] {
  const { kind, entries, question, instruction, missing, ...more } = line.expect;
  const faults = Object.keys(more).map((key) => `key ${key}`);
  const parts: Json = { log: entries, ask: question, instruct: instruction, unclear: missing };
  const given = Object.keys(parts).filter((key) => parts[key] !== undefined);
  if (given.join() !== (kind === "none" ? "" : kind)) faults.push(`kind ${kind} with ${given.join()}`);
  for (const entry of (entries ?? []) as Json[]) faults.push(...entryFaults(entry, house));
  if (question) faults.push(...questionFaults(question as Json));
  if (instruction) faults.push(...instructionFaults(instruction as Json));
  for (const word of (missing ?? []) as string[]) if (!MISSING.has(word)) faults.push(`missing ${word}`);
  for (const object of objects(line.expect)) {
    const lists = [object.subjects, object.except].filter(Array.isArray).flat() as Json[];
    for (const subject of lists) faults.push(...subjectFaults(subject, house));
    if (object.grain !== undefined) faults.push(...whenFaults(object));
    if (typeof object.unit === "string" && !UNITS.has(object.unit)) faults.push(`unit ${object.unit}`);
  }
  for (const entry of (entries ?? []) as Json[]) {
    const when = entry.when as Json | undefined;
    if (when && minutes(when.from) > minutes(line.now)) faults.push(`a log of the future, ${when.from}`);
  }
  return faults;
}

describe("corpus by a reader of the contract alone", () => {
  const all = Object.keys(SIZES).map((name) => ({ name, ...load(name) }));

  for (const set of all) {
    it(`${set.name}: ${set.lines.length} lines speak the contract's words`, () => {
      const faults = set.lines.flatMap((line) =>
        lineFaults(line, set.household).map((fault) => `${line.id}: ${fault}`),
      );
      expect(faults).toEqual([]);
      expect(new Set(set.lines.map((line) => line.text)).size).toBe(set.lines.length);
    });
  }

  it("holds the promised numbers of lines, with ids of their own", () => {
    expect(all.map((set) => set.lines.length)).toEqual(Object.values(SIZES));
    const ids = all.flatMap((set) => set.lines.map((line) => line.id));
    expect(new Set(ids).size).toBe(ids.length);
  });

  it("has every act twice or more, every kind, every missing word, and about a third of silence", () => {
    const expected = all.flatMap((set) => set.lines.map((line) => line.expect));
    const acts = expected.flatMap((x) => ((x.entries ?? []) as Json[]).map((entry) => entry.act));
    const rare = ACTS.filter((act) => acts.filter((seen) => seen === act).length < 2);
    expect(rare).toEqual([]);
    const missing = new Set(expected.flatMap((x) => (x.missing ?? []) as string[]));
    expect([...missing].sort()).toEqual([...MISSING].sort());
    const abouts = new Set(expected.flatMap((x) => (x.question ? [(x.question as Json).about] : [])));
    expect([...abouts].sort()).toEqual(Object.keys(QUESTION_KEYS).sort());
    const dos = new Set(expected.flatMap((x) => (x.instruction ? [(x.instruction as Json).do] : [])));
    expect([...dos].sort()).toEqual(Object.keys(INSTRUCTION_KEYS).sort());
    const silent = expected.filter((x) => x.kind === "none").length / expected.length;
    expect(silent).toBeGreaterThan(0.3);
    expect(silent).toBeLessThan(0.36);
  });
});
