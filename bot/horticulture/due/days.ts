import { Temporal } from "temporal-polyfill";

/** Days as whole numbers: the due engine counts them by the hundred thousand, calendar objects only at its edge. */

const DAY_MS = 86_400_000;

/** Days since 1 January 1970. */
export function epochDay(date: Temporal.PlainDate): number {
  const { year } = date;
  if (year >= 100) return Date.UTC(year, date.month - 1, date.day) / DAY_MS;
  return new Temporal.PlainDate(1970, 1, 1).until(date, { largestUnit: "day" }).days;
}

/** Whole calendar days from one to another; negative if `later` comes first. */
export const daysFrom = (earlier: Temporal.PlainDate, later: Temporal.PlainDate): number =>
  epochDay(later) - epochDay(earlier);

export const isBefore = (a: Temporal.PlainDate, b: Temporal.PlainDate): boolean =>
  Temporal.PlainDate.compare(a, b) < 0;
export const isAfter = (a: Temporal.PlainDate, b: Temporal.PlainDate): boolean =>
  Temporal.PlainDate.compare(a, b) > 0;
export const laterOf = (a: Temporal.PlainDate, b: Temporal.PlainDate): Temporal.PlainDate =>
  isAfter(a, b) ? a : b;
