import type { When } from "../interpretation.js";
import { civil, dayNumber, daysInMonth, type Moment, stamp, weekdayOf } from "./civil.js";
import { settleDay } from "./day.js";
import type { Clock, Part, SpanExpr, TimeExpr } from "./expression.js";

export interface SettleOptions {
  /** A log looks back, a plan ahead. */
  mode: "past" | "future";
  /** Only mentioned, not told as done: "this afternoon" is today's, begun or not. */
  mentioned?: true;
  /** Seasons turn by half a year. */
  south?: boolean;
}

const HOUR = 60;
/** Of the hours that may be meant by day or by night, those up to this one are meant by day: nobody waters at four. */
const LAST_SLEEPING = 5;
const PARTS: Record<Exclude<Part, "night">, readonly [from: number, to: number]> = {
  morning: [6, 12],
  afternoon: [12, 18],
  evening: [18, 24],
};
const NIGHT_FROM = 18 * HOUR;
const NIGHT_TO = 8 * HOUR;
const DAWN = 4 * HOUR;

const days = (from: number, to: number, grain: When["grain"] = "day"): When => ({
  from: stamp(from),
  to: stamp(to),
  grain,
});
const night = (evening: number): When => ({
  from: stamp(evening, NIGHT_FROM),
  to: stamp(evening + 1, NIGHT_TO),
  grain: "night",
});

/**
 * The range of local time that an expression means.
 * @param now wall-clock moment of writing
 * @returns undefined where no such time exists
 */
export function settle(expr: TimeExpr, now: Moment, options: SettleOptions): When | undefined {
  if (expr.open) return settleOpen(expr, now, options);
  if (expr.to) return settleRange(expr, expr.to, now, options);
  if (expr.span) return settleSpan(expr.span, now, options);
  return settleMoment(expr, now, options);
}

function settleOpen(expr: TimeExpr, now: Moment, options: SettleOptions): When | undefined {
  const { open, ...inner } = expr;
  const edge = settle(
    inner,
    now,
    open === "until" || open === "before" ? { ...options, mode: "future" } : options,
  );
  if (!edge) return undefined;
  const here = stamp(now.day, now.minute);
  if (open === "since") return { from: edge.from, to: here > edge.from ? here : edge.to, grain: "day" };
  // biome-ignore lint/complexity/useMathMinMax: these are strings, which sort as times
  if (open === "after") return { from: edge.to, to: here > edge.to ? here : edge.to, grain: "day" };
  return { from: here, to: edge.from > here ? edge.from : edge.to, grain: "day" };
}

function settleRange(expr: TimeExpr, until: TimeExpr, now: Moment, options: SettleOptions): When | undefined {
  const { to: _, ...first } = expr;
  if (options.mode === "future") {
    const from = settle(first, now, options);
    if (!from) return undefined;
    const day = Math.floor(Date.parse(`${from.from}Z`) / 86_400_000);
    const to = settle(until, { day: day - 1, minute: 0 }, options);
    return to && to.to > from.from ? { from: from.from, to: to.to, grain: from.grain } : undefined;
  }
  const to = settle(until, now, options);
  if (!to) return undefined;
  const day = Math.floor(Date.parse(`${to.from}Z`) / 86_400_000);
  const from = settle(first, { day, minute: now.minute }, options);
  return from && from.from <= to.to ? { from: from.from, to: to.to, grain: coarser(from, to) } : undefined;
}

const coarser = (a: When, b: When): When["grain"] => (a.grain === b.grain ? a.grain : "day");

function settleMoment(expr: TimeExpr, now: Moment, options: SettleOptions): When | undefined {
  let day: number | undefined = expr.day ? settleDay(expr.day, now.day, options.mode) : undefined;
  if (expr.day && day === undefined) return undefined;
  if (expr.near === "last" && expr.part && expr.part !== "night" && day === undefined) day = now.day - 1;
  if (expr.clock) return settleClock(expr.clock, expr, day, now, options);
  if (expr.part) return settlePart(expr.part, expr, day, now, options);
  if (day === undefined) return undefined;
  return days(day, day + 1);
}

/** The evening on which the meant night begins. */
function eveningOf(expr: TimeExpr, day: number | undefined, now: Moment, options: SettleOptions): number {
  if (day !== undefined) return day;
  if (expr.near === "next" || (expr.near === "this" && options.mode === "future")) {
    return now.minute < 4 * HOUR ? now.day - 1 : now.day;
  }
  if (expr.near === "this" && now.minute >= NIGHT_FROM) return now.day;
  if (options.mode === "future" && !expr.near) return now.day;
  return now.day - 1;
}

