import type { When } from "../interpretation.js";
import { type Moment, stamp } from "./civil.js";
import { settleDay } from "./day.js";
import type { Clock, Part, TimeExpr } from "./expression.js";
import { days, HOUR, NIGHT_FROM, night, type SettleOptions } from "./range.js";
import { settleSpan } from "./span.js";

/** Of the hours that may be meant by day or by night, those up to this one are meant by day: nobody waters at four. */
const LAST_SLEEPING = 5;
const PARTS: Record<Exclude<Part, "night">, readonly [from: number, to: number]> = {
  morning: [6, 12],
  afternoon: [12, 18],
  evening: [18, 24],
};
const DAWN = 4 * HOUR;

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
