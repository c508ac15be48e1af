import type { Entry, Quantity, Reading, ReadingQuantity, Statistic } from "../interpretation.js";
import { type Item, is, says, shaped, value } from "../item.js";
import type { Circumstances } from "./circumstances.js";
import { doubtful } from "./draft.js";
import { type FoundReading, inLists } from "./reading-lists.js";

const UNIT_QUANTITY: Record<string, ReadingQuantity> = {
  temperature: "air_temperature",
  percent: "relative_humidity",
  illuminance: "illuminance",
  energy: "energy",
};

/**
 * The values read off instruments in a clause, each with the quantity and statistic that the words around it
 * give. A degree whose scale was not said takes the household's.
 */
export function readingsIn(items: readonly Item[], circumstances: Circumstances): FoundReading[] {
  const found: FoundReading[] = [];
  let from = 0;
  for (let i = 0; i < items.length; i++) {
    const item = items[i] as Item;
    const measure = item.measure;
    if (!measure || item.quoted || (item.weakTime && (hasOther(items, i) || bound(items, i)))) continue;
    if (measure.ratio !== undefined || measure.strength !== undefined) continue;
    const dimension = measure.dimension;
    // "hit 31 by two"
    if (!dimension && value(items[i - 1], "prep") === "by" && hasOther(items, i)) continue;
    if (dimension && !UNIT_QUANTITY[dimension]) continue;
    // "4 aloes", "3 dead agaves": counted, not read from an instrument.
    const noun = items[says(items[i + 1], "describes plants") ? i + 2 : i + 1];
    if (item.subject || (!dimension && (noun?.subject || counts(items[i + 1])))) continue;
    const to = nextValue(items, i + 1);
    const near = wordsOf(items, from, i, to);
    const quantity = quantityOf(near, dimension);
    const unit = unitFor(measure.unit, quantity, circumstances);
    if (!unit) continue;
    const behind = is(items[i + 1], "quantity") ? items[i + 2] : items[i + 1];
    const now = stands(behind) || stands(items[i - 1]);
    const said =
      now && near.end <= i + 3 && !spoken(items, from, i)
        ? "current"
        : near.statistic === "either"
          ? extremeOf(measure.value, unit)
          : near.statistic;
    const reading: Reading = { quantity, statistic: said ?? "current", value: measure.value, unit };
    const tentative = items.some((_, k) => k >= from && k < i && doubtful(items, k));
    found.push({
      reading,
      at: i,
      stated: near.statistic !== undefined || now,
      ...(now && { now: true as const }),
      ...(tentative && { tentative: true }),
    });
    from = near.end;
  }
  return inLists(items, found);
}

/** "now", "at the moment" beside a value; "reading" leads to one. */
const stands = (item: Item | undefined): boolean =>
  (value(item, "stat") === "current" && !is(item, "reach")) ||
  (item?.time?.span?.kind === "ago" && item.time.span.count === 0);

/** Whether an extreme is named right before the value at `at`: "min now 4". */
const spoken = (items: readonly Item[], from: number, at: number): boolean =>
  items.slice(Math.max(from, at - 3), at).some((item) => ["min", "max"].includes(value(item, "stat") ?? ""));

/** "3 years old", "4 shelves": things that are counted. */
const counts = (item: Item | undefined): boolean =>
  item !== undefined &&
  item.token.kind === "word" &&
  item.senses.length === 0 &&
  !item.time &&
  !item.unknown &&
  shaped(item, "plural");

/** From here on "got to" tells of heat, below of cold: our own judgement, between a night's low and a day's high. */
const WARM: Readonly<Record<string, number>> = { Cel: 14, "[degF]": 57, "%": 60 };
const extremeOf = (value: number, unit: string): Statistic => (value >= (WARM[unit] ?? 0) ? "max" : "min");

const hasOther = (items: readonly Item[], at: number): boolean =>
  items.some(
    (item, i) =>
      i !== at &&
      item.measure &&
      !item.weakTime &&
      (!item.measure.dimension || UNIT_QUANTITY[item.measure.dimension]),
  );

