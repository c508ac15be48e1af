import type { Answer, LastDone, ReadingFound } from "../../../journal/outcome.js";
import type { JournalEntry, Place, Plant } from "../../../journal/ports.js";
import { didWords } from "./did.js";
import { dueLines } from "./due.js";
import { actWord, capital, entryLine, entryWhen, readingWords } from "./entries.js";
import { list, type Manner } from "./figures.js";
import { type Folded, fold, LINES } from "./fold.js";
import { plantName, subjectName } from "./subjects.js";

type Of<A extends Answer["about"]> = Extract<Answer, { about: A }>;

/** What the wording of an answer looks things up in. */
export interface Known {
  places: readonly Place[];
  plants: readonly Plant[];
  manner: Manner;
}

/** Lines of an answer from the journal, the result first, and what waits behind a button. */
export function answerLines(answer: Exclude<Answer, { about: "care" | "calculated" }>, known: Known): Folded {
  switch (answer.about) {
    case "last":
      return fold(answer.found.map((found) => lastLine(found, answer.question.act, known)));
    case "reading":
      return fold(readingLines(answer, known));
    case "history":
      return historyLines(answer, known);
    case "inventory":
      return inventoryLines(answer, known);
    case "due":
      return { lines: dueLines(answer, known.manner), more: [] };
    case "why":
      return fold(
        answer.lines.length === 0 ? ["There are no reasons to give for what I said last."] : answer.lines,
      );
    case "unable":
      return {
        lines: [
          answer.reason === "not_yet"
            ? "That can not be answered here yet."
            : "The journal knows nothing of that yet.",
        ],
        more: [],
      };
  }
}

function lastLine(found: LastDone, act: string | undefined, { plants, manner }: Known): string {
  const name = found.subject ? capital(subjectName(found.subject, plants)) : "";
  const { entry } = found;
  if (!entry) {
    const what = act ? `nothing noted as ${actWord(act)} yet` : "nothing in the journal yet";
    return name === "" ? `${capital(what)}.` : `${name}: ${what}.`;
  }
  if (name === "" || entry.reading) {
    return `${capital(entryLine(entry, found.place, plants, manner, null))}.`;
  }
  const by = entry.person ? ` by ${entry.person}` : "";
  const where = found.place && entry.act !== "move" ? `, ${found.place.name}` : "";
  return `${name}: ${didWords(entry.entry)}, ${entryWhen(entry, manner)}${by}${where}.`;
}

function readingLines(answer: Of<"reading">, { manner }: Known): string[] {
  const { question, found, without, of } = answer;
  if (found.length === 0) {
    const where = question.place ? ` for ${without[0]?.name ?? question.place}` : "";
    const span = question.when ? " in that time" : "";
    return [`No such reading in the journal${where}${span}. To log one: “min 4 last night”.`];
  }
  const lines = found.map((one) => readingLine(one, manner));
  if (without.length > 0) lines.push(`No reading: ${list(without.map(({ name }) => name))}.`);
  const isExtreme = question.statistic !== undefined && question.statistic !== "current";
  if (isExtreme && of > found.length) lines.push(`From ${of} readings.`);
  return lines;
}

function readingLine(found: ReadingFound, manner: Manner): string {
  const outdoors = found.quantity === "outdoor_temperature" ? "Outdoors" : null;
  const where = found.place?.name ?? outdoors ?? found.entry.entry.place ?? "No place said";
  const words = `${capital(where)}: ${readingWords(found, manner)}`;
  if (found.statistic === "mean" && found.entry.reading?.statistic !== "mean") return `${words}.`;
  const said = found.entry.entry.when;
  const { from } = found.entry;
  const time = from.toZonedDateTimeISO(manner.zone).toPlainTime().toString({ smallestUnit: "minute" });
  return `${words}, ${entryWhen(found.entry, manner)}${said ? "" : ` ${time}`}.`;
}

const placeOf = (entry: JournalEntry, places: readonly Place[]): Place | null =>
  places.find(({ id }) => id === entry.placeId) ?? null;

const entryLines = (entries: readonly JournalEntry[], { places, plants, manner }: Known): string[] =>
  entries.map((entry) => `${capital(entryLine(entry, placeOf(entry, places), plants, manner, null))}.`);

