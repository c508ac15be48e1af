import { type InGroup, statementCovers, subjectCovers } from "../horticulture/coverage.js";
import type { Entry, Question, Statistic, Subject, When } from "../language/interpretation.js";
import type { Answer, LastDone, ReadingFound } from "./outcome.js";
import type { JournalEntry, Place, Plant } from "./ports.js";
import { placeNamed, type Scope } from "./scope.js";
import { daysBetween, instantsOf } from "./time.js";

/** How far back a question without a time looks. */
const LAST_LOOKS_BACK = 2000;
const HISTORY_LINES = 12;

type Ask<A extends Question["about"]> = Extract<Question, { about: A }>;

/** A subject of a question as a plant, so that statements can be tried on it. */
const asPlant = (subject: Subject, plants: readonly Plant[]) => {
  const tagged = plants.find((plant) => plant.tag !== null && plant.tag === subject.tag);
  if (tagged) return tagged;
  return {
    genus: subject.genus ?? "",
    species: subject.species ?? null,
    cultivar: subject.cultivar ?? null,
    tag: subject.tag ?? null,
    name: subject.name ?? null,
  };
};

/** Whether two subjects speak of something in common, the first being what was asked for. */
function touchesSubject(asked: Subject, entry: Entry, plants: readonly Plant[], inGroup: InGroup): boolean {
  if (asked.all) return true;
  const subjects = entry.subjects ?? [];
  if (asked.group !== undefined) {
    return subjects.some((subject) => {
      if (subject.all || subject.group === asked.group) return true;
      const plant = asPlant(subject, plants);
      return plant.genus !== "" && inGroup(plant.genus, plant.species, asked.group ?? "");
    });
  }
  if (subjects.length > 0 && statementCovers(entry, asPlant(asked, plants), inGroup)) return true;
  // "when were the aloes watered": an entry for one aloe speaks of them too.
  return subjects.some(
    (subject) => !subject.all && !subject.group && subjectCovers(asked, asPlant(subject, plants), inGroup),
  );
}

/** Whether an entry on a place without subjects ("watered the warm bench") covers what stands there. */
const sweepsPlace = (entry: JournalEntry, asked: Subject, plants: readonly Plant[]): boolean =>
  (entry.entry.subjects === undefined || entry.entry.subjects.length === 0) &&
  entry.placeId !== null &&
  plants.some(
    (plant) =>
      plant.placeId === entry.placeId &&
      (plant.genus === asked.genus || (asked.tag !== undefined && plant.tag === asked.tag)),
  );

/** "when did we last feed the orchids": the latest entry of the act that speaks of each subject asked for. */
export async function lastDone(scope: Scope, question: Ask<"last">, inGroup: InGroup): Promise<Answer> {
  const place = placeNamed(scope.places, question.place);
  const entries = await scope.store.entries({
    ...(question.act ? { acts: [question.act] } : {}),
    ...(place ? { placeId: place.id } : {}),
    order: "latest",
    limit: LAST_LOOKS_BACK,
  });
  const placeOf = (entry: JournalEntry | null) =>
    scope.places.find((candidate) => candidate.id === entry?.placeId) ?? null;
  const find = (subject: Subject | null): LastDone => {
    const entry =
      entries.find(
        (candidate) =>
          subject === null ||
          touchesSubject(subject, candidate.entry, scope.plants, inGroup) ||
          sweepsPlace(candidate, subject, scope.plants),
      ) ?? null;
    return {
      subject,
      entry,
      days: entry ? daysBetween(entry.from, scope.utterance.at, scope.zone) : null,
      by: entry?.person ?? null,
      place: placeOf(entry),
    };
  };
  const subjects = question.subjects ?? [];
  return {
    about: "last",
    question,
    found: subjects.length === 0 ? [find(null)] : subjects.map((subject) => find(subject)),
  };
}

const spanOf = (scope: Scope, when: When | undefined) => (when ? instantsOf(when, scope.zone) : {});

