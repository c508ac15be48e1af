import { type InGroup, type PlantLike, statementCovers, subjectCovers } from "../horticulture/coverage.js";
import { PLACE_ACTS, type Subject } from "../language/interpretation.js";
import { entryCovers } from "./circumstances.js";
import type { EntryFilter, JournalEntry, Plant } from "./ports.js";
import { placeNamed, type Scope } from "./scope.js";

/** A subject of a sentence as a plant, so that statements can be tried on it. */
function asPlant(subject: Subject, plants: readonly Plant[]): PlantLike {
  const tag = subject.tag?.toLowerCase();
  const tagged = plants.find((plant) => tag !== undefined && plant.tag?.toLowerCase() === tag);
  if (tagged) return tagged;
  return {
    genus: subject.genus ?? "",
    species: subject.species ?? null,
    cultivar: subject.cultivar ?? null,
    tag: subject.tag ?? null,
    name: subject.name ?? null,
  };
}

/** Whether an entry speaks of what was asked for: the taxon, one of its plants, or all that stands where it stands. */
export function speaksOf(entry: JournalEntry, asked: Subject, scope: Scope): boolean {
  const { plants, inGroup } = scope;
  const subjects = entry.entry.subjects ?? [];
  if (asked.all) return true;
  if (asked.group !== undefined && subjects.some(({ group }) => group === asked.group)) return true;
  // "when were the aloes watered": an entry for one aloe speaks of them too.
  const named = subjects.some(
    (subject) => !subject.all && !subject.group && subjectCovers(asked, asPlant(subject, plants), inGroup),
  );
  if (named) return true;
  const standing = plants.filter((plant) => subjectCovers(asked, plant, inGroup));
  if (standing.length > 0) return standing.some((plant) => covers(entry, plant, inGroup));
  // Nothing of the kind is on the list: the statement alone can tell, unless it is about one place.
  return (
    subjects.length > 0 &&
    asked.group === undefined &&
    statementCovers(entry.entry, asPlant(asked, plants), inGroup)
  );
}

const ON_PLACE: ReadonlySet<string> = new Set(PLACE_ACTS);

/** Readings and what befalls a place speak of no plants. */
const covers = (entry: JournalEntry, plant: Plant, inGroup: InGroup): boolean =>
  ((entry.entry.subjects?.length ?? 0) > 0 || (entry.placeId !== null && !ON_PLACE.has(entry.act))) &&
  entryCovers(entry, plant, inGroup);

/** What narrows a question to a place: a known one by its id, others by the words that were kept with the entries. */
export function atPlace(
  scope: Scope,
  words: string | undefined,
): { filter: Pick<EntryFilter, "placeId">; fits: (entry: JournalEntry) => boolean } {
  if (words === undefined) return { filter: {}, fits: () => true };
  const place = placeNamed(scope.places, words);
  if (place) return { filter: { placeId: place.id }, fits: () => true };
  const key = words.trim().toLowerCase();
  return { filter: {}, fits: ({ entry }) => entry.place?.trim().toLowerCase() === key };
}
