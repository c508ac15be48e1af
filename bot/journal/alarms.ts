import type { Entry, Interpretation } from "../language/interpretation.js";
import type { Alarm, Breach, LoggedEntry } from "./outcome.js";
import type { JournalEntry, Place } from "./ports.js";
import type { Scope } from "./scope.js";

/** Less than a thermometer shows, from °F and back. */
const SCATTER_K = 0.05;
/** A place with no floor of its own is at risk from frost. */
const FROST_C = 0;
/** Months in which a place without heating is at risk before somebody looks. */
const COLD_SEASON_MONTHS = { north: [10, 11, 12, 1, 2, 3, 4], south: [4, 5, 6, 7, 8, 9, 10] } as const;

const isCold = (scope: Scope): boolean => {
  const { month } = scope.utterance.at.toZonedDateTimeISO(scope.zone);
  return (COLD_SEASON_MONTHS[scope.household.hemisphere] as readonly number[]).includes(month);
};

/** The words said that it broke, or gave a cause: nobody gives one for what was switched off on purpose. */
const hasFailed = (entry: Entry, interpretation: Pick<Interpretation, "failure"> | null): boolean =>
  entry.cause !== undefined || interpretation?.failure === true;

/** Heating off in the cold months with no word of a failure: switched off? To be asked, not cried out. */
export const mayHaveFailed = (
  scope: Scope,
  entry: Entry,
  interpretation: Pick<Interpretation, "failure"> | null,
): boolean => entry.act === "heat_off" && !hasFailed(entry, interpretation) && isCold(scope);

/** Readings and events among the entries just written that put plants at risk at once. */
export function alarmsOf(scope: Scope, logged: readonly LoggedEntry[]): Alarm[] {
  return logged.flatMap(({ entry, place }): Alarm[] => {
    const at = { place, entryId: entry.id };
    if (entry.act === "power_cut") return [{ kind: "power_cut", ...at }];
    if (entry.act === "heat_off" && hasFailed(entry.entry, entry.interpretation)) {
      return [{ kind: "heat_lost", ...at, cold: isCold(scope) }];
    }
    const breach = place ? breachOf(entry, place) : null;
    return breach ? [{ kind: "under_floor", ...breach }] : [];
  });
}

/** How far a reading lies under the floor of its place; null where it does not, or says nothing of it. */
function breachOf(entry: JournalEntry, place: Place): Breach | null {
  const { reading } = entry;
  if (reading?.quantity !== "air_temperature" || reading.statistic === "max") return null;
  const floorC = place.floorC ?? FROST_C;
  const byK = floorC - reading.value;
  if (byK <= SCATTER_K) return null;
  return { place, entryId: entry.id, statistic: reading.statistic, valueC: reading.value, floorC, byK };
}