/** The extreme, the mean or the latest of the readings asked for, one a place. */
export async function readingsAsked(scope: Scope, question: Ask<"reading">): Promise<Answer> {
  const place = placeNamed(scope.places, question.place);
  const quantity = question.quantity ?? "air_temperature";
  const statistic: Statistic = question.statistic ?? "current";
  const entries = (
    await scope.store.entries({
      acts: ["reading"],
      ...(place ? { placeId: place.id } : {}),
      ...spanOf(scope, question.when),
      order: "latest",
      limit: LAST_LOOKS_BACK,
    })
  ).filter((entry) => entry.reading?.quantity === quantity);
  const byPlace = new Map<string | null, JournalEntry[]>();
  for (const entry of entries) {
    byPlace.set(entry.placeId, [...(byPlace.get(entry.placeId) ?? []), entry]);
  }
  const found: ReadingFound[] = [];
  for (const [placeId, list] of byPlace) {
    const chosen = chooseReading(list, statistic, question.when !== undefined);
    if (!chosen?.reading) continue;
    const value =
      statistic === "mean"
        ? list.reduce((sum, entry) => sum + (entry.reading?.value ?? 0), 0) / list.length
        : chosen.reading.value;
    found.push({
      place: scope.places.find((candidate) => candidate.id === placeId) ?? null,
      entry: chosen,
      value,
      quantity,
      statistic: statistic === "current" ? chosen.reading.statistic : statistic,
    });
  }
  return { about: "reading", question, found, of: entries.length };
}

/** Without a span of time "the coldest" is the latest minimum on record, not the coldest of all years. */
function chooseReading(
  list: readonly JournalEntry[],
  statistic: Statistic,
  spanned: boolean,
): JournalEntry | undefined {
  if (statistic === "current" || statistic === "mean") return list[0];
  const fitting = list.filter((entry) => entry.reading?.statistic === statistic);
  const pool = fitting.length > 0 && !spanned ? fitting.slice(0, 1) : list;
  const sign = statistic === "min" ? 1 : -1;
  return [...pool].sort((a, b) => sign * ((a.reading?.value ?? 0) - (b.reading?.value ?? 0)))[0];
}

export async function historyAsked(
  scope: Scope,
  question: Ask<"history">,
  inGroup: InGroup,
): Promise<Answer> {
  const place = placeNamed(scope.places, question.place);
  const entries = (
    await scope.store.entries({
      ...(place ? { placeId: place.id } : {}),
      ...spanOf(scope, question.when),
      order: "latest",
      limit: LAST_LOOKS_BACK,
    })
  ).filter(
    (entry) =>
      question.subjects === undefined ||
      question.subjects.some(
        (subject) =>
          touchesSubject(subject, entry.entry, scope.plants, inGroup) ||
          sweepsPlace(entry, subject, scope.plants),
      ),
  );
  return {
    about: "history",
    question,
    entries: entries.slice(0, HISTORY_LINES),
    more: Math.max(0, entries.length - HISTORY_LINES),
  };
}

/** "what's in flower in the long house", "how many aloes have we": plants, with the state they were last seen in. */
export async function inventoryAsked(
  scope: Scope,
  question: Ask<"inventory">,
  inGroup: InGroup,
): Promise<Answer> {
  const place = placeNamed(scope.places, question.place);
  const state = question.state === undefined || question.state === "any" ? null : question.state;
  const seen = state
    ? await scope.store.entries({
        acts: [state],
        from: scope.utterance.at.subtract({ hours: 24 * STATE_HOLDS_DAYS }),
        order: "latest",
        limit: LAST_LOOKS_BACK,
      })
    : [];
  const wanted = scope.plants.filter(
    (plant) =>
      (place === null || plant.placeId === place.id) &&
      (question.subjects === undefined ||
        question.subjects.some((subject) => subjectCovers(subject, plant, inGroup))),
  );
  const rows = wanted
    .map((plant) => ({
      plant,
      place: scope.places.find((candidate: Place) => candidate.id === plant.placeId) ?? null,
      state: seen.find((entry) => statementCovers(entry.entry, plant, inGroup)) ?? null,
    }))
    .filter((row) => state === null || row.state !== null);
  return { about: "inventory", question, plants: rows, total: rows.length };
}

/** A flower, a bud, a pest that was seen longer ago than this is taken to be over (common practice). */
const STATE_HOLDS_DAYS = 30;
