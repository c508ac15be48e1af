import type { Question, Subject, When } from "../language/interpretation.js";
import type { Answer, LastDone } from "./outcome.js";
import type { EntryFilter, JournalEntry } from "./ports.js";
import type { Scope } from "./scope.js";
import { atPlace, speaksOf } from "./speaks-of.js";
import { dayOf, instantsOf } from "./time.js";

export type Ask<A extends Question["about"]> = Extract<Question, { about: A }>;

/** How many entries a question without a time looks back. */
export const LOOKS_BACK = 2000;
const HISTORY_LINES = 12;

/** "when did we last feed the orchids": the latest entry of the act that speaks of each subject asked for. */
export async function lastDone(scope: Scope, question: Ask<"last">): Promise<Answer> {
  const { filter, fits } = atPlace(scope, question.place);
  const entries = await scope.store.entries({
    ...(question.act ? { acts: [question.act] } : {}),
    ...filter,
    to: scope.utterance.at.add({ seconds: 1 }),
    order: "latest",
    limit: LOOKS_BACK,
  });
  const find = (subject: Subject | null): LastDone => {
    const entry =
      entries.find((one) => fits(one) && (subject === null || speaksOf(one, subject, scope))) ?? null;
    return {
      subject,
      entry,
      days: entry ? daysSince(scope, entry) : null,
      by: entry?.person ?? null,
      place: scope.places.find((place) => place.id === entry?.placeId) ?? null,
    };
  };
  const subjects = question.subjects ?? [];
  return {
    about: "last",
    question,
    found: subjects.length === 0 ? [find(null)] : subjects.map((subject) => find(subject)),
  };
}

function daysSince(scope: Scope, entry: JournalEntry): number {
  const today = scope.utterance.at.toZonedDateTimeISO(scope.zone).toPlainDate();
  return dayOf(entry.from, entry.to, scope.zone).until(today, { largestUnit: "day" }).days;
}

export const spanOf = (scope: Scope, when: When | undefined): Pick<EntryFilter, "from" | "to"> =>
  when ? instantsOf(when, scope.zone) : {};

/** "what happened in the long house this week": what the journal says, latest first. */
export async function historyAsked(scope: Scope, question: Ask<"history">): Promise<Answer> {
  const { filter, fits } = atPlace(scope, question.place);
  const { subjects } = question;
  const entries = await scope.store.entries({
    ...filter,
    ...spanOf(scope, question.when),
    order: "latest",
    limit: LOOKS_BACK,
  });
  const found = entries.filter(
    (entry) => fits(entry) && (!subjects || subjects.some((subject) => speaksOf(entry, subject, scope))),
  );
  return {
    about: "history",
    question,
    entries: found.slice(0, HISTORY_LINES),
    more: Math.max(0, found.length - HISTORY_LINES),
  };
}
