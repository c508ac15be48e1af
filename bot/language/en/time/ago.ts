import type { DayExpr, TimeUnit } from "../../calendar/expression.js";
import type { TimeMatch } from "../../language.js";
import type { Token } from "../../tokenise.js";
import { readMonthFirst } from "./dates.js";
import { keyAt as key, type TimeWords } from "./words.js";

/** "3 days ago", "a fortnight ago", "half an hour ago", "two days before yesterday", "in 3 days", "2 thursdays back". */
export function readAgo(words: TimeWords, tokens: readonly Token[], from: number): TimeMatch | undefined {
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
  const weeks = name === "week" ? 7 : name === "fortnight" ? 14 : 0;
  const on = key(tokens, unit.end) === "on" ? unit.end + 1 : unit.end;
  const base = weeks > 0 ? readAnyDay(words, tokens, on) : undefined;
  // "a week on Friday", "a fortnight today"; "a week yesterday" lies behind.
  if (base) {
    const behind = base.day.kind === "offset" && base.day.days < 0;
    const days = weeks * amount.value * (behind ? -1 : 1);
    return { end: base.end, expr: { day: { kind: "from", base: base.day, days } } };
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
/** "a couple of", "few", behind their article. */
export function fewWords(tokens: readonly Token[], at: number): { end: number; value: number } | undefined {
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
): TimeMatch | undefined {
  const count = words.count(tokens, from);
  if (!count || !words.find(tokens, count.end, "last") || key(tokens, count.end) === "the") return undefined;
  const unit = words.find(tokens, count.end + 1, "unit");
  return unit && key(tokens, count.end + 1).endsWith("s")
    ? { end: unit.end, expr: { span: { kind: "last", count: count.value, unit: unit.value as TimeUnit } } }
    : undefined;
}
