import type { DayExpr, Part, SpanExpr, TimeExpr, TimeUnit } from "../../calendar/expression.js";
import type { Token } from "../../tokenise.js";
import { readMonthFirst } from "./dates.js";
import { keyAt as key, readYear, type TimeWords } from "./words.js";

export interface AtomMatch {
  end: number;
  expr: TimeExpr;
}

const EDGE: Record<string, "start" | "end" | "middle"> = {
  beginning: "start",
  start: "start",
  early: "start",
  end: "end",
  late: "end",
  middle: "middle",
  mid: "middle",
};

function shiftWord(
  words: TimeWords,
  tokens: readonly Token[],
  at: number,
): { end: number; shift: -1 | 0 | 1 } | undefined {
  const start = key(tokens, at) === "the" ? at + 1 : at;
  for (const cls of ["last", "this", "next"] as const) {
    const found = words.find(tokens, start, cls);
    if (found && (key(tokens, start) !== "prior" || true)) {
      // "this past Wednesday", "this coming weekend"
      const again =
        cls === "this"
          ? (words.find(tokens, found.end, "last") ?? words.find(tokens, found.end, "next"))
          : undefined;
      if (again) return { end: again.end, shift: Number(again.value) as -1 | 1 };
      return { end: found.end, shift: Number(found.value) as -1 | 0 | 1 };
    }
  }
  return undefined;
}

/** "this week", "last night", "next Friday", "this past weekend", "last June", "the past 3 days". */
export function readShifted(words: TimeWords, tokens: readonly Token[], from: number): AtomMatch | undefined {
  const before = readBeforeLast(words, tokens, from);
  if (before) return before;
  const lateness = EDGE[key(tokens, from)] === "end" && key(tokens, from) === "late" ? from + 1 : from;
  const found = shiftWord(words, tokens, lateness);
  if (!found) return undefined;
  const { shift } = found;
  const at = found.end;
  const counted = shift !== 0 ? words.count(tokens, at) : undefined;
  const few = counted ?? (shift !== 0 ? fewWords(tokens, at) : undefined);
  if (few) {
    const next = key(tokens, few.end) === "past" || key(tokens, few.end) === "last" ? few.end + 1 : few.end;
    const unit = words.find(tokens, next, "unit");
    if (unit && shift === -1)
      return {
        end: unit.end,
        expr: { span: { kind: "last", count: few.value, unit: unit.value as TimeUnit } },
      };
    if (unit && shift === 1)
      return {
        end: unit.end,
        expr: { span: { kind: "ago", count: few.value, unit: unit.value as TimeUnit, ahead: true } },
      };
    return undefined;
  }
  const weekday = words.find(tokens, at, "weekday");
  if (weekday) {
    if (shift === 0 && key(tokens, lateness) !== "this") return undefined;
    return { end: weekday.end, expr: { day: { kind: "weekday", weekday: Number(weekday.value), shift } } };
  }
  const weekend = words.find(tokens, at, "weekend");
  if (weekend) return { end: weekend.end, expr: { span: { kind: "weekend", shift } } };
  const part = words.find(tokens, at, "part");
  const halves = key(tokens, at) === "am" || key(tokens, at) === "pm";
  if (part && key(tokens, at) !== "overnight" && (!halves || shift === 0)) {
    if (
      shift === 0 &&
      !["this", "ths", "dis"].includes(key(tokens, part.end - 2)) &&
      key(tokens, lateness) !== "this"
    )
      return undefined;
    return {
      end: part.end,
      expr: { part: part.value as Part, near: shift === -1 ? "last" : shift === 0 ? "this" : "next" },
    };
  }
  const season = words.find(tokens, at, "season");
  if (season)
    return { end: season.end, expr: { span: { kind: "season", season: season.value as "spring", shift } } };
  const month = words.find(tokens, at, "month");
  if (month && !(key(tokens, at) === "may" && shift === 0) && !(key(tokens, at) === "march" && shift === 0)) {
    return { end: month.end, expr: { span: { kind: "month", month: Number(month.value), shift } } };
  }
  const unit = words.find(tokens, at, "unit");
  if (!unit) return undefined;
  switch (unit.value) {
    case "week":
      return { end: unit.end, expr: { span: { kind: "week", shift } } };
    case "month":
      return { end: unit.end, expr: { span: { kind: "month-shift", shift } } };
    case "year":
      return { end: unit.end, expr: { span: { kind: "year", shift } } };
    case "fortnight":
      return shift === -1
        ? { end: unit.end, expr: { span: { kind: "last", count: 1, unit: "fortnight" } } }
        : undefined;
    case "hour":
    case "day":
      return shift === -1 && unit.value === "hour"
        ? { end: unit.end, expr: { span: { kind: "last", count: 1, unit: "hour" } } }
        : undefined;
    default:
      return undefined;
  }
}