/** "coming to the bay at 4": where somebody goes, and when. */
const bound = (items: readonly Item[], at: number): boolean =>
  items.some(
    (item, i) =>
      i < at &&
      value(item, "prep") === "to" &&
      !is(item, "reach") &&
      is(is(items[i + 1], "det") ? items[i + 2] : items[i + 1], "place"),
  );

/** Where the words belonging to this number end: before the next number's own lead-in. */
function nextValue(items: readonly Item[], from: number): number {
  for (let i = from; i < items.length; i++) {
    if (items[i]?.measure) {
      let at = i;
      while (
        at > from &&
        !items[at - 1]?.measure &&
        (is(items[at - 1], "stat") ||
          is(items[at - 1], "reach") ||
          is(items[at - 1], "quantity") ||
          is(items[at - 1], "prep"))
      )
        at--;
      return Math.max(at, from);
    }
  }
  return items.length;
}

interface NearWords {
  quantities: string[];
  statistic?: Statistic | "either";
  /** Index behind the last word that belongs to this number. */
  end: number;
}

/** The quantity and statistic words that belong to the number at `at`: those before it, and those right behind. */
function wordsOf(items: readonly Item[], from: number, at: number, to: number): NearWords {
  const near: NearWords = { quantities: [], end: at + 1 };
  let said: Statistic | undefined;
  for (let i = at - 1; i >= from; i--) {
    const item = items[i] as Item;
    const stat = value(item, "stat");
    if (stat && stat !== "current") said ??= stat as Statistic;
    const reach = value(item, "reach");
    if (reach && reach !== "current") near.statistic ??= reach as Statistic | "either";
    const strayOut = says(item, "out or away") && i !== at - 1;
    if (is(item, "quantity") && !strayOut) near.quantities.push(value(item, "quantity") as string);
  }
  if (said) near.statistic = said;
  for (let i = at + 1; i < to; i++) {
    const item = items[i] as Item;
    const stat = value(item, "stat");
    // "85 %, a bit high that", "on the high side": what one thinks of it, and no statistic.
    const judged = is(items[i - 1], "degree") || is(items[i + 1], "part");
    if (stat && stat !== "current" && near.statistic === undefined && !judged) {
      near.statistic = stat as Statistic;
      near.end = i + 1;
    }
    const astray = says(item, "out or away") && i !== at + 1;
    if (is(item, "quantity") && !astray && (near.quantities.length === 0 || i === at + 1)) {
      near.quantities.unshift(value(item, "quantity") as string);
      near.end = i + 1;
    }
  }
  return near;
}

function quantityOf(near: NearWords, dimension: string | undefined): ReadingQuantity {
  const byUnit = dimension ? UNIT_QUANTITY[dimension] : undefined;
  const fits = (one: string): boolean =>
    !byUnit || (byUnit === "air_temperature" ? one.endsWith("temperature") : one === byUnit);
  const fitting = near.quantities.filter(fits);
  const narrow = fitting.find((one) => one !== "air_temperature");
  return ((fitting[0] === "air_temperature" && !byUnit ? fitting[0] : narrow) ??
    fitting[0] ??
    byUnit ??
    "air_temperature") as ReadingQuantity;
}

function unitFor(
  unit: string | undefined,
  quantity: ReadingQuantity,
  circumstances: Circumstances,
): string | undefined {
  if (unit && unit !== "deg") return unit;
  if (quantity.endsWith("temperature")) return circumstances.imperial ? "[degF]" : "Cel";
  if (quantity === "relative_humidity") return "%";
  if (quantity === "illuminance") return "lx";
  return unit === undefined && quantity === "energy" ? "kW.h" : undefined;
}

/** The household's unit for a temperature whose scale was not said. */
export const temperature = (
  quantity: { value: number; unit?: string },
  circumstances: Circumstances,
): Quantity => ({
  value: quantity.value,
  unit: quantity.unit && quantity.unit !== "deg" ? quantity.unit : circumstances.imperial ? "[degF]" : "Cel",
});

export const readingEntry = (found: FoundReading): Entry => ({
  act: "reading",
  reading: found.reading,
  ...(found.tentative && { tentative: true }),
});
