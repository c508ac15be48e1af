import type { When } from "../interpretation.js";
import { civil, dayNumber, daysInMonth, type Moment, stamp, weekdayOf } from "./civil.js";
import type { SpanExpr } from "./expression.js";
import { days, HOUR, night, type SettleOptions } from "./range.js";

const SEASON_MONTH = { spring: 3, summer: 6, autumn: 9, winter: 12 } as const;
const mondayOf = (day: number): number => day - weekdayOf(day) + 1;
const monthStart = (year: number, month: number): number => dayNumber(year, month, 1);

function third(from: number, to: number, part: "start" | "end" | "middle"): readonly [number, number] {
  const size = Math.ceil((to - from) / 3);
  if (part === "start") return [from, from + size];
  if (part === "end") return [to - size, to];
  return [from + size, to - size];
}
const cut = (from: number, to: number, grain: When["grain"], part?: "start" | "end" | "middle"): When => {
  if (!part) return days(from, to, grain);
  const [start, end] = third(from, to, part);
  return days(start, end);
};

/** The range of days, or hours, that a span means. */
export function settleSpan(span: SpanExpr, now: Moment, options: SettleOptions): When | undefined {
  const today = civil(now.day);
  switch (span.kind) {
    case "week": {
      const monday = mondayOf(now.day) + 7 * span.shift;
      return cut(monday, monday + 7, "week", span.part);
    }
    case "weekend": {
      const saturday = mondayOf(now.day) + 5;
      if (span.shift !== undefined && span.shift > 0) return days(saturday + 7, saturday + 9);
      const begun = now.day >= saturday;
      if (span.shift === -2) return days(saturday - 14, saturday - 12);
      if (span.shift === -1 || (options.mode === "past" && !begun)) return days(saturday - 7, saturday - 5);
      return days(saturday, saturday + 2);
    }
    case "month": {
      let year = span.year;
      if (year === undefined) {
        year = today.year;
        if (span.shift === -1) year -= span.month < today.month ? 0 : 1;
        else if (span.shift === 1) year += span.month > today.month ? 0 : 1;
        else if (options.mode === "past" && span.month > today.month) year -= 1;
        else if (options.mode === "future" && span.month < today.month) year += 1;
      }
      return cut(monthStart(year, span.month), monthStart(year, span.month + 1), "month", span.part);
    }
    case "month-shift": {
      const month = today.month + span.shift;
      return cut(monthStart(today.year, month), monthStart(today.year, month + 1), "month", span.part);
    }
    case "year": {
      const year = span.year ?? today.year + (span.shift ?? 0);
      return cut(monthStart(year, 1), monthStart(year + 1, 1), "month", span.part);
    }
    case "season":
      return settleSeason(span, now, options);
    case "last":
      return settleLast(span.count, span.unit, now);
    case "nth-week": {
      const year = span.year ?? civil(now.day).year;
      const month = span.month ?? (span.monthShift === undefined ? 1 : today.month + span.monthShift);
      let first = monthStart(year, month);
      if (span.year === undefined && span.month !== undefined && options.mode === "past" && first > now.day) {
        first = monthStart(year - 1, month);
      }
      // ISO 8601: a week belongs to the period that holds its Thursday.
      const start = weekdayOf(first) <= 4 ? mondayOf(first) : mondayOf(first) + 7;
      if (span.nth > 0) return days(start + 7 * (span.nth - 1), start + 7 * span.nth, "week");
      const civilFirst = civil(first);
      const end =
        span.month === undefined && span.monthShift === undefined
          ? monthStart(civilFirst.year + 1, 1)
          : monthStart(civilFirst.year, civilFirst.month + 1);
      const last = mondayOf(end - 1);
      return days(last, last + 7, "week");
    }
    case "ago":
      return settleAgo(span.ahead ? -span.count : span.count, span.unit, now);
  }
}

function settleSeason(
  span: Extract<SpanExpr, { kind: "season" }>,
  now: Moment,
  options: SettleOptions,
): When {
  const base = SEASON_MONTH[span.season];
  const month = options.south ? ((base + 5) % 12) + 1 : base;
  const today = civil(now.day);
  const start = (year: number): number => monthStart(year, month);
  let year = span.year ?? today.year;
  if (span.year === undefined) {
    if (span.shift === -1) {
      while (monthStart(year, month + 3) > now.day) year -= 1;
    } else if (span.shift === 1) {
      while (start(year) <= now.day) year += 1;
    } else if (options.mode === "past") {
      while (start(year) > now.day) year -= 1;
    } else while (monthStart(year, month + 3) <= now.day) year += 1;
  }
  return days(start(year), monthStart(year, month + 3), "month");
}

const shiftMonths = (day: number, months: number): number => {
  const { year, month, day: dom } = civil(day);
  const total = year * 12 + month - 1 + months;
  const y = Math.floor(total / 12);
  const m = (total % 12) + 1;
  return dayNumber(y, m, Math.min(dom, daysInMonth(y, m)));
};
const UNIT_DAYS: Partial<Record<string, number>> = { day: 1, night: 1, week: 7, fortnight: 14 };

function backBy(count: number, unit: string, now: Moment): number {
  const size = UNIT_DAYS[unit];
  if (size !== undefined) return now.day - Math.round(count * size);
  return shiftMonths(now.day, -Math.round(count * (unit === "year" ? 12 : 1)));
}

function settleLast(count: number, unit: string, now: Moment): When {
  const here = stamp(now.day, now.minute);
  if (unit === "hour" || unit === "minute") {
    const back = count * (unit === "hour" ? HOUR : 1);
    return { from: stamp(now.day, now.minute - back), to: here, grain: "hour" };
  }
  return { from: stamp(backBy(count, unit, now)), to: here, grain: "day" };
}

function settleAgo(count: number, unit: string, now: Moment): When {
  if (unit === "hour" || unit === "minute") {
    const at = stamp(now.day, now.minute - Math.round(count * (unit === "hour" ? HOUR : 1)));
    return { from: at, to: at, grain: "moment" };
  }
  const day = backBy(count, unit, now);
  return unit === "night" ? night(day) : days(day, day + 1);
}