/** "the week before last", "the weekend before last". */
function readBeforeLast(words: TimeWords, tokens: readonly Token[], from: number): AtomMatch | undefined {
  const at = key(tokens, from) === "the" ? from + 1 : from;
  const back = readWeekdayBack(words, tokens, at);
  if (back) return back;
  const weekend = words.find(tokens, at, "weekend");
  const unit = weekend ? undefined : words.find(tokens, at, "unit");
  const end = (weekend ?? unit)?.end;
  if (end === undefined || key(tokens, end) !== "before" || key(tokens, end + 1) !== "last") return undefined;
  if (weekend) return { end: end + 2, expr: { span: { kind: "weekend", shift: -2 } } };
  if (unit?.value === "week") return { end: end + 2, expr: { span: { kind: "week", shift: -2 } } };
  return unit?.value === "month"
    ? { end: end + 2, expr: { span: { kind: "month-shift", shift: -2 } } }
    : undefined;
}

/** "the Sunday before last", "a week last Sunday", "a week ago on Tuesday", "Tuesday week ago": one week further back. */
function readWeekdayBack(words: TimeWords, tokens: readonly Token[], at: number): AtomMatch | undefined {
  const back = (weekday: string, end: number): AtomMatch => ({
    end,
    expr: { day: { kind: "weekday", weekday: Number(weekday), shift: -1, back: 2 } },
  });
  const first = words.find(tokens, at, "weekday");
  if (first) {
    const [one, two] = [key(tokens, first.end), key(tokens, first.end + 1)];
    const twice = (one === "before" && two === "last") || (one === "week" && two === "ago");
    return twice ? back(first.value, first.end + 2) : undefined;
  }
  if (key(tokens, at) !== "a" || key(tokens, at + 1) !== "week") return undefined;
  let next = at + 2;
  const word = key(tokens, next);
  if (word !== "last" && word !== "ago" && word !== "past") return undefined;
  next++;
  while (["on", "last", "this", "past"].includes(key(tokens, next))) next++;
  const weekday = words.find(tokens, next, "weekday");
  return weekday && back(weekday.value, weekday.end);
}

function fewWords(tokens: readonly Token[], at: number): { end: number; value: number } | undefined {
  const word = key(tokens, at);
  if (word === "couple") return { end: key(tokens, at + 1) === "of" ? at + 2 : at + 1, value: 2 };
  if (word === "few") return { end: at + 1, value: 3 };
  return undefined;
}

/** "the 5 past years" and the like, which have the number first. */
export function readCountedLast(
  words: TimeWords,
  tokens: readonly Token[],
  from: number,
): AtomMatch | undefined {
  const count = words.count(tokens, from);
  if (!count || !words.find(tokens, count.end, "last") || key(tokens, count.end) === "the") return undefined;
  const unit = words.find(tokens, count.end + 1, "unit");
  return unit && key(tokens, count.end + 1).endsWith("s")
    ? { end: unit.end, expr: { span: { kind: "last", count: count.value, unit: unit.value as TimeUnit } } }
    : undefined;
}

