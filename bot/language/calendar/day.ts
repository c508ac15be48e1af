import { civil, dayNumber, daysInMonth, easterSunday, isDate, weekdayOf } from "./civil.js";
import type { DayExpr } from "./expression.js";

/**
 * The day that an expression means, as a day number; undefined where there is none (31 June).
 * @param today day number of the day of writing
 */
export function settleDay(expr: DayExpr, today: number, mode: "past" | "future"): number | undefined {
  switch (expr.kind) {
    case "offset":
      return today + expr.days;
    case "weekday":
      return settleWeekday(expr, today, mode);
    case "date":
      return settleDate(expr, today, mode);
    case "day-of-month":
      return settleDayOfMonth(expr, today, mode);
    case "easter": {
      const year = expr.year ?? civil(today).year;
      const day = easterSunday(year) + expr.days;
      if (expr.year !== undefined) return day;
      if (mode === "past" && day > today) return easterSunday(year - 1) + expr.days;
      if (mode === "future" && day < today) return easterSunday(year + 1) + expr.days;
      return day;
    }
    case "nth-weekday":
      return settleNth(expr, today, mode);
    case "from": {
      const base = settleDay(expr.base, today, mode);
      return base === undefined ? undefined : base + expr.days;
    }
  }
}

function settleWeekday(
  expr: Extract<DayExpr, { kind: "weekday" }>,
  today: number,
  mode: "past" | "future",
): number {
  const monday = today - weekdayOf(today) + 1;
  const inWeek = monday + expr.weekday - 1;
  if (expr.week !== undefined) return inWeek + 7 * expr.week;
  if (expr.shift === 1) return inWeek + 7;
  const back = expr.back ?? 1;
  if (expr.shift === -1) return (inWeek < today ? inWeek : inWeek - 7) - 7 * (back - 1);
  if (mode === "past") return (inWeek <= today ? inWeek : inWeek - 7) - 7 * (back - 1);
  return inWeek > today ? inWeek : inWeek + 7;
}

const MOST_YEARS = 40;

function settleDate(
  expr: Extract<DayExpr, { kind: "date" }>,
  today: number,
  mode: "past" | "future",
): number | undefined {
  const { month, day, weekday } = expr;
  if (expr.year !== undefined)
    return isDate(expr.year, month, day) ? dayNumber(expr.year, month, day) : undefined;
  const step = mode === "past" ? -1 : 1;
  let year = civil(today).year + (mode === "past" ? 1 : -1);
  for (let tries = 0; tries < MOST_YEARS; tries++, year += step) {
    if (!isDate(year, month, day)) continue;
    const found = dayNumber(year, month, day);
    if (mode === "past" ? found > today : found < today) continue;
    if (weekday === undefined || weekdayOf(found) === weekday) return found;
  }
  return undefined;
}

function settleDayOfMonth(
  expr: Extract<DayExpr, { kind: "day-of-month" }>,
  today: number,
  mode: "past" | "future",
): number | undefined {
  const now = civil(today);
  const step = mode === "past" ? -1 : 1;
  let month = now.year * 12 + now.month - 1 + (expr.month ?? 0);
  for (let tries = 0; tries < 120; tries++, month += step) {
    const y = Math.floor(month / 12);
    const m = (month % 12) + 1;
    if (expr.day > daysInMonth(y, m) || expr.day < 1) {
      if (expr.month !== undefined) return undefined;
      continue;
    }
    const found = dayNumber(y, m, expr.day);
    // "the first of the month", told ahead when it is past: of the next one.
    const rolls = expr.month === 0 && mode === "future" && found < today && tries === 0;
    if (expr.month !== undefined && !rolls) return found;
    if (mode === "past" ? found > today : found < today) continue;
    if (expr.weekday === undefined || weekdayOf(found) === expr.weekday) return found;
  }
  return undefined;
}

function settleNth(
  expr: Extract<DayExpr, { kind: "nth-weekday" }>,
  today: number,
  mode: "past" | "future",
): number {
  const now = civil(today);
  const month = expr.month ?? now.month + (expr.monthShift ?? 0);
  const at = (year: number): number => {
    if (expr.nth < 0) {
      const end = dayNumber(year, month + 1, 1) - 1;
      return end - ((weekdayOf(end) - expr.weekday + 7) % 7);
    }
    const first = dayNumber(year, month, 1);
    return first + ((expr.weekday - weekdayOf(first) + 7) % 7) + 7 * (expr.nth - 1);
  };
  let year = expr.year ?? now.year;
  if (expr.year === undefined && expr.month !== undefined) {
    if (mode === "past" && at(year) > today) year -= 1;
    if (mode === "future" && at(year) < today) year += 1;
  }
  return at(year);
}
