/** Civil dates as day numbers since 1970-01-01: wall-clock arithmetic that no time zone can upset. */

const DAY = 86_400_000;

export const dayNumber = (year: number, month: number, day: number): number =>
  Math.floor(Date.UTC(year, month - 1, day) / DAY);

export interface CivilDate {
  year: number;
  month: number;
  day: number;
}

export function civil(days: number): CivilDate {
  const date = new Date(days * DAY);
  return { year: date.getUTCFullYear(), month: date.getUTCMonth() + 1, day: date.getUTCDate() };
}

/** 1 Monday to 7 Sunday. */
export const weekdayOf = (days: number): number => ((((days + 3) % 7) + 7) % 7) + 1;

export const daysInMonth = (year: number, month: number): number =>
  dayNumber(year, month + 1, 1) - dayNumber(year, month, 1);

export const isDate = (year: number, month: number, day: number): boolean =>
  month >= 1 && month <= 12 && day >= 1 && day <= daysInMonth(year, month);

const two = (n: number): string => (n < 10 ? `0${n}` : String(n));

/** "2027-01-15T09:00"; minutes may run beyond the day. */
export function stamp(days: number, minutes = 0): string {
  const carried = days + Math.floor(minutes / 1440);
  const rest = ((minutes % 1440) + 1440) % 1440;
  const { year, month, day } = civil(carried);
  return `${String(year).padStart(4, "0")}-${two(month)}-${two(day)}T${two(Math.floor(rest / 60))}:${two(rest % 60)}`;
}

/** A wall-clock moment: the day's number and the minute of that day. */
export interface Moment {
  day: number;
  minute: number;
}

/** Reads "2027-01-15T09:00[:SS]". */
export function moment(text: string): Moment {
  const year = Number(text.slice(0, 4));
  const month = Number(text.slice(5, 7));
  const day = Number(text.slice(8, 10));
  const hour = Number(text.slice(11, 13)) || 0;
  const minute = Number(text.slice(14, 16)) || 0;
  return { day: dayNumber(year, month, day), minute: hour * 60 + minute };
}

/** Western Easter Sunday (the anonymous Gregorian algorithm, Meeus/Jones/Butcher). */
export function easterSunday(year: number): number {
  const a = year % 19;
  const b = Math.floor(year / 100);
  const c = year % 100;
  const d = Math.floor(b / 4);
  const e = b % 4;
  const f = Math.floor((b + 8) / 25);
  const g = Math.floor((b - f + 1) / 3);
  const h = (19 * a + b - d - g + 15) % 30;
  const i = Math.floor(c / 4);
  const k = c % 4;
  const l = (32 + 2 * e + 2 * i - h - k) % 7;
  const m = Math.floor((a + 11 * h + 22 * l) / 451);
  const month = Math.floor((h + l - 7 * m + 114) / 31);
  const day = ((h + l - 7 * m + 114) % 31) + 1;
  return dayNumber(year, month, day);
}