/** "beginning of last week", "end of March", "the beginning of the year", "mid July". */
export function readEdge(words: TimeWords, tokens: readonly Token[], from: number): AtomMatch | undefined {
  const at = key(tokens, from) === "the" ? from + 1 : from;
  const part = EDGE[key(tokens, at)];
  if (!part) return undefined;
  let next = at + 1;
  const of = key(tokens, next) === "of";
  if (of) next++;
  const the = key(tokens, next) === "the";
  if (the) next++;
  const shifted = readShifted(words, tokens, next);
  const span = shifted?.expr.span;
  if (
    shifted &&
    span &&
    (span.kind === "week" || span.kind === "month" || span.kind === "month-shift" || span.kind === "year")
  ) {
    return { end: shifted.end, expr: { span: { ...span, part } } };
  }
  const month = readMonthFirst(words, tokens, next);
  if (month?.span?.kind === "month" && (of || part !== "end"))
    return { end: month.end, expr: { span: { ...month.span, part } } };
  const year = of ? readYear(words, tokens, next) : undefined;
  if (year) return { end: year.end, expr: { span: { kind: "year", year: year.value, part } } };
  const unit = of ? words.find(tokens, next, "unit") : undefined;
  if (unit?.value === "week") return { end: unit.end, expr: { span: { kind: "week", shift: 0, part } } };
  if (unit?.value === "month")
    return { end: unit.end, expr: { span: { kind: "month-shift", shift: 0, part } } };
  if (unit?.value === "year") return { end: unit.end, expr: { span: { kind: "year", shift: 0, part } } };
  return undefined;
}

function nth(
  words: TimeWords,
  tokens: readonly Token[],
  at: number,
): { end: number; value: number } | undefined {
  if (key(tokens, at) === "last") return { end: at + 1, value: -1 };
  return words.ordinal(tokens, at);
}

/** "first Wednesday of October 2014", "last week of December", "last day of October", "tuesday of last week". */
export function readNth(words: TimeWords, tokens: readonly Token[], from: number): AtomMatch | undefined {
  const weekdayFirst = words.find(tokens, from, "weekday");
  if (weekdayFirst && key(tokens, weekdayFirst.end) === "of") {
    const week = readShifted(words, tokens, weekdayFirst.end + 1);
    if (week?.expr.span?.kind === "week") {
      return {
        end: week.end,
        expr: { day: { kind: "weekday", weekday: Number(weekdayFirst.value), week: week.expr.span.shift } },
      };
    }
  }
  const start = key(tokens, from) === "the" ? from + 1 : from;
  const which = nth(words, tokens, start);
  if (!which) return undefined;
  const weekday = words.find(tokens, which.end, "weekday");
  const unit = weekday ? undefined : words.find(tokens, which.end, "unit");
  if (!weekday && unit?.value !== "week" && unit?.value !== "day") return undefined;
  let at = (weekday ?? unit)?.end as number;
  if (key(tokens, at) !== "of" && key(tokens, at) !== "in" && key(tokens, at) !== "after") return undefined;
  if (key(tokens, at) === "after") return undefined;
  at++;
  const span = spanAfterOf(words, tokens, at);
  if (!span) return undefined;
  if (weekday) {
    if (span.value.kind === "year") return undefined;
    const place =
      span.value.kind === "month"
        ? { month: span.value.month, ...(span.value.year !== undefined && { year: span.value.year }) }
        : { monthShift: span.value.kind === "month-shift" ? span.value.shift : 0 };
    return {
      end: span.end,
      expr: { day: { kind: "nth-weekday", nth: which.value, weekday: Number(weekday.value), ...place } },
    };
  }
  if (unit?.value === "day") {
    if (span.value.kind !== "month" || which.value > 0) return undefined;
    const { month, year } = span.value;
    const next = month === 12 ? 1 : month + 1;
    const base: DayExpr = {
      kind: "date",
      month: next,
      day: 1,
      ...(year !== undefined && { year: month === 12 ? year + 1 : year }),
    };
    return { end: span.end, expr: { day: { kind: "from", base, days: -1 } } };
  }
  const place =
    span.value.kind === "month"
      ? { month: span.value.month, ...(span.value.year !== undefined && { year: span.value.year }) }
      : span.value.kind === "year"
        ? { year: span.value.year as number }
        : { monthShift: span.value.kind === "month-shift" ? span.value.shift : 0 };
  return { end: span.end, expr: { span: { kind: "nth-week", nth: which.value, ...place } } };
}

function spanAfterOf(
  words: TimeWords,
  tokens: readonly Token[],
  at: number,
): { end: number; value: SpanExpr } | undefined {
  const shifted = readShifted(words, tokens, at);
  if (shifted?.expr.span?.kind === "month-shift") return { end: shifted.end, value: shifted.expr.span };
  const start = key(tokens, at) === "the" ? at + 1 : at;
  if (key(tokens, start) === "month") return { end: start + 1, value: { kind: "month-shift", shift: 0 } };
  const month = readMonthFirst(words, tokens, start);
  if (month?.span?.kind === "month") return { end: month.end, value: month.span };
  const year = readYear(words, tokens, start);
  return year ? { end: year.end, value: { kind: "year", year: year.value } } : undefined;
}

