import type { Temporal } from "temporal-polyfill";
import { saturationVapourPressureKPa } from "../horticulture/climate/psychrometry.js";
import type { SimPlace } from "./household.js";
import { chance } from "./numbers.js";

/** What the weather is outdoors on a day. */
export interface Outdoors {
  minC: number;
  maxC: number;
  humidity: number;
}

/** A place's day: the night before it and its daytime. */
export interface Indoors {
  minC: number;
  maxC: number;
  /** Relative humidity in the morning and by day, %. */
  morningRh: number;
  dayRh: number;
  /** The heating failed in the night. */
  failed: boolean;
}

/** Kelvin that glass, lining and the ground keep a still night warmer; figures are common practice. */
const LIFT_K: Readonly<Record<string, number>> = {
  glasshouse: 3,
  bench: 3,
  frame: 1.5,
  room: 9,
  outdoors: 0,
};
/** The heater is set so far above the floor, and was chosen to hold it down to this cold. */
const SET_ABOVE_K = 1.6;
const HOLDS_DOWN_TO_C = -16;
/** Share of cold nights on which a heater fails. */
const FAILS = 0.008;
/** Sun through glass by day, K, and the heat that vents let out. */
const SUN_K = 7;
const VENTED_AT_C = 36;
const HEATED_ROOM_C = 15;
/** Vapour that plants and wet benches give off, kPa. */
const VAPOUR_KPA = 0.06;

/** Night and day in a place: a heater with its limits, rare failures, glass that warms by day. Simple on purpose. */
export function indoors(
  place: SimPlace,
  date: Temporal.PlainDate,
  out: Outdoors,
  powerCut: boolean,
): Indoors {
  const lift = LIFT_K[place.kind] ?? 4;
  const passive = place.kind === "room" ? Math.max(HEATED_ROOM_C, out.minC + lift) : out.minC + lift;
  const needsHeat = place.floorC !== null && passive < place.floorC + SET_ABOVE_K;
  const failed = needsHeat && (powerCut || chance("heater", place.name, date.toString()) < FAILS);
  let minC = passive + 1.5 * (chance("still", place.name, date.toString()) - 0.5);
  if (needsHeat && !failed && place.floorC !== null) {
    const wanted = place.floorC + SET_ABOVE_K + 0.8 * (chance("night", place.name, date.toString()) - 0.5);
    minC = wanted - Math.max(0, HOLDS_DOWN_TO_C - out.minC);
  }
  if (failed) minC = Math.max(passive, minC - (powerCut ? 4 : 0));
  const sunny = out.humidity < 80 ? SUN_K : SUN_K / 2;
  const warm = place.kind === "outdoors" ? out.maxC : Math.max(minC + 2, out.maxC + sunny);
  const maxC = Math.min(Math.max(VENTED_AT_C, out.maxC), warm);
  const vapour = (out.humidity / 100) * saturationVapourPressureKPa((out.minC + out.maxC) / 2) + VAPOUR_KPA;
  const rh = (celsius: number) =>
    Math.min(98, Math.max(15, (100 * vapour) / saturationVapourPressureKPa(celsius)));
  const tenth = (value: number) => Math.round(value * 10) / 10;
  return {
    minC: tenth(minC),
    maxC: tenth(maxC),
    morningRh: Math.round(rh(minC + 1)),
    dayRh: Math.round(rh((minC + maxC) / 2)),
    failed,
  };
}
