import type { Alarm, LoggedEntry } from "./outcome.js";
import type { Scope } from "./scope.js";

/** Half a kelvin of a thermometer's scatter is no difference worth a word. */
const SCATTER_K = 0.05;
/** A place with no floor of its own is at risk from frost. */
const FROST_C = 0;
/** What an unheated interval after a failure or a power cut is harmless at. */
const COLD_SEASON_MONTHS = { north: [10, 11, 12, 1, 2, 3, 4], south: [4, 5, 6, 7, 8, 9, 10] } as const;

/** Readings and events among the entries just written that put plants at risk at once. */
export function alarmsOf(scope: Scope, logged: readonly LoggedEntry[]): Alarm[] {
  const alarms: Alarm[] = [];
  const month = scope.utterance.at.toZonedDateTimeISO(scope.zone).month;
  const cold = (COLD_SEASON_MONTHS[scope.household.hemisphere] as readonly number[]).includes(month);
  for (const { entry, place } of logged) {
    if (entry.act === "power_cut") alarms.push({ kind: "power_cut", place, entryId: entry.id });
    if (entry.act === "heat_off" && isFailure(entry.rawText)) {
      alarms.push({ kind: "heat_lost", place, entryId: entry.id, cold });
    }
    const reading = entry.reading;
    if (!reading || !place) continue;
    if (reading.quantity !== "air_temperature" || reading.statistic === "max") continue;
    const floorC = place.floorC ?? FROST_C;
    if (reading.value < floorC - SCATTER_K) {
      alarms.push({
        kind: "under_floor",
        place,
        entryId: entry.id,
        statistic: reading.statistic,
        valueC: reading.value,
        floorC,
        byK: floorC - reading.value,
      });
    }
  }
  return alarms;
}

/** A heater that went off by itself, as against one that was switched off. */
function isFailure(text: string): boolean {
  return /\b(fail|failed|failing|dead|died|broke|broken|tripped|not working|gone off|went off|out)\b/i.test(
    text,
  );
}
