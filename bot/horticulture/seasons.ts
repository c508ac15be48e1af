import type { Temporal } from "temporal-polyfill";
import type { Season } from "./care.js";

export type Hemisphere = "north" | "south";

/** The equator counts as north: without a latitude the tables are read as they are written. */
export function hemisphereOf(latitude: number | null | undefined): Hemisphere {
  return latitude != null && latitude < 0 ? "south" : "north";
}

const SEASON_OF_MONTH: readonly Season[] = [
  "winter",
  "winter",
  "spring",
  "spring",
  "spring",
  "summer",
  "summer",
  "summer",
  "autumn",
  "autumn",
  "autumn",
  "winter",
];

/** Meteorological season of a month 1-12. @example seasonOfMonth(12, "south") //=> "summer" */
export function seasonOfMonth(month: number, hemisphere: Hemisphere = "north"): Season {
  return SEASON_OF_MONTH[turnMonth(month, hemisphere) - 1] as Season;
}

/**
 * Meteorological season of a day: whole months, winter from December in the north, from June in the south.
 * @source meteorological seasons as used by NOAA NCEI
 */
export function seasonOn(date: Temporal.PlainDate, hemisphere: Hemisphere = "north"): Season {
  return seasonOfMonth(date.month, hemisphere);
}

/** A month of the tables in the given hemisphere, and back: half a year off in the south. */
export function turnMonth(month: number, hemisphere: Hemisphere): number {
  return hemisphere === "south" ? ((month + 5) % 12) + 1 : month;
}

/** Months of a window in the given hemisphere, in the order of the window. */
export function turnMonths(months: readonly number[], hemisphere: Hemisphere): number[] {
  return months.map((month) => turnMonth(month, hemisphere));
}

/** Days before each month in a year of 365 days. */
const DAYS_BEFORE = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334] as const;
const LENGTHS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31] as const;
export const YEAR_DAYS = 365;

/**
 * Day of the northern year that a date stands for, 0 (1 January) to below 365; a southern date stands for the same
 * day half a year off. 29 February stands for the 28th, a 31st turned into a shorter month for its last day.
 * @example northernDay(Temporal.PlainDate.from("2027-09-01"), "south") //=> 59, as 1 March in the north
 */
export function northernDay(date: Temporal.PlainDate, hemisphere: Hemisphere): number {
  const month = turnMonth(date.month, hemisphere) - 1;
  return (DAYS_BEFORE[month] as number) + Math.min(date.day, LENGTHS[month] as number) - 1;
}

/** Northern days at which the seasons begin. */
export const SEASON_STARTS: Readonly<Record<Season, number>> = {
  spring: DAYS_BEFORE[2],
  summer: DAYS_BEFORE[5],
  autumn: DAYS_BEFORE[8],
  winter: DAYS_BEFORE[11],
};

/** Season of a northern day, which may lie outside 0-365. */
export function seasonOfDay(day: number): Season {
  const within = wrapDay(day);
  if (within >= SEASON_STARTS.winter || within < SEASON_STARTS.spring) return "winter";
  if (within < SEASON_STARTS.summer) return "spring";
  return within < SEASON_STARTS.autumn ? "summer" : "autumn";
}

export function wrapDay(day: number): number {
  return ((day % YEAR_DAYS) + YEAR_DAYS) % YEAR_DAYS;
}

const NEXT: Readonly<Record<Season, Season>> = {
  winter: "spring",
  spring: "summer",
  summer: "autumn",
  autumn: "winter",
};
const BEFORE: Readonly<Record<Season, Season>> = {
  spring: "winter",
  summer: "spring",
  autumn: "summer",
  winter: "autumn",
};
export const nextSeason = (season: Season): Season => NEXT[season];
export const seasonBefore = (season: Season): Season => BEFORE[season];

/** Days since the season of this northern day began, and days until the next one. */
export function withinSeason(day: number): { season: Season; since: number; left: number } {
  const season = seasonOfDay(day);
  return {
    season,
    since: wrapDay(day - SEASON_STARTS[season]),
    left: wrapDay(SEASON_STARTS[nextSeason(season)] - day),
  };
}
