import { Temporal } from "temporal-polyfill";
import { daylightHours, sunriseToSunsetHours } from "../daylight.js";
import { type Germination, germinationRate } from "./germination.js";
import { geometryOf, holdsDownToC, lossCoefficient, U_VALUES } from "./heat.js";
import { type SubstrateNeed, substrateFor } from "./pots.js";
import {
  dewPointC,
  frostPointC,
  saturationVapourPressureKPa,
  vapourPressureDeficitKPa,
} from "./psychrometry.js";
import { ConversionError, convertUnits, dimensionOf } from "./units.js";

/** What growers ask a sum of: the question's inputs with their units in, a typed result out. Words are others'. */

export interface Measure {
  value: number;
  /** UCUM; "1" for a bare number. */
  unit: string;
}
export type CalculationInputs = Readonly<Record<string, Measure | string | number | undefined>>;

export interface CalculationAround {
  /** Degrees, south negative; null if it was not told. */
  latitude: number | null;
  /** The household's day, for "how long is the day". */
  today: Temporal.PlainDate;
  /** Loss of the place asked about, W/K, where somebody measured or told it. */
  lossWPerK?: number | null;
}

/** A glasshouse to compare a heater with: 3.6 by 2.4 m, 1.5 m to the eaves, 2.2 m to the ridge. */
export interface Yardstick {
  covering: "single glass" | "glass with bubble lining";
  lossWPerK: number;
  holdsDownToC: number;
  holds: boolean;
}

export type CalculationResult =
  | { kind: "dew_point"; airC: number; rh: number; dewC: number; frostC: number | null }
  | { kind: "vapour_pressure_deficit"; airC: number; rh: number; kPa: number }
  /** Air of one temperature and humidity brought to another temperature, nothing added. */
  | { kind: "relative_humidity"; fromC: number; fromRh: number; toC: number; rh: number }
  | {
      kind: "heat_hold";
      heaterW: number;
      insideC: number;
      outsideC: number | null;
      /** The most that the house may lose for the heater to hold, W/K; null without an outdoor temperature. */
      mayLoseWPerK: number | null;
      /** The household's own place, where its loss is known. */
      own: { lossWPerK: number; holdsDownToC: number; holds: boolean | null } | null;
      yardsticks: Yardstick[];
    }
  | {
      kind: "running_cost";
      heaterW: number;
      hours: number;
      kWh: number;
      cost: number | null;
      currency: string | null;
    }
  | ({ kind: "substrate_volume" } & SubstrateNeed)
  | {
      kind: "dilution";
      litres: number;
      /** Product, mL; of a ratio 1:N taken as one in N of the whole. */
      productMl: number;
      /** Of a ratio: one part to N parts of water. */
      oneToMl: number | null;
      ratio: number | null;
    }
  /** A powder, by its grams a litre. */
  | { kind: "dilution_by_weight"; litres: number; grams: number }
  | { kind: "day_length"; date: Temporal.PlainDate; latitude: number; hours: number; sunriseToSunset: number }
  | ({ kind: "germination" } & Germination)
  | { kind: "convert"; from: Measure; to: Measure; difference: boolean }
  | { kind: "cannot"; why: "missing" | "impossible" | "unit"; input: string };

class Cannot extends Error {
  constructor(
    readonly why: "missing" | "impossible" | "unit",
    readonly input: string,
  ) {
    super(`${input}: ${why}`);
  }
}

/** @returns the result, or which input is missing, impossible or in a unit that does not fit */
export function calculate(
  calculation: string,
  inputs: CalculationInputs,
  around: CalculationAround,
): CalculationResult {
  const work = SUMS[calculation];
  if (!work) return { kind: "cannot", why: "missing", input: "calculation" };
  try {
    return work(inputs, around);
  } catch (error) {
    if (error instanceof Cannot) return { kind: "cannot", why: error.why, input: error.input };
    throw error;
  }
}

function measure(inputs: CalculationInputs, name: string): Measure | null {
  const given = inputs[name];
  if (given === undefined || typeof given === "string") return null;
  return typeof given === "number" ? { value: given, unit: "1" } : given;
}