function settlePart(
  part: Part,
  expr: TimeExpr,
  day: number | undefined,
  now: Moment,
  options: SettleOptions,
): When {
  const starts = part === "night" ? NIGHT_FROM : PARTS[part][0] * HOUR;
  if (toCome(expr, day, starts, now, options)) return settlePart(part, expr, now.day - 7, now, options);
  if (part === "night") return night(eveningOf(expr, day, now, options));
  const [from, to] = PARTS[part];
  let on = day;
  if (on === undefined) {
    on = now.day;
    const begun = now.minute >= from * HOUR;
    if (options.mode === "past" && !begun && !todays(expr, options) && !dawns(part, expr, now)) on -= 1;
    if (options.mode === "future" && now.minute >= to * HOUR) on += 1;
    if (options.mode === "future" && begun && expr.near !== "this") on = now.day + 1;
  }
  return { from: stamp(on, from * HOUR), to: stamp(on, to * HOUR), grain: "part" };
}

/** "frost damage from Sunday night", said on Sunday at noon: last week's. */
const toCome = (
  { day: said }: TimeExpr,
  day: number | undefined,
  starts: number,
  now: Moment,
  options: SettleOptions,
): boolean =>
  options.mode === "past" &&
  !options.mentioned &&
  said?.kind === "weekday" &&
  said.shift === undefined &&
  day === now.day &&
  starts > now.minute;

const todays = (expr: TimeExpr, { mentioned }: SettleOptions): boolean =>
  mentioned === true && expr.near === "this";

/** "this morning", written at five: the morning that is about to begin; at midnight it is the one that was. */
const dawns = (part: Part, expr: TimeExpr, now: Moment): boolean =>
  part === "morning" && expr.near === "this" && now.minute >= DAWN;

const hourOf = (clock: Clock, part: Part | undefined): number => {
  if (clock.half === "am") return clock.hour % 12;
  if (clock.half === "pm") return (clock.hour % 12) + 12;
  if (clock.hour < 1 || clock.hour >= 12) return clock.hour;
  if (part === "afternoon" || part === "evening") return clock.hour + 12;
  if (part === "night" && clock.hour >= 6) return clock.hour + 12;
  return clock.hour;
};

function settleClock(
  clock: Clock,
  expr: TimeExpr,
  day: number | undefined,
  now: Moment,
  options: SettleOptions,
): When {
  let hour = hourOf(clock, expr.part);
  const minute = clock.minute;
  let on: number;
  const waking = !clock.half && !expr.part && !expr.clockTo && hour >= 1 && hour <= LAST_SLEEPING;
  if (expr.part === "night") {
    const evening = eveningOf(expr, day, now, options);
    on = hour < 12 ? evening + 1 : evening;
    if (clock.half === "am" && day !== undefined && !expr.near) on = day;
  } else if (day !== undefined) {
    on = day;
    const begun = (hour + 12) * HOUR + minute <= now.minute;
    if (waking && (options.mode === "future" || day < now.day || begun)) hour += 12;
  } else {
    on = now.day;
    // "between 2 and 4 am": both are of the morning.
    const shared = expr.clockTo?.half === "am" && clock.hour < expr.clockTo.hour;
    const open =
      !clock.half &&
      !shared &&
      (!clock.exact || clock.loose || waking) &&
      !expr.part &&
      hour >= 1 &&
      hour < 12;
    if (open && options.mode === "past" && (hour + 12) * HOUR <= now.minute) hour += 12;
    const at = hour * HOUR + minute;
    if (options.mode === "past" && at > now.minute && !todays(expr, options)) on -= 1;
    if (options.mode === "future" && at <= now.minute) on += 1;
  }
  const from = hour * HOUR + minute;
  if (expr.clockTo) {
    let until = hourOf(expr.clockTo, expr.part);
    if (!expr.clockTo.half && until <= hour && until < 12) until += 12;
    const end = until * HOUR + expr.clockTo.minute;
    if (!clock.half && expr.clockTo.half === "pm" && hour < 12 && until > 12 && hour + 12 <= until) {
      return { from: stamp(on, from + 720), to: stamp(on, end), grain: "hour" };
    }
    return { from: stamp(on, from), to: stamp(on, end < from ? end + 1440 : end), grain: "hour" };
  }
  if (clock.exact) return { from: stamp(on, from), to: stamp(on, from), grain: "moment" };
  return { from: stamp(on, from), to: stamp(on, from + HOUR), grain: "hour" };
}

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

function settleSpan(span: SpanExpr, now: Moment, options: SettleOptions): When | undefined {
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
