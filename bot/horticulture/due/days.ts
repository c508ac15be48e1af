import { Temporal } from "temporal-polyfill";

/** Days as whole numbers: the due engine counts them by the hundred thousand, calendar objects only at its edge. */

const DAY_MS = 86_400_000;

/** Days since 1 January 1970. */
export function epochDay(date: Temporal.PlainDate): number {
  const { year } = date;
  if (year >= 100) return Date.UTC(year, date.month - 1, date.day) / DAY_MS;
  return new Temporal.PlainDate(1970, 1, 1).until(date, { largestUnit: "day" }).days;
}

const known = new Map<number, Temporal.PlainDate>();
const KNOWN_MOST = 20_000;

/** The date of a day since 1970; the same object for the same day. */
export function dateOf(day: number): Temporal.PlainDate {
  let date = known.get(day);
  if (!date) {
    if (known.size >= KNOWN_MOST) known.clear();
    date = new Temporal.PlainDate(1970, 1, 1).add({ days: day });
    known.set(day, date);
  }
  return date;
}

export const plusDays = (date: Temporal.PlainDate, days: number): Temporal.PlainDate =>
  dateOf(epochDay(date) + days);

/** Whole calendar days from one to another; negative if `later` comes first. */
export const daysFrom = (earlier: Temporal.PlainDate, later: Temporal.PlainDate): number =>
  epochDay(later) - epochDay(earlier);

export const isBefore = (a: Temporal.PlainDate, b: Temporal.PlainDate): boolean =>
  Temporal.PlainDate.compare(a, b) < 0;
export const isAfter = (a: Temporal.PlainDate, b: Temporal.PlainDate): boolean =>
  Temporal.PlainDate.compare(a, b) > 0;
export const laterOf = (a: Temporal.PlainDate, b: Temporal.PlainDate): Temporal.PlainDate =>
  isAfter(a, b) ? a : b;
