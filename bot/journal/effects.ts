import { Temporal } from "temporal-polyfill";
import type { Entry, Subject } from "../language/interpretation.js";
import type { Id, Interpreted, Plant } from "./ports.js";
import type { Scope } from "./scope.js";

/** What an entry changed in the list of plants, kept with it so that an undo can take it back. */
export type Effect =
  | { kind: "plant_added"; plantId: Id }
  | { kind: "plant_changed"; plantId: Id; before: Partial<Plant> };

/** Acts that show a taxon to stand in the collection. Sowings, orders and losses do not. */
const SHOWS_PRESENCE = new Set<string>([
  "water",
  "mist",
  "feed",
  "repot",
  "top_dress",
  "prune",
  "deadhead",
  "treat",
  "clean",
  "move",
  "turn",
  "graft",
  "divide",
  "acquire",
  "bud",
  "flower",
  "fruit",
  "growth",
  "offset",
  "leaf_drop",
  "dormant",
  "shrivel",
  "etiolate",
  "scorch",
  "frost_damage",
  "pest",
  "rot",
]);

const CM_PER_INCH = 2.54;

const potCm = (entry: Entry): number | null => {
  const diameter = entry.pot?.diameter;
  if (!diameter) return null;
  if (diameter.unit === "[in_i]") return diameter.value * CM_PER_INCH;
  return diameter.unit === "mm" ? diameter.value / 10 : diameter.value;
};

/** The plants of the household that a subject names one by one: by tag, by name, or as a holding of the taxon. */
export function plantsNamed(plants: readonly Plant[], subject: Subject): Plant[] {
  const key = (text: string | null | undefined) => text?.toLowerCase() ?? null;
  if (subject.tag !== undefined) return plants.filter((plant) => key(plant.tag) === key(subject.tag));
  if (subject.genus === undefined) {
    return subject.name === undefined ? [] : plants.filter((plant) => key(plant.name) === key(subject.name));
  }
  return plants.filter(
    (plant) =>
      key(plant.genus) === key(subject.genus) &&
      (subject.species === undefined || key(plant.species) === key(subject.species)) &&
      (subject.cultivar === undefined || key(plant.cultivar) === key(subject.cultivar)),
  );
}

/** Makes a taxon known to the household as a holding, unless it is known already. */
async function learn(
  scope: Scope,
  subject: Subject,
  entry: Entry,
  placeId: Id | null,
): Promise<{ plant: Plant; label: string } | null> {
  if (subject.genus === undefined || subject.tag !== undefined) return null;
  if (plantsNamed(scope.plants, subject).length > 0) return null;
  const plant = await scope.store.addPlant({
    collectionId: scope.collectionId,
    tag: null,
    name: null,
    genus: subject.genus,
    species: subject.species ?? null,
    cultivar: subject.cultivar ?? null,
    fieldNumber: subject.fieldNumber ?? null,
    count: entry.act === "acquire" ? (subject.count ?? null) : null,
    potDiameterCm: null,
    potMaterial: null,
    placeId,
    source: entry.act === "acquire" ? (entry.origin ?? null) : null,
    acquiredOn:
      entry.act === "acquire"
        ? (entry.when?.from.slice(0, 10) ??
          scope.utterance.at.toZonedDateTimeISO(scope.zone).toPlainDate().toString())
        : null,
    sownOn: null,
    status: "alive",
  });
  scope.plants.push(plant);
  return { plant, label: subject.species ? `${subject.genus} ${subject.species}` : subject.genus };
}

/** What an act does to one plant it names: a new pot, a new place, gone. */
function changeOf(entry: Entry, toPlaceId: Id | null, subject: Subject, plant: Plant): Partial<Plant> {
  const whole = subject.count === undefined || plant.count === null || subject.count >= plant.count;
  switch (entry.act) {
    case "repot": {
      const cm = potCm(entry);
      return {
        ...(cm === null ? {} : { potDiameterCm: cm }),
        ...(entry.pot?.material === undefined ? {} : { potMaterial: entry.pot.material }),
      };
    }
    case "move":
      return toPlaceId === null ? {} : { placeId: toPlaceId };
    case "lose":
    case "give_away":
      if (!whole && plant.count !== null) return { count: plant.count - (subject.count ?? 0) };
      // "lost two of the echeverias" leaves a holding of unknown size in the collection.
      return subject.count === undefined || plant.tag !== null ? { status: "gone" } : {};
    case "acquire":
      return plant.count === null || subject.count === undefined
        ? {}
        : { count: plant.count + subject.count };
    default:
      return {};
  }
}

/** Carries an entry into the list of plants. */
export async function applyEffects(
  scope: Scope,
  entry: Entry,
  placeId: Id | null,
  toPlaceId: Id | null,
): Promise<{ effects: Effect[]; learnt: string[] }> {
  const effects: Effect[] = [];
  const learnt: string[] = [];
  for (const subject of entry.subjects ?? []) {
    const known = plantsNamed(scope.plants, subject);
    const added = SHOWS_PRESENCE.has(entry.act)
      ? await learn(scope, subject, entry, entry.act === "move" ? (toPlaceId ?? placeId) : placeId)
      : null;
    if (added) {
      effects.push({ kind: "plant_added", plantId: added.plant.id });
      learnt.push(added.label);
    }
    const touched = added && entry.act !== "acquire" ? [added.plant] : known;
    for (const plant of touched) {
      const patch = changeOf(entry, toPlaceId, subject, plant);
      if (Object.keys(patch).length === 0) continue;
      const before = Object.fromEntries(
        Object.keys(patch).map((key) => [key, plant[key as keyof Plant]]),
      ) as Partial<Plant>;
      await scope.store.updatePlant(plant.id, patch);
      Object.assign(plant, patch);
      effects.push({ kind: "plant_changed", plantId: plant.id, before });
    }
  }
  return { effects, learnt };
}

/** Takes the effects of an undone entry back, latest first. */
export async function revertEffects(scope: Scope, interpreted: Interpreted | null): Promise<void> {
  const effects = (interpreted?.effects ?? []) as Effect[];
  for (const effect of [...effects].reverse()) {
    if (effect.kind === "plant_changed") {
      await scope.store.updatePlant(effect.plantId, effect.before);
      continue;
    }
    // A holding that later entries speak of stays known.
    const plant = scope.plants.find((candidate) => candidate.id === effect.plantId);
    if (!plant) continue;
    const since = await scope.store.entries({ from: Temporal.Instant.fromEpochMilliseconds(0) });
    const spokenOf = since.some((entry) =>
      entry.entry.subjects?.some((subject) => plantsNamed([plant], subject).length > 0),
    );
    if (!spokenOf) {
      await scope.store.updatePlant(effect.plantId, { status: "gone" });
      scope.plants.splice(scope.plants.indexOf(plant), 1);
    }
  }
}
