import type { Entry, Instruction, Quantity, Subject } from "../language/interpretation.js";

export type Change = Extract<Instruction, { do: "amend" }>["change"];

const TEMPERATURES = new Set(["Cel", "[degF]", "K"]);
const LENGTHS = new Set(["mm", "cm", "m", "[in_i]", "[ft_i]"]);

const lower = (text: string | undefined): string | undefined => text?.toLowerCase();

const sameSubject = (a: Subject, b: Subject): boolean =>
  lower(a.tag) === lower(b.tag) &&
  a.genus === b.genus &&
  (a.species === b.species || b.species === undefined) &&
  a.group === b.group &&
  a.all === b.all &&
  lower(a.name) === lower(b.name);

/** Whether an entry is about so many plants that one of them can be taken out: a place, a group, everything. */
const isSweeping = (entry: Entry): boolean =>
  entry.subjects === undefined ? !entry.reading : entry.subjects.some(({ all, group }) => all || group);

/** The entry as the correction leaves it; null where nothing is left of it. */
export function changed(entry: Entry, change: Change): Entry | null {
  const { addSubjects, removeSubjects, reading, value, pot, ...rest } = change;
  const next: Entry = { ...entry, ...rest };
  // Said for certain now.
  if (!change.tentative) delete next.tentative;
  if (reading) next.reading = { ...(entry.reading ?? reading), ...reading };
  if (pot) next.pot = { ...entry.pot, ...pot };
  if (value) Object.assign(next, numberChanged(next, value));
  for (const removed of removeSubjects ?? []) withoutSubject(next, removed);
  for (const added of addSubjects ?? []) {
    if (!next.subjects?.some((subject) => sameSubject(subject, added))) {
      next.subjects = [...(next.subjects ?? []), added];
    }
  }
  const emptied = next.subjects?.length === 0 && entry.subjects?.length !== 0;
  return emptied ? null : next;
}

/** "not the lithops": no longer named; or, of a sweep over many, left out of it. */
function withoutSubject(entry: Entry, removed: Subject): void {
  const left = entry.subjects?.filter((subject) => !sameSubject(subject, removed));
  if (left && left.length < (entry.subjects?.length ?? 0)) entry.subjects = left;
  else entry.except = [...(entry.except ?? []), removed];
}

/** "I meant 6" corrects the number that the entry has, whichever that is. */
function numberChanged(entry: Entry, { value, unit }: Quantity): Partial<Entry> {
  const bare = unit === "1" || (TEMPERATURES.has(unit) && !hasTemperature(entry));
  if (entry.reading) {
    const fits = unit !== "1" && TEMPERATURES.has(unit) === TEMPERATURES.has(entry.reading.unit);
    return { reading: { ...entry.reading, value, ...(fits ? { unit } : {}) } };
  }
  if (LENGTHS.has(unit)) return { pot: { ...entry.pot, diameter: { value, unit } } };
  if (!bare) return entry.act === "setpoint" ? { value: { value, unit } } : { amount: { value, unit } };
  if (entry.value) return { value: { ...entry.value, value } };
  if (entry.count !== undefined) return { count: value };
  if (entry.amount && "value" in entry.amount) return { amount: { ...entry.amount, value } };
  if (entry.pot?.diameter) return { pot: { ...entry.pot, diameter: { ...entry.pot.diameter, value } } };
  const [first, ...others] = entry.subjects ?? [];
  return first ? { subjects: [{ ...first, count: value }, ...others] } : {};
}

const hasTemperature = (entry: Entry): boolean =>
  entry.act === "setpoint" || (entry.reading !== undefined && TEMPERATURES.has(entry.reading.unit));

const hasNumber = (entry: Entry): boolean =>
  entry.reading !== undefined ||
  entry.value !== undefined ||
  entry.count !== undefined ||
  (entry.amount !== undefined && "value" in entry.amount) ||
  entry.pot?.diameter !== undefined;

/**
 * Which of the entries of one message a correction is about: a time, a place or a doer all of them; a number the
 * last one that has a number; plants to leave out those that name them; plants to add the last one that has plants.
 */
export function meantBy<T extends { entry: Entry }>(entries: readonly T[], change: Change): T[] {
  const last = (fits: (entry: Entry) => boolean): T[] => {
    const found = entries.findLast(({ entry }) => fits(entry));
    return found ? [found] : [];
  };
  if (change.removeSubjects) {
    const removed = change.removeSubjects;
    const naming = entries.filter(({ entry }) =>
      entry.subjects?.some((subject) => removed.some((one) => sameSubject(subject, one))),
    );
    return naming.length > 0 ? naming : last(isSweeping);
  }
  if (change.addSubjects || change.subjects) return last((entry) => entry.subjects !== undefined);
  if (change.reading) {
    const { quantity } = change.reading;
    const alike = last((entry) => entry.reading?.quantity === quantity);
    return alike.length > 0 ? alike : last((entry) => entry.reading !== undefined);
  }
  if (change.value) {
    const numbered = last(hasNumber);
    if (numbered.length > 0) return numbered;
    // "I meant 3" of plants that were not counted; 4.8 plants there are not.
    const { value, unit } = change.value;
    const counts = Number.isInteger(value) && value > 0;
    const bare = unit === "1" || TEMPERATURES.has(unit);
    return bare && !counts ? [] : last((entry) => entry.subjects !== undefined);
  }
  if (change.pot) {
    const potted = last((entry) => entry.pot !== undefined || entry.act === "repot");
    return potted.length > 0 ? potted : last((entry) => entry.subjects !== undefined);
  }
  if (change.cause) {
    const caused = last(({ act }) => act === "heat_off" || act === "lose");
    return caused.length > 0 ? caused : entries.slice(-1);
  }
  return change.act ? entries.slice(-1) : [...entries];
}

/** Parts of an entry by which it changes the list of plants. */
const SHAPES_PLANTS = [
  "act",
  "subjects",
  "addSubjects",
  "removeSubjects",
  "except",
  "place",
  "from",
  "to",
  "pot",
  "count",
  "value",
  "origin",
] as const satisfies readonly (keyof Change)[];

/** Whether what the entry did to the list of plants stays as it is. */
export const leavesPlants = (entry: Entry, change: Change): boolean =>
  SHAPES_PLANTS.every((key) => change[key] === undefined) &&
  !(entry.act === "acquire" && change.when !== undefined);
