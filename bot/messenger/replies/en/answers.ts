import type { Temporal } from "temporal-polyfill";
import type { Answer, LastDone, ReadingFound } from "../../../journal/outcome.js";
import type { JournalEntry, Place, Plant } from "../../../journal/ports.js";
import { dueLines } from "./due.js";
import { actWord, capital, entryLine, readingWords, subjectName } from "./entries.js";
import { day, type Manner, when } from "./figures.js";

const dateOf = (instant: Temporal.Instant, manner: Manner): Temporal.PlainDate =>
  instant.toZonedDateTimeISO(manner.zone).toPlainDate();
const todayOf = (manner: Manner): Temporal.PlainDate => dateOf(manner.now, manner);

function lastLine(
  found: LastDone,
  act: string | undefined,
  plants: readonly Plant[],
  manner: Manner,
): string {
  const name = found.subject ? capital(subjectName(found.subject, plants)) : "";
  const entry = found.entry;
  if (!entry) {
    const what = act ? actWord(act) : "an entry";
    return name === ""
      ? `The journal has nothing ${what} yet.`
      : `${name}: nothing in the journal says ${what}.`;
  }
  const at = entry.entry.when
    ? when(entry.entry.when, manner)
    : day(dateOf(entry.from, manner), todayOf(manner));
  const by = entry.person ? ` by ${entry.person}` : "";
  const where = found.place ? ` (${found.place.name})` : "";
  const amount = entryAmount(entry);
  const did = entry.reading ? readingWords(entry.reading, manner) : actWord(entry.act);
  const start = name === "" ? capital(entryLine(entry, found.place, plants, manner, null)) : null;
  return start ? `${start}${by}.` : `${name}${where}: ${did}${amount} ${at}${by}.`;
}

const entryAmount = (entry: JournalEntry): string => {
  const amount = entry.entry.amount;
  if (!amount || !("dose" in amount)) return "";
  return { sip: " a sip", light: " lightly", normal: "", soak: " a soak" }[amount.dose];
};

function readingLine(found: ReadingFound, manner: Manner): string {
  const where = found.place?.name ?? "Without a place";
  const at = found.entry.entry.when
    ? when(found.entry.entry.when, manner)
    : `${day(dateOf(found.entry.from, manner), todayOf(manner))} ${found.entry.from
        .toZonedDateTimeISO(manner.zone)
        .toPlainTime()
        .toString({ smallestUnit: "minute" })}`;
  return `${where}: ${readingWords(found, manner)}, ${at}.`;
}

/** Lines of an answer from the journal; the first is the result. */
export function answerLines(
  answer: Exclude<Answer, { about: "care" }>,
  places: readonly Place[],
  plants: readonly Plant[],
  manner: Manner,
): string[] {
  switch (answer.about) {
    case "last":
      return answer.found.map((found) => lastLine(found, answer.question.act, plants, manner));
    case "reading": {
      if (answer.found.length === 0) {
        const where = answer.question.place ? ` for ${answer.question.place}` : "";
        const span = answer.question.when ? ` in that time` : "";
        return [`No such reading in the journal${where}${span}. To log one: “min 4 last night”.`];
      }
      const lines = answer.found.map((found) => readingLine(found, manner));
      if (answer.of > answer.found.length) lines.push(`From ${answer.of} readings.`);
      return lines;
    }
    case "history": {
      if (answer.entries.length === 0) return ["The journal has nothing on that yet."];
      const place = (entry: JournalEntry) =>
        places.find((candidate) => candidate.id === entry.placeId) ?? null;
      const lines = answer.entries.map((entry) => {
        const line = entryLine(entry, place(entry), plants, manner, null);
        return entry.entry.when
          ? `${line}.`
          : `${line.replace(/, today/, "")}, ${day(dateOf(entry.from, manner), todayOf(manner))}.`;
      });
      if (answer.more > 0) lines.push(`And ${answer.more} older entries.`);
      return lines.map(capital);
    }
    case "inventory":
      return inventoryLines(answer, manner);
    case "due":
      return dueLines(answer, manner);
    case "why":
      return answer.lines.length === 0 ? ["Nothing said lately to explain."] : answer.lines;
    case "unable":
      return answer.reason === "not_yet"
        ? ["That can not be answered here yet."]
        : ["The journal knows nothing of that yet."];
  }
}

function inventoryLines(answer: Extract<Answer, { about: "inventory" }>, manner: Manner): string[] {
  const { question } = answer;
  const where = question.place ? ` in ${question.place}` : "";
  const state = question.state && question.state !== "any" ? ` ${actWord(question.state)}` : "";
  if (answer.total === 0) return [`Nothing${state}${where} that the journal knows of.`];
  const names = answer.plants.map(({ plant, place, state: seen }) => {
    const count = plant.count === null ? "" : `${plant.count} `;
    const at = place && !question.place ? ` (${place.name})` : "";
    const since = seen ? `, ${day(dateOf(seen.from, manner), todayOf(manner))}` : "";
    return `${count}${plantName(plant)}${at}${since}`;
  });
  if (question.count) {
    const known = answer.plants.reduce((sum, row) => sum + (row.plant.count ?? (row.plant.tag ? 1 : 0)), 0);
    const unknown = answer.plants.filter((row) => row.plant.count === null && row.plant.tag === null).length;
    const total = known > 0 ? `${known} plants counted` : `${answer.total} kinds`;
    const rest = unknown > 0 && known > 0 ? `, and ${unknown} kinds whose number was never told` : "";
    return [`${total}${state}${where}${rest}: ${names.slice(0, 10).join("; ")}.`];
  }
  const shown = names.slice(0, 12).join("; ");
  const more = names.length > 12 ? `; and ${names.length - 12} more` : "";
  return [`${capital(`${state.trim()}${where}`.trim() || "Known here")}: ${shown}${more}.`];
}

export const plantName = (plant: Plant): string => {
  const taxon = [plant.genus, plant.species, plant.cultivar ? `'${plant.cultivar}'` : null]
    .filter(Boolean)
    .join(" ");
  if (plant.name) return `${plant.name} (${plant.tag ?? taxon})`;
  return plant.tag ? `${plant.tag} (${taxon})` : taxon;
};
