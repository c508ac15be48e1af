import type { TimeExpr } from "../calendar/expression.js";
import type { Reading, Statistic } from "../interpretation.js";
import { type Item, is, value } from "../item.js";

export interface FoundReading {
  /** The place that this number belongs to, where the clause names several. */
  place?: string;
  reading: Reading;
  tentative?: true;
  /** The time that this number belongs to, where the clause names several. */
  time?: TimeExpr;
  /** Index of its number among the clause's items. */
  at: number;
  /** The statistic was said and not assumed. */
  stated: boolean;
  /** Read at the moment of writing, by its own word: "14 now". */
  now?: true;
}

/** What numbers side by side say of one another: pairs, ranges, and lists with a place or a day for each. */
export const inLists = (items: readonly Item[], found: FoundReading[]): FoundReading[] =>
  timeEach(
    items,
    placeEach(
      items,
      splitPair(items, ranged(items, afterEach(items, alike(items, shareListed(items, found))))),
    ),
  );

/** "lows 38 41 36": what is said before the first of the numbers side by side is said of all. */
function alike(items: readonly Item[], found: FoundReading[]): FoundReading[] {
  found.forEach((one, i) => {
    const before = found[i - 1];
    const beside = before && items.slice(before.at + 1, one.at).every((item) => item.token.kind === "mark");
    if (!beside || !before.stated || one.stated || one.reading.quantity !== before.reading.quantity) return;
    one.reading.statistic = before.reading.statistic;
    one.stated = true;
  });
  return found;
}

/** "41 low 88 high": each extreme stands behind its number. */
function afterEach(items: readonly Item[], found: FoundReading[]): FoundReading[] {
  const said = items.flatMap((item, at) => (EXTREMES.includes(value(item, "stat") ?? "") ? [at] : []));
  if (found.length < 2 || said.length !== found.length) return found;
  if (
    !found.every(
      (one, i) => (said[i] as number) > one.at && (said[i] as number) < (found[i + 1]?.at ?? Infinity),
    )
  )
    return found;
  found.forEach((one, i) => {
    one.reading.statistic = value(items[said[i] as number], "stat") as Statistic;
    one.stated = true;
  });
  return found;
}

/** "between 4 and 19", "ranged from 11 to 24", "the bay 14 to 25": the lowest and the highest. */
function ranged(items: readonly Item[], found: FoundReading[]): FoundReading[] {
  return found.flatMap((one, i) => {
    const next = found[i + 1];
    const written = items[one.at]?.measure?.to;
    const cued = rangeCue(items, one.at);
    const worded = cued || items[one.at]?.token.kind === "word";
    if (worded && !one.stated && written !== undefined && written > one.reading.value)
      return [extreme(one, "min", one.reading.value), extreme(one, "max", written)];
    if (!next || one.stated || next.stated || next.reading.value <= one.reading.value) return [one];
    const joint = items[one.at + 1];
    const joined = next.at === one.at + 2 && (value(joint, "prep") === "to" || (cued && is(joint, "and")));
    const alike =
      next.reading.quantity === one.reading.quantity && next.reading.quantity.endsWith("temperature");
    if (!joined || !alike || !(cued || items.some((item) => is(item, "place")))) return [one];
    next.reading.statistic = "max";
    next.stated = true;
    return [extreme(one, "min", one.reading.value)];
  });
}

const extreme = (one: FoundReading, statistic: Statistic, number: number): FoundReading => ({
  ...one,
  stated: true,
  reading: { ...one.reading, statistic, value: number },
});

const rangeCue = (items: readonly Item[], at: number): boolean =>
  is(items[at - 1], "range") ||
  (value(items[at - 1], "prep") === "from" && items.slice(0, at).some((item) => is(item, "place")));

/** "65/40%": temperature and humidity in one breath. */
function splitPair(items: readonly Item[], found: FoundReading[]): FoundReading[] {
  return found.flatMap((one) => {
    const measure = items[one.at]?.measure;
    const fraction = measure?.fraction;
    if (!fraction || measure.dimension !== "percent" || fraction[1] < 5) return [one];
    return [
      {
        ...one,
        reading: { ...one.reading, quantity: "air_temperature" as const, unit: "deg", value: fraction[0] },
      },
      { ...one, reading: { ...one.reading, value: fraction[1] } },
    ];
  });
}

/** "101 tues 99 wed 103 thurs", "hi 104 yday hi 99 today": each number takes the day beside it. */
function timeEach(items: readonly Item[], found: FoundReading[]): FoundReading[] {
  const times = items.flatMap((item, at) =>
    item.time && !found.some((one) => one.at === at) && item.time.span?.kind !== "ago"
      ? [{ at, time: item.time }]
      : [],
  );
  const first = found[0];
  if (times.length < 2 || times.length !== found.length || !first) return found;
  const before = (times[0]?.at ?? 0) < first.at;
  const said = found.find((one) => one.stated);
  found.forEach((one, i) => {
    const near = before ? times.filter((time) => time.at < one.at).at(-1) : times[i];
    if (near) one.time = near.time;
    if (said && !one.stated) {
      one.reading.statistic = said.reading.statistic;
      one.stated = true;
    }
  });
  return found;
}

/** "bay 10.5 lean-to 2.1": each number takes the place before it, or behind it where the first place stands behind. */
function placeEach(items: readonly Item[], found: FoundReading[]): FoundReading[] {
  const loci = items.flatMap((item, at) => {
    const place = value(item, "place");
    if (place) return [{ at, place }];
    return value(item, "quantity") === "outdoor_temperature" ? [{ at, place: "" }] : [];
  });
  const first = found[0];
  if (loci.length < 2 || found.length < 2 || !first) return found;
  const before = (loci[0]?.at ?? 0) < first.at;
  for (const one of found) {
    const near = before
      ? loci.filter((locus) => locus.at < one.at).at(-1)
      : loci.find((locus) => locus.at > one.at);
    if (!near) continue;
    if (near.place === "") one.reading.quantity = "outdoor_temperature";
    else {
      one.place = near.place;
      if (one.reading.quantity === "outdoor_temperature") one.reading.quantity = "air_temperature";
    }
  }
  const said = found.find((one) => one.stated);
  for (const one of found)
    if (said && !one.stated && one.place !== said.place) one.reading.statistic = said.reading.statistic;
  return found;
}

/** "min max 4 18", "min/max 4/18", "4 / 18, min and max": two statistics and two numbers in the same order. */
function shareListed(items: readonly Item[], found: FoundReading[]): FoundReading[] {
  const first = found[0];
  if (!first) return found;
  const last = found.at(-1) ?? first;
  const leading = items.slice(0, first.at).filter(isExtreme);
  const stats = leading.length > 0 ? leading : items.slice(last.at + 1).filter(isExtreme);
  const written = items[first.at]?.measure?.fraction;
  if (stats.length !== 2 && !(stats.length === 0 && written && found.length === 1 && written[0] < written[1]))
    return found;
  const fraction = items[first.at]?.measure?.fraction;
  const pair =
    fraction && found.length === 1 ? [...found, { ...first, reading: { ...first.reading } }] : found;
  if (pair.length !== 2) return found;
  pair.forEach((one, i) => {
    one.reading.statistic = (value(stats[i], "stat") ?? EXTREMES[i]) as Statistic;
    one.stated = true;
    if (fraction) one.reading.value = fraction[i] as number;
  });
  return pair;
}
const EXTREMES = ["min", "max"];
const isExtreme = (item: Item): boolean => EXTREMES.includes(value(item, "stat") ?? "");
