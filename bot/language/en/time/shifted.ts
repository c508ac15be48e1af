import type { Part, TimeUnit } from "../../calendar/expression.js";
import type { TimeMatch } from "../../language.js";
import type { Token } from "../../tokenise.js";
import { fewWords } from "./ago.js";
import { keyAt as key, type TimeWords } from "./words.js";

function shiftWord(
  words: TimeWords,
  tokens: readonly Token[],
  at: number,
): { end: number; shift: -1 | 0 | 1 } | undefined {
  const start = key(tokens, at) === "the" ? at + 1 : at;
  for (const cls of ["last", "this", "next"] as const) {
    const found = words.find(tokens, start, cls);
    if (found) {
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
export function readShifted(words: TimeWords, tokens: readonly Token[], from: number): TimeMatch | undefined {
  const before = readBeforeLast(words, tokens, from);
  if (before) return before;
  const lateness = key(tokens, from) === "late" ? from + 1 : from;
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
function readBeforeLast(words: TimeWords, tokens: readonly Token[], from: number): TimeMatch | undefined {
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
function readWeekdayBack(words: TimeWords, tokens: readonly Token[], at: number): TimeMatch | undefined {
  const back = (weekday: string, end: number): TimeMatch => ({
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
