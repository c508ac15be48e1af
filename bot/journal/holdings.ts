import { type InGroup, subjectCovers } from "../horticulture/coverage.js";
import type { Entry, Subject } from "../language/interpretation.js";
import type { Id, Plant } from "./ports.js";
import type { Scope } from "./scope.js";

/** Acts that speak of plants which need not stand here: ordered, lost, or still seed and seedling. */
const SHOWS_NO_PRESENCE = new Set<string>([
  "sow",
  "germinate",
  "prick_out",
  "order",
  "lose",
  "give_away",
  "note",
]);

export const showsPresence = (entry: Entry): boolean => !SHOWS_NO_PRESENCE.has(entry.act);

/** The plants of the household that a subject names: by tag, by name, or as a holding of the taxon. */
export function plantsNamed(plants: readonly Plant[], subject: Subject): Plant[] {
  if (subject.all || subject.group !== undefined) return [];
  return plants.filter((plant) => subjectCovers(subject, plant, () => false));
}

/**
 * The plants on which an act leaves its mark: those the subject speaks of, without the exceptions, and only those
 * that stand in the place said, where one was said.
 */
export function plantsConcerned(
  plants: readonly Plant[],
  entry: Entry,
  subject: Subject,
  placeId: Id | null,
  inGroup: InGroup,
): Plant[] {
  const excepted = (plant: Plant) =>
    entry.except?.some((except) => subjectCovers(except, plant, inGroup)) ?? false;
  const elsewhere = (plant: Plant) =>
    subject.tag === undefined && placeId !== null && plant.placeId !== null && plant.placeId !== placeId;
  return plants.filter(
    (plant) => subjectCovers(subject, plant, inGroup) && !excepted(plant) && !elsewhere(plant),
  );
}

/** A taxon as a holding: some plants of it in one place; with a label it is that one plant. */
export async function addHolding(
  scope: Scope,
  subject: Subject & { genus: string },
  placeId: Id | null,
  more: Partial<Pick<Plant, "name" | "count" | "source" | "acquiredOn">> = {},
): Promise<Plant> {
  const plant = await scope.store.addPlant({
    collectionId: scope.collectionId,
    tag: subject.tag ?? null,
    name: null,
    genus: subject.genus,
    species: subject.species ?? null,
    cultivar: subject.cultivar ?? null,
    fieldNumber: subject.fieldNumber ?? null,
    count: null,
    potDiameterCm: null,
    potMaterial: null,
    placeId,
    source: null,
    acquiredOn: null,
    sownOn: null,
    status: "alive",
    ...more,
  });
  scope.plants.push(plant);
  return plant;
}

export const taxonOf = ({ genus, species, cultivar }: Subject): string =>
  [genus, species, cultivar && `'${cultivar}'`].filter(Boolean).join(" ");