/** An input in a unit; a bare number counts as being in it already. */
function inUnit(inputs: CalculationInputs, name: string, unit: string): number {
  const given = measure(inputs, name);
  if (!given) throw new Cannot("missing", name);
  if (given.unit === "1") return given.value;
  try {
    return convertUnits(given.value, given.unit, unit);
  } catch (error) {
    if (error instanceof ConversionError) throw new Cannot("unit", name);
    throw error;
  }
}

const optional = (inputs: CalculationInputs, name: string, unit: string): number | null =>
  measure(inputs, name) === null ? null : inUnit(inputs, name, unit);

/** Sensors and glasshouses know nothing beyond. */
const AIR_C = [-45, 60] as const;

function air(inputs: CalculationInputs, name = "air_temperature"): number {
  const celsius = inUnit(inputs, name, "Cel");
  if (!(celsius >= AIR_C[0] && celsius <= AIR_C[1])) throw new Cannot("impossible", name);
  return celsius;
}

function humidity(inputs: CalculationInputs): number {
  const given = measure(inputs, "relative_humidity");
  if (!given) throw new Cannot("missing", "relative_humidity");
  if (given.unit !== "%" && given.unit !== "1") throw new Cannot("unit", "relative_humidity");
  if (!(given.value > 0 && given.value <= 100)) throw new Cannot("impossible", "relative_humidity");
  return given.value;
}

function positive(inputs: CalculationInputs, name: string, unit: string): number {
  const value = inUnit(inputs, name, unit);
  if (!(value > 0)) throw new Cannot("impossible", name);
  return value;
}

type Sum = (inputs: CalculationInputs, around: CalculationAround) => CalculationResult;

