import { Temporal } from "temporal-polyfill";
import type { AwayTime } from "../journal/away.js";
import type { Id, JournalEntry, JournalStore, Place } from "../journal/ports.js";

/** What was done while somebody was away. */
export interface Homecoming {
  away: AwayTime;
  entries: number;
  /** Who did what how often, the busiest first. */
  people: { person: string; acts: { act: string; times: number; names: string[] }[] }[];
  /** Lowest air temperature by place. */
  lowest: { place: string; valueC: number; floorC: number | null; on: Temporal.PlainDate }[];
  powerCuts: number;
}

const NAMES = 4;

/** Reads the journal of the time away. */
export async function homecomingOf(
  store: JournalStore,
  away: AwayTime,
  zone: string,
  places: readonly Place[],
): Promise<Homecoming> {
  const start = Temporal.PlainDate.from(away.from).toZonedDateTime(zone).toInstant();
  const end = Temporal.PlainDate.from(away.to).add({ days: 1 }).toZonedDateTime(zone).toInstant();
  const entries = (await store.entries({ from: start, to: end, order: "oldest" })).filter(
    (entry) => Temporal.Instant.compare(entry.from, start) >= 0,
  );
  return {
    away,
    entries: entries.length,
    people: peopleOf(entries),
    lowest: lowestOf(entries, zone, places),
    powerCuts: entries.filter(({ act }) => act === "power_cut").length,
  };
}

function peopleOf(entries: readonly JournalEntry[]): Homecoming["people"] {
  const people = new Map<string, Map<string, { times: number; names: Set<string> }>>();
  for (const { person, act, entry } of entries) {
    const acts = people.get(person ?? "") ?? new Map();
    people.set(person ?? "", acts);
    const done = acts.get(act) ?? { times: 0, names: new Set<string>() };
    acts.set(act, done);
    done.times += 1;
    for (const { genus, tag, name, group, all } of entry.subjects ?? []) {
      const words = all ? "everything" : (genus ?? name ?? tag ?? group);
      if (words !== undefined) done.names.add(words);
    }
  }
  const total = (acts: { times: number }[]) => acts.reduce((sum, { times }) => sum + times, 0);
  return [...people]
    .map(([person, acts]) => ({
      person,
      acts: [...acts]
        .map(([act, { times, names }]) => ({ act, times, names: [...names].slice(0, NAMES) }))
        .sort((a, b) => b.times - a.times),
    }))
    .sort((a, b) => total(b.acts) - total(a.acts));
}

function lowestOf(
  entries: readonly JournalEntry[],
  zone: string,
  places: readonly Place[],
): Homecoming["lowest"] {
  const lowest = new Map<Id, JournalEntry>();
  for (const entry of entries) {
    const { reading, placeId } = entry;
    if (reading?.quantity !== "air_temperature" || reading.statistic === "max" || placeId === null) continue;
    const known = lowest.get(placeId)?.reading?.value ?? Number.POSITIVE_INFINITY;
    if (reading.value < known) lowest.set(placeId, entry);
  }
  return places.flatMap((place) => {
    const entry = lowest.get(place.id);
    if (!entry?.reading) return [];
    const on = entry.from.toZonedDateTimeISO(zone).toPlainDate();
    return [{ place: place.name, valueC: entry.reading.value, floorC: place.floorC, on }];
  });
}
