import type { Entry, Quantity, Reading, ReadingQuantity, Statistic } from "../interpretation.js";
import { type Item, is, value } from "../item.js";
import type { Circumstances } from "./circumstances.js";

const UNIT_QUANTITY: Record<string, ReadingQuantity> = {
  temperature: "air_temperature",
  percent: "relative_humidity",
  illuminance: "illuminance",
  energy: "energy",
};

export interface FoundReading {
  reading: Reading;
  tentative?: true;
  /** Index of its number among the clause's items. */
  at: number;
  /** The statistic was said and not assumed. */
  stated: boolean;
}

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
    if (!measure || item.quoted || (item.weakTime && hasOther(items, i))) continue;
    if (measure.ratio !== undefined || measure.strength !== undefined) continue;
    const dimension = measure.dimension;
    if (dimension && !UNIT_QUANTITY[dimension]) continue;
    if (item.subject || (!dimension && items[i + 1]?.subject)) continue;
    const to = nextValue(items, i + 1);
    const quantity = quantityAt(items, from, i, to, dimension);
    const statistic = statisticAt(items, from, i, to);
    const unit = unitFor(measure.unit, quantity, circumstances);
    if (!unit) continue;
    const reading: Reading = { quantity, statistic: statistic ?? "current", value: measure.value, unit };
    found.push({
      reading,
      at: i,
      stated: statistic !== undefined,
      ...(tentativeAt(items, from, i) && { tentative: true }),
    });
    from = i + 1;
  }
  return shareListed(items, found);
}

const hasOther = (items: readonly Item[], at: number): boolean =>
  items.some(
    (item, i) =>
      i !== at &&
      item.measure &&
      !item.weakTime &&
      (!item.measure.dimension || UNIT_QUANTITY[item.measure.dimension]),
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

function quantityAt(
  items: readonly Item[],
  from: number,
  at: number,
  to: number,
  dimension: string | undefined,
): ReadingQuantity {
  const byUnit = dimension ? UNIT_QUANTITY[dimension] : undefined;
  const near: string[] = [];
  for (let i = at - 1; i >= from; i--)
    if (is(items[i], "quantity")) near.push(value(items[i], "quantity") as string);
  for (let i = at + 1; i < to; i++)
    if (is(items[i], "quantity")) near.push(value(items[i], "quantity") as string);
  const fits = (one: string): boolean => {
    if (!byUnit) return true;
    if (byUnit === "air_temperature") return one.endsWith("temperature");
    return one === byUnit;
  };
  const said = near.find((one) => one !== "air_temperature" && fits(one)) ?? near.find(fits);
  return (said as ReadingQuantity | undefined) ?? byUnit ?? "air_temperature";
}

function statisticAt(items: readonly Item[], from: number, at: number, to: number): Statistic | undefined {
  for (let i = at - 1; i >= from; i--) {
    const stat = value(items[i], "stat") ?? value(items[i], "reach");
    if (stat && stat !== "current") return stat as Statistic;
    if (is(items[i], "stat")) return "current";
  }
  for (let i = at + 1; i < to; i++) {
    const stat = value(items[i], "stat");
    if (stat && stat !== "current") return stat as Statistic;
  }
  const reach = items.slice(from, at).some((item) => is(item, "reach"));
  return reach ? undefined : undefined;
}

function tentativeAt(items: readonly Item[], from: number, at: number): boolean {
  for (let i = from; i < at; i++) if (is(items[i], "tentative")) return true;
  return false;
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

/** "min max 4 18": two statistics first, then two numbers. */
function shareListed(items: readonly Item[], found: FoundReading[]): FoundReading[] {
  if (found.length !== 2) return found;
  const [first, second] = found as [FoundReading, FoundReading];
  const stats = items.slice(0, first.at).filter((item) => ["min", "max"].includes(value(item, "stat") ?? ""));
  if (stats.length !== 2) return found;
  first.reading.statistic = value(stats[0], "stat") as Statistic;
  second.reading.statistic = value(stats[1], "stat") as Statistic;
  return found;
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
