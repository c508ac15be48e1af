import type { Temporal } from "temporal-polyfill";
import type { Season } from "./care.js";
import { daylightHours } from "./daylight.js";
import {
  type Hemisphere,
  hemisphereOf,
  northernDay,
  SEASON_STARTS,
  seasonOfDay,
  withinSeason,
  wrapDay,
  YEAR_DAYS,
} from "./seasons.js";

/**
 * The season a place is in. Plants do not read the calendar: nights warmer than usual bring spring and summer
 * forward and hold autumn and winter off; colder nights do the opposite. The model is deliberately small:
 *
 *   shift = DAYS_PER_KELVIN x (mean night minimum - what the tables assume on that day), within ±MAX_SHIFT_DAYS
 *
 * counted forwards while the year warms and backwards while it cools, fading out around mid-January and mid-July.
 * The advance in spring also needs light: none below 7.5 h of daylight, all of it from 9 h. So a bench kept at 12 °C
 * at 53° north wakes about three weeks before 1 March, a house that stays at 3 °C about ten days after.
 * The figures are common practice (growers give "three to four weeks earlier in a warm house"), not measured law.
 */
export const DAYS_PER_KELVIN = 4;
export const MAX_SHIFT_DAYS = 28;
/** Nights needed before the measured mean counts in full; fewer are mixed with what is expected. */
export const NIGHTS_FOR_FULL_TRUST = 10;
const LIGHT_NONE_H = 7.5;
const LIGHT_FULL_H = 9;

/**
 * Mean night minimum under glass that the tables assume in the middle of each month, °C: cacti kept at about 6 °C in
 * winter at 50 to 55° north (common practice).
 */
export const ASSUMED_NIGHT_MIN_C = [6, 6, 7, 8, 10, 13, 15, 15, 12, 9, 7, 6] as const;

/** What is known of a place; everything may be missing. */
export interface PlaceConditions {
  /** Mean of the daily minima of the last two to three weeks, °C. */
  meanMinC?: number | null;
  /** How many nights that mean stands on; taken as plenty if absent. */
  nights?: number;
  /** Temperature that the place is kept above, °C. */
  floorC?: number | null;
  /** Degrees, south negative. */
  latitude?: number | null;
}

export interface PlaceSeason {
  /** The season the place is in, by its own name in its hemisphere. */
  season: Season;
  /** The season of the calendar. */
  calendar: Season;
  /** Days the place runs ahead of the calendar; negative behind. */
  shiftDays: number;
  /** Day of the northern year that the place stands at. */
  day: number;
  /** Days since the place's season began, and until it ends. */
  since: number;
  left: number;
  /** Mean night minimum that was used, °C, and the one the tables assume. */
  meanMinC: number;
  assumedMinC: number;
  /** Whether the mean is measured, taken from the floor, or simply assumed. */
  known: "measured" | "floor" | "assumed";
  /** Hours of daylight; null without a latitude. */
  dayLengthH: number | null;
  /** Whether short days held an earlier spring back. */
  heldByLight: boolean;
}

/** Assumed night minimum on a northern day, straight between the middles of the months. */
export function assumedNightMinC(day: number): number {
  const position = wrapDay(day - 15) / (YEAR_DAYS / 12);
  const index = Math.floor(position) % 12;
  const from = ASSUMED_NIGHT_MIN_C[index] as number;
  const to = ASSUMED_NIGHT_MIN_C[(index + 1) % 12] as number;
  return from + (to - from) * (position - Math.floor(position));
}

/** +1 while the year warms, -1 while it cools, passing through 0 in mid-January and mid-July. */
function direction(day: number): number {
  return Math.min(1, Math.max(-1, 2 * Math.sin((2 * Math.PI * (day - 14)) / YEAR_DAYS)));
}

function nightMin(conditions: PlaceConditions, assumed: number): Pick<PlaceSeason, "meanMinC" | "known"> {
  const floor = conditions.floorC ?? null;
  const expected = floor === null ? assumed : Math.max(floor, assumed);
  const measured = conditions.meanMinC ?? null;
  const nights = conditions.nights ?? NIGHTS_FOR_FULL_TRUST;
  if (measured === null || nights <= 0) {
    return { meanMinC: expected, known: expected > assumed ? "floor" : "assumed" };
  }
  const trust = Math.min(1, nights / NIGHTS_FOR_FULL_TRUST);
  return { meanMinC: trust * measured + (1 - trust) * expected, known: "measured" };
}

/**
 * Season of a place on a day, from its recent nights and the light.
 * @param hemisphere taken from the latitude if absent
 */
export function placeSeason(
  date: Temporal.PlainDate,
  conditions: PlaceConditions = {},
  hemisphere: Hemisphere = hemisphereOf(conditions.latitude),
): PlaceSeason {
  const day = northernDay(date, hemisphere);
  const assumedMinC = assumedNightMinC(day);
  const night = nightMin(conditions, assumedMinC);
  const towards = direction(day);
  const raw = DAYS_PER_KELVIN * (night.meanMinC - assumedMinC);
  let shift = Math.min(MAX_SHIFT_DAYS, Math.max(-MAX_SHIFT_DAYS, raw)) * towards;

  const latitude = conditions.latitude ?? null;
  const dayLengthH = latitude === null ? null : daylightHours(latitude, northernDay(date, "north") + 1);
  let heldByLight = false;
  if (dayLengthH !== null && towards > 0 && shift > 0) {
    const light = Math.min(1, Math.max(0, (dayLengthH - LIGHT_NONE_H) / (LIGHT_FULL_H - LIGHT_NONE_H)));
    heldByLight = light < 1;
    shift *= light;
  }
  const shiftDays = Math.round(shift) || 0;
  const placeDay = wrapDay(day + shiftDays);
  return {
    ...withinSeason(placeDay),
    calendar: seasonOfDay(day),
    shiftDays,
    day: placeDay,
    ...night,
    assumedMinC,
    dayLengthH,
    heldByLight,
  };
}

/** The middle of a season that was asked for by name, where no place and no day matter. */
export function seasonAsked(season: Season): PlaceSeason {
  const day = wrapDay(SEASON_STARTS[season] + 45);
  const assumed = assumedNightMinC(day);
  return {
    ...withinSeason(day),
    calendar: season,
    shiftDays: 0,
    day,
    meanMinC: assumed,
    assumedMinC: assumed,
    known: "assumed",
    dayLengthH: null,
    heldByLight: false,
  };
}
