import { Temporal } from "temporal-polyfill";
import { vapourPressureDeficitKPa } from "../horticulture/climate/psychrometry.js";
import type { InGroup, SubjectLike } from "../horticulture/coverage.js";
import { CareHistory } from "../horticulture/due/history.js";
import type { DuePlace, DuePlant, DueSetting, Postponement } from "../horticulture/due/types.js";
import { circumstancesOf, entryCovers, type HouseholdView } from "./circumstances.js";
import type { JournalEntry, JournalStore, Place, Plant } from "./ports.js";
import { dayOf } from "./time.js";

/** Two seasons back, so that last year's habit in this season is seen. */
export const HISTORY_DAYS = 800;
const AIR_DAYS = 14;
const DAMP_HOURS = 48;
const ACTS = [
  "water",
  "feed",
  "repot",
  "rot",
  "treat",
  "skip",
  "acquire",
  "sow",
  "germinate",
  "prune",
] as const;

/** The household as the due engine sees it at an instant. */
export interface DueView {
  setting: DueSetting;
  plants: DuePlant[];
  history: CareHistory;
}

export async function dueViewOf(
  store: JournalStore,
  view: HouseholdView,
  now: Temporal.Instant,
  inGroup: InGroup,
): Promise<DueView> {
  const around = await circumstancesOf(store, view, now, inGroup);
  const readings = await store.entries({
    acts: ["reading"],
    from: now.subtract({ hours: 24 * AIR_DAYS }),
    order: "latest",
  });
  const places = new Map<string, DuePlace>();
  for (const known of around.places) {
    const place = view.places.find((candidate) => candidate.name === known.name) ?? null;
    const here = readings.filter((entry) => entry.placeId === place?.id);
    places.set(known.name, {
      ...known,
      kind: place?.kind ?? null,
      coldestC: known.coldestC ?? null,
      dampestLeastRh: dampestLeast(here, now),
      vpdKPa: meanVpd(here),
    });
  }
  const entries = await store.entries({
    acts: ACTS,
    from: now.subtract({ hours: 24 * HISTORY_DAYS }),
    order: "oldest",
  });
  return {
    setting: {
      date: around.date,
      hemisphere: around.hemisphere,
      places,
      defaultPlace: around.defaultPlace ?? null,
      ownRules: around.ownRules,
      postponements: await postponementsOf(store, view.zone),
    },
    plants: view.plants.map((plant) => duePlant(plant, view.places, view.zone)),
    history: historyOf(entries, view.plants, view.zone, inGroup),
  };
}

/** What was done to which plant, from the entries as they stand. */
export function historyOf(
  entries: readonly JournalEntry[],
  plants: readonly Plant[],
  zone: string,
  inGroup: InGroup,
): CareHistory {
  const history = new CareHistory();
  for (const entry of entries) {
    const covered = plants.filter((plant) => entryCovers(entry, plant, inGroup)).map((plant) => plant.id);
    if (covered.length === 0) continue;
    history.add(
      {
        id: entry.id,
        act: entry.act,
        from: entry.from.toZonedDateTimeISO(zone).toPlainDate(),
        to: dayOf(entry.from, entry.to, zone),
        person: entry.person,
      },
      covered,
    );
  }
  return history;
}

export const duePlant = (plant: Plant, places: readonly Place[], zone: string): DuePlant => ({
  id: plant.id,
  genus: plant.genus,
  species: plant.species,
  cultivar: plant.cultivar,
  tag: plant.tag,
  name: plant.name,
  place: places.find((place) => place.id === plant.placeId)?.name ?? null,
  potDiameterCm: plant.potDiameterCm,
  potMaterial: plant.potMaterial,
  knownSince: plant.createdAt.toZonedDateTimeISO(zone).toPlainDate(),
});

/** The least humid of the last two days' readings: where even that is high, nothing dries. */
function dampestLeast(readings: readonly JournalEntry[], now: Temporal.Instant): number | null {
  const since = now.subtract({ hours: DAMP_HOURS });
  const values = readings
    .filter((entry) => Temporal.Instant.compare(entry.from, since) >= 0)
    .flatMap(({ reading }) => (reading?.quantity === "relative_humidity" ? [reading.value] : []));
  return values.length < 2 ? null : Math.min(...values);
}

/**
 * Deficit at the mean temperature and humidity logged lately; null without both. Nights' minima alone tell nothing of
 * how the days dry.
 */
function meanVpd(readings: readonly JournalEntry[]): number | null {
  const mean = (quantity: string, statistics: readonly string[]): number | null => {
    const values = readings.flatMap(({ reading }) =>
      reading?.quantity === quantity && statistics.includes(reading.statistic) ? [reading.value] : [],
    );
    return values.length === 0 ? null : values.reduce((sum, value) => sum + value, 0) / values.length;
  };
  const [min, max] = [mean("air_temperature", ["min"]), mean("air_temperature", ["max"])];
  const middle = min === null || max === null ? null : (min + max) / 2;
  const celsius = middle ?? mean("air_temperature", ["mean", "current"]);
  const rh = mean("relative_humidity", ["mean", "current", "min", "max"]);
  if (celsius === null || rh === null || rh <= 0 || rh > 100) return null;
  return vapourPressureDeficitKPa(celsius, rh);
}

async function postponementsOf(store: JournalStore, zone: string): Promise<Postponement[]> {
  const snoozes = await store.reminders({ kinds: ["snooze"], state: "waiting" });
  return snoozes.map((reminder) => {
    const payload = reminder.payload as {
      subjects: SubjectLike[];
      act: string | null;
      until: string;
      by: string;
    };
    return {
      subjects: payload.subjects,
      act: payload.act,
      until: Temporal.Instant.from(payload.until).toZonedDateTimeISO(zone).toPlainDate(),
      by: payload.by,
    };
  });
}
