import { settleIn } from "../../entries/circumstances.js";
import { temperature } from "../../entries/readings.js";
import type { Calculation, Quantity } from "../../interpretation.js";
import { type Item, is, value } from "../../item.js";
import { localeOptions } from "../../token-readings.js";
import { has } from "../view.js";
import { convert, type Inputs, measures } from "./convert.js";
import type { QuestionRule, QuestionView } from "./view.js";

const plain = (item: Item): Quantity => ({
  value: item.measure?.value ?? 0,
  unit: item.measure?.unit ?? "1",
});

const dimensionOf = (item: Item): string => item.measure?.dimension ?? "";

/** Dew point and vapour pressure deficit want a temperature and a humidity. */
function climate(view: QuestionView): Inputs {
  const inputs: Inputs = {};
  for (const { item, at } of measures(view)) {
    const humid =
      dimensionOf(item) === "percent" || (!dimensionOf(item) && nearHumid(view.items, at, inputs));
    if (humid) inputs.relative_humidity ??= { value: item.measure?.value ?? 0, unit: "%" };
    else if (dimensionOf(item) === "temperature" || !dimensionOf(item))
      inputs.air_temperature ??= temperature(
        item.measure as { value: number; unit?: string },
        view.message.circumstances,
      );
  }
  return inputs;
}

const nearHumid = (items: readonly Item[], at: number, sofar: Inputs): boolean =>
  value(items[at + 1], "quantity") === "relative_humidity" ||
  value(items[at - 1], "quantity") === "relative_humidity" ||
  (value(items[at - 2], "quantity") === "relative_humidity" && !items[at - 1]?.measure) ||
  sofar.air_temperature !== undefined;

/** "will a 2 kW heater hold 5 degrees if it drops to -12?" */
function heatHold(view: QuestionView): Inputs | undefined {
  const inputs: Inputs = {};
  const temps: { item: Item; at: number }[] = [];
  for (const found of measures(view)) {
    if (dimensionOf(found.item) === "power") inputs.heater ??= plain(found.item);
    else if (dimensionOf(found.item) === "temperature" || !dimensionOf(found.item)) temps.push(found);
  }
  if (!inputs.heater && !has(view.items, "equipment", "heat")) return undefined;
  for (const { item, at } of temps) {
    const quantity = temperature(
      item.measure as { value: number; unit?: string },
      view.message.circumstances,
    );
    const side = sideOf(view.items, at, temps.length);
    if (side === "outside" && inputs.outside === undefined) inputs.outside = quantity;
    else if (inputs.inside === undefined) inputs.inside = quantity;
    else inputs.outside ??= quantity;
  }
  if (inputs.inside === undefined && inputs.outside === undefined) return undefined;
  return inputs;
}

/** Whether a temperature is that of the frost outside or the one to be held. */
function sideOf(items: readonly Item[], at: number, count: number): "inside" | "outside" {
  if ((items[at]?.measure?.value ?? 0) < 0) return "outside";
  for (let i = at + 1; i < items.length && i <= at + 2; i++) {
    if (items[i]?.measure) break;
    if (is(items[i], "outsideword")) return "outside";
    if (is(items[i], "insideword")) return "inside";
  }
  for (let i = at - 1; i >= 0 && i >= at - 6; i--) {
    if (items[i]?.measure && count > 1) break;
    if (is(items[i], "outsideword") || is(items[i], "condition") || value(items[i], "reach") === "min")
      return "outside";
    if (is(items[i], "insideword")) return "inside";
  }
  return "inside";
}

/** "at 26p", "at 11 cents": money with no unit of energy behind it. */
function coins(view: QuestionView, at: number): Quantity | undefined {
  const coin = value(view.items[at + 1], "coin");
  const number = view.items[at]?.measure?.value;
  if (!coin || number === undefined) return undefined;
  const code = coin === "$" ? localeOptions(view.message.circumstances.context).dollar : coin;
  return { value: Math.round(number * 1e4) / 1e6, unit: `${code}/kW.h` };
}

function runningCost(view: QuestionView): Inputs | undefined {
  const inputs: Inputs = {};
  for (const { item, at } of measures(view)) {
    const dimension = dimensionOf(item);
    if (dimension === "power") inputs.heater ??= plain(item);
    else if (dimension === "time") inputs.duration ??= plain(item);
    else if (dimension.startsWith("price")) inputs.price ??= plain(item);
    else if (!dimension && inputs.price === undefined) {
      const price = coins(view, at);
      if (price) inputs.price = price;
    }
  }
  return inputs.heater || inputs.price || has(view.items, "equipment") ? inputs : undefined;
}

function substrateVolume(view: QuestionView): Inputs | undefined {
  const inputs: Inputs = {};
  for (const { item, at } of measures(view)) {
    if (dimensionOf(item) === "length") {
      const tall = view.items.slice(at + 1, at + 3).some((one) => is(one, "tallword"));
      if (tall || inputs.diameter) inputs.height ??= plain(item);
      else inputs.diameter = plain(item);
    } else if (!dimensionOf(item)) inputs.pots ??= plain(item);
  }
  return inputs.diameter || inputs.pots ? inputs : undefined;
}