/** "3 days ago", "a fortnight ago", "half an hour ago", "two days before yesterday", "in 3 days", "2 thursdays back". */
export function readAgo(words: TimeWords, tokens: readonly Token[], from: number): AtomMatch | undefined {
  const ahead = key(tokens, from) === "in" || key(tokens, from) === "within";
  const start = ahead ? from + 1 : from;
  const amount = amountOf(words, tokens, start);
  if (!amount) return undefined;
  const weekday = words.find(tokens, amount.end, "weekday");
  if (weekday && !ahead) {
    if (key(tokens, weekday.end) !== "ago" && key(tokens, weekday.end) !== "back") return undefined;
    return {
      end: weekday.end + 1,
      expr: { day: { kind: "weekday", weekday: Number(weekday.value), shift: -1, back: amount.value } },
    };
  }
  const unit = words.find(tokens, amount.end, "unit");
  if (!unit) return undefined;
  const name = unit.value as TimeUnit;
  if (ahead) {
    const time = key(tokens, unit.end) === "time" ? unit.end + 1 : unit.end;
    return { end: time, expr: { span: { kind: "ago", count: amount.value, unit: name, ahead: true } } };
  }
  if (
    key(tokens, unit.end) === "from" &&
    (key(tokens, unit.end + 1) === "now" || key(tokens, unit.end + 1) === "today")
  ) {
    return {
      end: unit.end + 2,
      expr: { span: { kind: "ago", count: amount.value, unit: name, ahead: true } },
    };
  }
  if (key(tokens, unit.end) === "before" && (name === "day" || name === "week" || name === "fortnight")) {
    const base = readAnyDay(words, tokens, unit.end + 1);
    if (base) {
      const size = name === "day" ? 1 : name === "week" ? 7 : 14;
      return { end: base.end, expr: { day: { kind: "from", base: base.day, days: -size * amount.value } } };
    }
  }
  if (!["ago", "back", "earlier"].includes(key(tokens, unit.end))) return undefined;
  if (name === "day" || name === "week" || name === "fortnight") {
    const size = name === "day" ? 1 : name === "week" ? 7 : 14;
    return { end: unit.end + 1, expr: { day: { kind: "offset", days: -Math.round(size * amount.value) } } };
  }
  return { end: unit.end + 1, expr: { span: { kind: "ago", count: amount.value, unit: name } } };
}

function amountOf(
  words: TimeWords,
  tokens: readonly Token[],
  from: number,
): { end: number; value: number } | undefined {
  let at = from;
  const word = key(tokens, at);
  if (word === "a" || word === "an") {
    const more = fewWords(tokens, at + 1);
    if (more) return more;
    return { end: at + 1, value: 1 };
  }
  if (word === "about" || word === "around") at++;
  if (word === "half")
    return { end: key(tokens, at + 1) === "an" || key(tokens, at + 1) === "a" ? at + 2 : at + 1, value: 0.5 };
  if (word === "few" || word === "couple") return fewWords(tokens, at);
  const count = words.count(tokens, at);
  if (!count) return undefined;
  if (
    key(tokens, count.end) === "and" &&
    key(tokens, count.end + 1) === "a" &&
    key(tokens, count.end + 2) === "half"
  ) {
    return { end: count.end + 3, value: count.value + 0.5 };
  }
  return count;
}

function readAnyDay(
  words: TimeWords,
  tokens: readonly Token[],
  at: number,
): { end: number; day: DayExpr } | undefined {
  const offset = words.find(tokens, at, "day");
  if (offset) return { end: offset.end, day: { kind: "offset", days: Number(offset.value) } };
  const weekday = words.find(tokens, at, "weekday");
  if (weekday) return { end: weekday.end, day: { kind: "weekday", weekday: Number(weekday.value) } };
  const date = readMonthFirst(words, tokens, at);
  return date?.day ? { end: date.end, day: date.day } : undefined;
}
