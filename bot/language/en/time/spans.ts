import type { DayExpr, SpanExpr } from "../../calendar/expression.js";
import type { TimeMatch } from "../../language.js";
import type { Token } from "../../tokenise.js";
import { readMonthFirst } from "./dates.js";
import { readShifted } from "./shifted.js";
import { keyAt as key, readYear, type TimeWords } from "./words.js";

const EDGE: Record<string, "start" | "end" | "middle"> = {
  beginning: "start",
  start: "start",
  early: "start",
  end: "end",
  late: "end",
  middle: "middle",
  mid: "middle",
};

/** "beginning of last week", "end of March", "the beginning of the year", "mid July". */
export function readEdge(words: TimeWords, tokens: readonly Token[], from: number): TimeMatch | undefined {
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
export function readNth(words: TimeWords, tokens: readonly Token[], from: number): TimeMatch | undefined {
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
