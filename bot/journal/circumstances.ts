import type { Temporal } from "temporal-polyfill";
import type { Circumstances, KnownPlace, KnownPlant } from "../horticulture/answers.js";
import { type InGroup, statementCovers } from "../horticulture/coverage.js";
import type { OwnCareRule } from "../horticulture/own-rules.js";
import type { Household, HouseholdRule, JournalEntry, JournalStore, Place, Plant } from "./ports.js";
import { dayOf } from "./time.js";
import { toCelsius } from "./units.js";

/** How far back waterings are looked for, and how many nights make the mean of a place. */
const WATERED_WITHIN_DAYS = 400;
const NIGHTS = 21;
/** The last nights hold a watering back; a reading older than this tells nothing of them. */
const COLDEST_WITHIN_HOURS = 72;

/** A household as the trade sees it on a day: places with their nights, plants with their last watering, own rules. */
export interface HouseholdView {
  household: Household;
  zone: string;
  places: readonly Place[];
  plants: readonly Plant[];
}

/** Reads what surrounds a question of care from the journal. */
export async function circumstancesOf(
  store: JournalStore,
  view: HouseholdView,
  now: Temporal.Instant,
  inGroup: InGroup,
): Promise<Circumstances> {
  const { household, zone, places, plants } = view;
  const readings = await store.entries({
    acts: ["reading"],
    from: now.subtract({ hours: 24 * NIGHTS }),
    order: "latest",
  });
  const waterings = await store.entries({
    acts: ["water"],
    from: now.subtract({ hours: 24 * WATERED_WITHIN_DAYS }),
    order: "latest",
  });
  const rules = await store.rules();
  return {
    date: now.toZonedDateTimeISO(zone).toPlainDate(),
    hemisphere: household.hemisphere,
    latitude: household.latitude,
    places: places.map((place) => knownPlace(place, readings, household.latitude, now)),
    defaultPlace: places.find((place) => place.isDefault)?.name ?? null,
    plants: plants.map((plant) => knownPlant(plant, places, waterings, zone, inGroup)),
    ownRules: rules.map((rule) => ownRule(rule, zone)),
  };
}

/** Mean and lowest of the nights' minima that were logged at a place. */
function knownPlace(
  place: Place,
  readings: readonly JournalEntry[],
  latitude: number | null,
  now: Temporal.Instant,
): KnownPlace {
  const nights = readings.filter(
    ({ placeId, reading }) =>
      placeId === place.id && reading?.quantity === "air_temperature" && reading.statistic === "min",
  );
  const minima = nights.map(({ reading }) => reading?.value ?? 0);
  const since = now.epochMilliseconds - COLDEST_WITHIN_HOURS * 3_600_000;
  const recent = nights
    .filter(({ to }) => to.epochMilliseconds >= since)
    .map(({ reading }) => reading?.value ?? 0);
  return {
    name: place.name,
    meanMinC: minima.length === 0 ? null : minima.reduce((sum, value) => sum + value, 0) / minima.length,
    nights: minima.length,
    floorC: place.floorC,
    latitude,
    coldestC: recent.length === 0 ? null : Math.min(...recent),
  };
}

/** Whether an entry of an act on plants speaks of this plant: by name, group, all, or the place it stands in. */
export function entryCovers(entry: JournalEntry, plant: Plant, inGroup: InGroup): boolean {
  const { subjects } = entry.entry;
  const sweeping =
    subjects === undefined ||
    subjects.length === 0 ||
    subjects.some((subject) => subject.all || subject.group !== undefined);
  // An entry for one place does not speak of plants in another; an entry that names the plant itself does.
  const named = subjects?.some((subject) => subject.tag !== undefined && subject.tag === plant.tag) ?? false;
  const saidPlace = entry.entry.place !== undefined || sweeping;
  if (
    !named &&
    saidPlace &&
    entry.placeId !== null &&
    plant.placeId !== null &&
    entry.placeId !== plant.placeId
  ) {
    return false;
  }
  return statementCovers(entry.entry, plant, inGroup);
}

function knownPlant(
  plant: Plant,
  places: readonly Place[],
  waterings: readonly JournalEntry[],
  zone: string,
  inGroup: InGroup,
): KnownPlant {
  const last = waterings.find((entry) => entryCovers(entry, plant, inGroup)) ?? null;
  return {
    genus: plant.genus,
    species: plant.species,
    cultivar: plant.cultivar,
    tag: plant.tag,
    name: plant.name,
    place: places.find((place) => place.id === plant.placeId)?.name ?? null,
    count: plant.count,
    lastWatered: last ? dayOf(last.from, last.to, zone) : null,
    lastWateredBy: last?.person ?? null,
  };
}

/** The group's own rule as the trade reads it. */
export function ownRule(kept: HouseholdRule, zone: string): OwnCareRule {
  const { rule } = kept;
  return {
    subjects: rule.subjects,
    ...(rule.season ? { season: rule.season } : {}),
    ...(rule.everyDays ? { everyDays: rule.everyDays } : {}),
    ...(rule.never ? { never: rule.never } : {}),
    ...(rule.least ? { leastC: toCelsius(rule.least) } : {}),
    saidBy: kept.saidBy,
    saidOn: kept.saidAt.toZonedDateTimeISO(zone).toPlainDate(),
    words: kept.rawText,
  };
}