function dilution(view: QuestionView): Inputs | undefined {
  const inputs: Inputs = {};
  for (const { item } of measures(view)) {
    const measure = item.measure;
    if (!measure) continue;
    if (measure.ratio !== undefined) inputs.dilution = { value: measure.ratio, unit: "1" };
    else if (measure.dimension?.includes("/")) inputs.dilution = plain(item);
    else if (measure.dimension === "volume") inputs.volume = plain(item);
  }
  return inputs.dilution !== undefined ? inputs : undefined;
}

function dayLength(view: QuestionView): Inputs {
  for (const item of view.items) {
    if (!item.time) continue;
    const when = settleIn(item.time, view.message.circumstances, "future");
    if (when) return { date: when.from.slice(0, 10) };
  }
  return {};
}

function germination(view: QuestionView): Inputs | undefined {
  const numbers = measures(view).filter(({ item }) => !item.measure?.unit);
  const counted = numbers.find(({ item }) => item.measure?.outOf !== undefined)?.item.measure;
  if (counted)
    return {
      count: { value: counted.value, unit: "1" },
      outOf: { value: counted.outOf as number, unit: "1" },
    };
  const [first, second] = numbers;
  if (!first || !second) return undefined;
  const [a, b] = [first.item.measure?.value ?? 0, second.item.measure?.value ?? 0];
  return { count: { value: Math.min(a, b), unit: "1" }, outOf: { value: Math.max(a, b), unit: "1" } };
}

/**
 * "relative humidity at 20 with dew point 12", "outside 2 degrees and 85 %, what humidity is that inside at 10":
 * the humidity itself is what is asked for.
 */
function humidity(view: QuestionView): Inputs | undefined {
  const { items } = view;
  if (!items.some((item) => value(item, "quantity") === "relative_humidity")) return undefined;
  const percent = measures(view).find(({ item }) => dimensionOf(item) === "percent");
  const temps = measures(view).filter(
    ({ item }) => !dimensionOf(item) || dimensionOf(item) === "temperature",
  );
  const degrees = (item: Item): Quantity =>
    temperature(item.measure as { value: number; unit?: string }, view.message.circumstances);
  if (temps.length < 2) return undefined;
  const dew = items.findIndex((item) => value(item, "calc") === "dew_point");
  if (dew >= 0 && !percent) {
    if (temps.some(({ at }) => besideHumid(items, at))) return undefined;
    const point = temps.find(({ at }) => at > dew && at <= dew + 2);
    const air = temps.find((one) => one !== point);
    return point && air ? { air_temperature: degrees(air.item), dew_point: degrees(point.item) } : undefined;
  }
  if (!percent) return undefined;
  const outer = temps.find(({ at }) => sideOf(items, at, temps.length) === "outside") ?? temps[0];
  const inner = temps.find((one) => one !== outer);
  if (!outer || !inner) return undefined;
  return {
    outside: degrees(outer.item),
    relative_humidity: { value: percent.item.measure?.value ?? 0, unit: "%" },
    inside: degrees(inner.item),
  };
}

const besideHumid = (items: readonly Item[], at: number): boolean =>
  [items[at + 1], items[at]?.weakTime ? undefined : items[at - 1]].some(
    (one) => value(one, "quantity") === "relative_humidity",
  );

const READERS: readonly (readonly [Calculation, (view: QuestionView) => Inputs | undefined])[] = [
  ["relative_humidity", humidity],
  ["dew_point", climate],
  ["vapour_pressure_deficit", climate],
  ["running_cost", runningCost],
  ["heat_hold", heatHold],
  ["substrate_volume", substrateVolume],
  ["dilution", dilution],
  ["day_length", dayLength],
  ["germination", germination],
  ["convert", convert],
];

/** The kinds of measure that stand in the question. */
const dimensions = (view: QuestionView): ReadonlySet<string> =>
  new Set(
    measures(view).map(({ item }) =>
      item.measure?.ratio !== undefined
        ? "ratio"
        : dimensionOf(item).startsWith("price")
          ? "price"
          : dimensionOf(item),
    ),
  );

/** Whether the question is for this sum: its word stands there, or measures that only it takes. */
function called(calculation: Calculation, view: QuestionView): boolean {
  if (has(view.items, "calc", calculation)) return true;
  const given = dimensions(view);
  switch (calculation) {
    case "convert":
    case "relative_humidity":
      return true;
    case "running_cost":
      return given.has("power") && given.has("price");
    case "heat_hold":
      return given.has("power") && (given.has("temperature") || given.has("")) && !given.has("price");
    case "substrate_volume":
      return given.has("length") && (has(view.items, "pot") || has(view.items, "head")) && mixed(view.items);
    case "dilution":
      return (
        given.has("volume/volume") || given.has("mass/volume") || (given.has("ratio") && given.has("volume"))
      );
    default:
      return false;
  }
}

const mixed = (items: readonly Item[]): boolean =>
  items.some((item) => is(item, "substrate") || is(item, "mixword"));

/** Sums of the trade, with the numbers that the sentence gives. */
export const calculateQuestion: QuestionRule = (view) => {
  for (const [calculation, read] of READERS) {
    if (!called(calculation, view)) continue;
    const inputs = read(view);
    if (!inputs) continue;
    if (
      calculation === "dew_point" &&
      inputs.air_temperature === undefined &&
      inputs.relative_humidity === undefined
    )
      continue;
    return { about: "calculate", calculation, inputs };
  }
  return undefined;
};