const SUMS: Readonly<Record<string, Sum>> = {
  dew_point(inputs) {
    const [airC, rh] = [air(inputs), humidity(inputs)];
    const dewC = dewPointC(airC, rh);
    return { kind: "dew_point", airC, rh, dewC, frostC: dewC < 0 ? frostPointC(airC, rh) : null };
  },

  vapour_pressure_deficit(inputs) {
    const [airC, rh] = [air(inputs), humidity(inputs)];
    return { kind: "vapour_pressure_deficit", airC, rh, kPa: vapourPressureDeficitKPa(airC, rh) };
  },

  relative_humidity(inputs) {
    const from = inputs.outside === undefined ? "air_temperature" : "outside";
    const [fromC, fromRh, toC] = [air(inputs, from), humidity(inputs), air(inputs, "inside")];
    const vapour = (fromRh / 100) * saturationVapourPressureKPa(fromC);
    const rh = toC === fromC ? fromRh : Math.min(100, (100 * vapour) / saturationVapourPressureKPa(toC));
    return { kind: "relative_humidity", fromC, fromRh, toC, rh };
  },

  heat_hold(inputs, { lossWPerK }) {
    const heaterW = positive(inputs, "heater", "W");
    const insideC = air(inputs, "inside");
    const outsideC = inputs.outside === undefined ? null : air(inputs, "outside");
    if (outsideC !== null && outsideC >= insideC) throw new Cannot("impossible", "outside");
    const judged = (loss: number) => {
      const down = holdsDownToC(heaterW, loss, insideC);
      return { lossWPerK: loss, holdsDownToC: down, holds: outsideC === null ? null : outsideC >= down };
    };
    return {
      kind: "heat_hold",
      heaterW,
      insideC,
      outsideC,
      mayLoseWPerK: outsideC === null ? null : heaterW / (insideC - outsideC),
      own: lossWPerK == null ? null : judged(lossWPerK),
      yardsticks: YARDSTICKS.map(({ covering, loss }) => ({
        covering,
        ...judged(loss),
        holds: judged(loss).holds ?? false,
      })),
    };
  },

  running_cost(inputs) {
    const heaterW = positive(inputs, "heater", "W");
    const hours = positive(inputs, "duration", "h");
    const kWh = (heaterW * hours) / 1000;
    const price = measure(inputs, "price");
    if (!price) return { kind: "running_cost", heaterW, hours, kWh, cost: null, currency: null };
    const [currency = "", per] = price.unit.split("/");
    if (per !== undefined && per !== "kW.h") throw new Cannot("unit", "price");
    if (price.value < 0) throw new Cannot("impossible", "price");
    return {
      kind: "running_cost",
      heaterW,
      hours,
      kWh,
      cost: kWh * price.value,
      currency: currency === "1" ? null : currency,
    };
  },

  substrate_volume(inputs) {
    const pots = measure(inputs, "pots") === null ? 1 : positive(inputs, "pots", "1");
    const topCm = positive(inputs, "diameter", "cm");
    const heightCm = optional(inputs, "height", "cm");
    if (heightCm !== null && !(heightCm > 0)) throw new Cannot("impossible", "height");
    return { kind: "substrate_volume", ...substrateFor(pots, topCm, heightCm) };
  },

  dilution(inputs) {
    const litres = positive(inputs, "volume", "L");
    const rate = measure(inputs, "dilution");
    if (!rate) throw new Cannot("missing", "dilution");
    if (!(rate.value > 0)) throw new Cannot("impossible", "dilution");
    if (rate.unit === "1" || rate.unit === "%") {
      const ratio = rate.unit === "%" ? 100 / rate.value : rate.value;
      const oneToMl = rate.unit === "%" ? null : (1000 * litres) / (ratio + 1);
      return { kind: "dilution", litres, productMl: (1000 * litres) / ratio, oneToMl, ratio };
    }
    // Solids are weighed: grams a litre stay grams, and are told as such.
    const [product = ""] = rate.unit.split("/");
    if (dimensionOf(product) === "mass") {
      return { kind: "dilution_by_weight", litres, grams: litres * inUnit(inputs, "dilution", "g/L") };
    }
    if (dimensionOf(product) !== "volume") throw new Cannot("unit", "dilution");
    return {
      kind: "dilution",
      litres,
      productMl: litres * inUnit(inputs, "dilution", "mL/L"),
      oneToMl: null,
      ratio: null,
    };
  },

  day_length(inputs, { latitude, today }) {
    if (latitude === null) throw new Cannot("missing", "latitude");
    const date = dayOf(inputs.date) ?? today;
    const hours = daylightHours(latitude, date.dayOfYear);
    return {
      kind: "day_length",
      date,
      latitude,
      hours,
      sunriseToSunset: sunriseToSunsetHours(latitude, date.dayOfYear),
    };
  },

  germination(inputs) {
    const [count, outOf] = [inUnit(inputs, "count", "1"), inUnit(inputs, "outOf", "1")];
    try {
      return { kind: "germination", ...germinationRate(count, outOf) };
    } catch (error) {
      if (error instanceof RangeError) throw new Cannot("impossible", "count");
      throw error;
    }
  },

  convert(inputs) {
    const from = measure(inputs, "value");
    const unit = inputs.to;
    if (!from) throw new Cannot("missing", "value");
    if (typeof unit !== "string") throw new Cannot("missing", "to");
    try {
      const to = { value: convertUnits(from.value, from.unit, unit), unit };
      return { kind: "convert", from, to, difference: dimensionOf(from.unit) === "temperature difference" };
    } catch (error) {
      if (error instanceof ConversionError) throw new Cannot("unit", "to");
      throw error;
    }
  },
};

function dayOf(text: CalculationInputs[string]): Temporal.PlainDate | null {
  if (typeof text !== "string") return null;
  try {
    return Temporal.PlainDate.from(text);
  } catch {
    throw new Cannot("impossible", "date");
  }
}

const SMALL_HOUSE = geometryOf({ length: 3.6, width: 2.4, eaves: 1.5, ridge: 2.2 });
const YARDSTICKS = (
  [
    ["single glass", 1],
    ["glass with bubble lining", 0.8],
  ] as const
).map(([covering, airChanges]) => ({
  covering,
  loss: lossCoefficient(SMALL_HOUSE.areaM2, U_VALUES[covering], SMALL_HOUSE.volumeM3, airChanges),
}));