function historyLines(answer: Of<"history">, known: Known): Folded {
  if (answer.entries.length === 0) return { lines: ["Nothing in the journal on that yet."], more: [] };
  const lines = entryLines(answer.entries, known);
  if (lines.length + answer.more <= LINES) return { lines, more: [] };
  const shown = lines.slice(0, LINES - 1);
  const behind = lines.slice(LINES - 1);
  return {
    lines: [...shown, `And ${behind.length + answer.more} older entries.`],
    more: answer.more > 0 ? [...behind, `And ${answer.more} older still.`] : behind,
  };
}

function inventoryLines(answer: Of<"inventory">, known: Known): Folded {
  const { question, plants, seen } = answer;
  const where = question.place ? ` in ${question.place}` : "";
  if (question.state) {
    if (seen.length === 0) return { lines: [nothingSeen(answer, known)], more: [] };
    return fold(entryLines(seen, known), "more");
  }
  if (plants.length === 0 && seen.length > 0) return fold(entryLines(seen, known), "more");
  const what = question.subjects?.map((subject) => subjectName(subject, known.plants)) ?? [];
  if (plants.length === 0) {
    return {
      lines: [`${what.length > 0 ? `No ${list(what)}` : "No plants"}${where} on the list yet.`],
      more: [],
    };
  }
  const names = grouped(plants, question.place === undefined);
  const sum = question.count ? `${sumOf(plants)}${where}: ` : `${capital(where.trim() || "on the list")}: `;
  return namesFolded(sum, names);
}

/** "Aloe in Long House: nothing noted as rot lately." */
function nothingSeen({ question: { state, subjects, place } }: Of<"inventory">, { plants }: Known): string {
  const of = subjects ? list(subjects.map((subject) => subjectName(subject, plants))) : "";
  const where = [of, place ? `in ${place}` : ""].filter((words) => words !== "").join(" ");
  const what = `nothing noted${state === undefined || state === "any" ? "" : ` as ${actWord(state)}`} lately`;
  return capital(where === "" ? `${what}.` : `${where}: ${what}.`);
}

/** How many names of a list are shown at once. */
const NAMES = 12;

function namesFolded(start: string, names: readonly string[]): Folded {
  const rest = names.slice(NAMES);
  const more = rest.length > 0 ? `; and ${rest.length} more` : "";
  return {
    lines: [`${start}${names.slice(0, NAMES).join("; ")}${more}.`],
    more: rest.length > 0 ? [`${rest.join("; ")}.`] : [],
  };
}

/** Plants of one name in one place together: "12 Aloe (Long House)". */
function grouped(plants: Of<"inventory">["plants"], showPlace: boolean): string[] {
  const groups = new Map<string, { count: number; unknown: boolean; place: string }>();
  for (const { plant, place } of plants) {
    const key = `${plantName(plant)}${showPlace && place ? ` (${place.name})` : ""}`;
    const group = groups.get(key) ?? { count: 0, unknown: false, place: "" };
    if (plant.count === null && plant.tag === null) group.unknown = true;
    else group.count += plant.tag === null ? (plant.count ?? 0) : 0;
    groups.set(key, group);
  }
  return [...groups].map(([name, { count, unknown }]) =>
    count > 0 ? `${count}${unknown ? " or more" : ""} ${name}` : name,
  );
}

/** "14 plants", "14 plants and 2 kinds never counted", "3 kinds, never counted". */
function sumOf(plants: Of<"inventory">["plants"]): string {
  const counted = plants.reduce((sum, { plant }) => sum + (plant.tag === null ? (plant.count ?? 0) : 1), 0);
  const kinds = new Set(
    plants
      .filter(({ plant }) => plant.tag === null && plant.count === null)
      .map(({ plant }) => plantName(plant)),
  ).size;
  const some = kinds === 1 ? "1 kind" : `${kinds} kinds`;
  if (counted === 0) return `${capital(some)}, never counted`;
  const known = counted === 1 ? "1 plant" : `${counted} plants`;
  return kinds === 0 ? known : `${known} and ${some} never counted`;
}
