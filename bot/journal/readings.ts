import type { Statistic } from "../language/interpretation.js";
import { type Ask, LOOKS_BACK, spanOf } from "./look-up.js";
import type { Answer, ReadingFound } from "./outcome.js";
import type { Id, JournalEntry } from "./ports.js";
import { placeNamed, type Scope } from "./scope.js";
import { atPlace } from "./speaks-of.js";

/** The extreme, the mean or the latest of the readings asked for, one a place. */
export async function readingsAsked(scope: Scope, question: Ask<"reading">): Promise<Answer> {
  const quantity = question.quantity ?? "air_temperature";
  const statistic = question.statistic ?? "current";
  const { filter, fits } = atPlace(scope, question.place);
  const all = await scope.store.entries({
    acts: ["reading"],
    ...filter,
    ...spanOf(scope, question.when),
    order: "latest",
    limit: LOOKS_BACK,
  });
  const entries = all.filter((entry) => entry.reading?.quantity === quantity && fits(entry));
  const found: ReadingFound[] = [];
  for (const [placeId, readings] of byPlace(entries)) {
    const chosen = choose(readings, statistic, question.when !== undefined);
    if (!chosen) continue;
    found.push({
      place: scope.places.find((place) => place.id === placeId) ?? null,
      quantity,
      ...chosen,
    });
  }
  const asked = placeNamed(scope.places, question.place);
  const without =
    question.place !== undefined || quantity === "outdoor_temperature"
      ? asked && found.length === 0
        ? [asked]
        : []
      : scope.places.filter((place) => !found.some((one) => one.place?.id === place.id));
  return { about: "reading", question, found, without, of: entries.length };
}

function byPlace(entries: readonly JournalEntry[]): Map<Id | null, JournalEntry[]> {
  const places = new Map<Id | null, JournalEntry[]>();
  for (const entry of entries) places.set(entry.placeId, [...(places.get(entry.placeId) ?? []), entry]);
  return places;
}

const readValue = (entry: JournalEntry): number => entry.reading?.value ?? 0;
const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

/** One value out of the readings of a place, latest first. */
function choose(
  all: readonly JournalEntry[],
  statistic: Statistic,
  spanned: boolean,
): Pick<ReadingFound, "entry" | "value" | "statistic"> | null {
  // How cold a night was says nothing of how warm it got.
  const opposite = statistic === "max" ? "min" : statistic === "min" ? "max" : null;
  const readings = all.filter(({ reading }) => reading?.statistic !== opposite);
  const [latest] = readings;
  if (!latest?.reading) return null;
  if (statistic === "current") {
    return { entry: latest, value: readValue(latest), statistic: latest.reading.statistic };
  }
  if (statistic === "mean") return { entry: latest, value: meanOf(readings), statistic };
  // Without a span of time "the coldest" is the latest minimum on record, not the coldest of all years.
  const fitting = readings.filter((entry) => entry.reading?.statistic === statistic);
  const pool = fitting.length > 0 && !spanned ? fitting.slice(0, 1) : readings;
  const sign = statistic === "min" ? 1 : -1;
  const entry = [...pool].sort((a, b) => sign * (readValue(a) - readValue(b)))[0] ?? latest;
  return { entry, value: readValue(entry), statistic };
}

/** The mean of what was read; where only extremes were, halfway between the mean minimum and the mean maximum. */
function meanOf(readings: readonly JournalEntry[]): number {
  const of = (...statistics: Statistic[]) =>
    readings.filter((one) => one.reading && statistics.includes(one.reading.statistic)).map(readValue);
  const read = of("current", "mean");
  if (read.length > 0) return mean(read);
  return mean([of("min"), of("max")].filter((values) => values.length > 0).map(mean));
}
