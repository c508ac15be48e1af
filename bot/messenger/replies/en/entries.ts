import type { LoggedEntry } from "../../../journal/outcome.js";
import type { JournalEntry, Place, Plant } from "../../../journal/ports.js";
import { countWords, didWords, readingWords } from "./did.js";
import { day, type Manner, when } from "./figures.js";
import { head, whatOf, whereOf } from "./subjects.js";

export { actWord, dilutionWords, readingWords } from "./did.js";
export { head, subjectName } from "./subjects.js";

/** When an entry was, as said; else the day it was written for. */
export function entryWhen(entry: JournalEntry, manner: Manner): string {
  if (entry.entry.when) return when(entry.entry.when, manner);
  const date = (instant: JournalEntry["from"]) => instant.toZonedDateTimeISO(manner.zone).toPlainDate();
  return day(date(entry.from), date(manner.now));
}

/**
 * One line that shows all that was understood and assumed, without a full stop.
 * @param author whose name is not repeated; null names whoever it was
 */
export function entryLine(
  entry: JournalEntry,
  place: Place | null,
  plants: readonly Plant[],
  manner: Manner,
  author: string | null,
): string {
  const frame = entry.entry;
  const who = frame.person ?? (author === null ? entry.person : null);
  const tail = [entryWhen(entry, manner), who && who !== author ? `by ${who}` : ""];
  const join = (...parts: string[]) => parts.filter((part) => part !== "").join(", ");
  // "12 of 40 Copiapoa up, Warm Bench, today"
  if (frame.act === "germinate" && frame.count !== undefined && frame.subjects?.length) {
    const up = `${frame.tentative ? "about " : ""}${countWords(frame)} ${whatOf(frame, plants)} up`;
    return join(up, whereOf(frame, place), ...tail);
  }
  const did = entry.reading ? readingWords(entry.reading, manner, frame.tentative) : didWords(frame);
  const start = head(frame, place, plants);
  return start === "" ? join(did, ...tail) : `${start}: ${join(did, ...tail)}`;
}

export const loggedLine = (
  logged: LoggedEntry,
  plants: readonly Plant[],
  manner: Manner,
  author: string | null,
): string => capital(`${entryLine(logged.entry, logged.place, plants, manner, author)}.`);

/** A caution as one sentence; first aid waits for "why". */
export const cautionLine = (caution: { text: string }): string =>
  `${capital(caution.text.replace(/\.$/, ""))}.`;

export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
