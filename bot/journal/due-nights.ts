import type { Temporal } from "temporal-polyfill";
import type { JournalEntry, JournalStore, Place } from "./ports.js";
import { dayOf } from "./time.js";

/** A night's lowest temperature outdoors and in a place, °C. */
export interface Night {
  outdoorC: number;
  indoorC: number;
}

/** Nights of the last winter and this one. */
const LOOKS_BACK_DAYS = 400;

/** Nights on which both outdoors and the place were read, by the place's id. */
export async function nightsOf(
  store: JournalStore,
  places: readonly Place[],
  now: Temporal.Instant,
  zone: string,
): Promise<Map<string, Night[]>> {
  const readings = await store.entries({
    acts: ["reading"],
    from: now.subtract({ hours: 24 * LOOKS_BACK_DAYS }),
    order: "latest",
  });
  const outdoors = new Map<string, number>();
  const indoors = new Map<string, Map<string, number>>();
  const lower = (map: Map<string, number>, day: string, value: number) =>
    map.set(day, Math.min(value, map.get(day) ?? Number.POSITIVE_INFINITY));
  for (const entry of readings) {
    const { reading, placeId } = entry;
    if (reading?.statistic !== "min") continue;
    const day = dayOf(entry.from, entry.to, zone).toString();
    if (reading.quantity === "outdoor_temperature") lower(outdoors, day, reading.value);
    if (reading.quantity !== "air_temperature" || placeId === null) continue;
    const here = indoors.get(placeId) ?? new Map<string, number>();
    indoors.set(placeId, here);
    lower(here, day, reading.value);
  }
  return new Map(
    places.map(({ id }) => [
      id,
      [...(indoors.get(id) ?? [])].flatMap(([day, indoorC]) => {
        const outdoorC = outdoors.get(day);
        return outdoorC === undefined ? [] : [{ outdoorC, indoorC }];
      }),
    ]),
  );
}

/** The reading of an entry, where it says how cold it is or was outdoors. */
export function outdoorColdOf({ reading }: JournalEntry): number | null {
  return reading?.quantity === "outdoor_temperature" && reading.statistic !== "max" ? reading.value : null;
}
