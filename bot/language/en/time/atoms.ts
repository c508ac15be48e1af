import type { DayExpr, Part, TimeExpr } from "../../calendar/expression.js";
import type { LocaleOptions, TimeMatch } from "../../language.js";
import type { Token } from "../../tokenise.js";
import { readAgo, readCountedLast } from "./ago.js";
import { readClock } from "./clock.js";
import { readDayThenMonth, readMonthFirst, readNumericDate } from "./dates.js";
import { readDayOfMonth } from "./day-of-month.js";
import { holidayMatch } from "./holidays.js";
import { readShifted } from "./shifted.js";
import { readEdge, readNth } from "./spans.js";
import { sureWeekday } from "./sure-weekday.js";
import { keyAt as key, readYear, type TimeWords } from "./words.js";

const ABOUT: ReadonlySet<string> = new Set(["about", "around", "roughly", "approximately"]);
const isAt = (word: string): boolean => word === "at" || word === "@";

/** Reads the parts of which a phrase of time is joined. */
export class AtomReader {
  readonly #words: TimeWords;

  constructor(words: TimeWords) {
    this.#words = words;
  }

  /** The part of a phrase of time at `at`: a day, an hour, a part of the day, a span; `sofar` is what stands before it. */
  read(
    tokens: readonly Token[],
    at: number,
    sofar: TimeExpr,
    options: LocaleOptions,
    ask: { part?: boolean; ranged?: boolean },
  ): TimeMatch | undefined {
    const token = tokens[at];
    if (!token) return undefined;
    const words = this.#words;
    const after = key(tokens, at - 1);
    const about = ABOUT.has(after);
    const bare = isAt(after) || (about && (isAt(key(tokens, at - 2)) || this.#anchored(tokens, at + 1)));
    const spanOfClocks = sofar.clock ? undefined : this.#clockPair(tokens, at, bare);
    if (spanOfClocks) return spanOfClocks;
    if (!sofar.day && !sofar.span) {
      const date = readNumericDate(words, tokens, at, options.monthFirst, ask.ranged);
      if (date) return dated(date);
    }
    if (!sofar.clock) {
      const clock = readClock(words, tokens, at, bare, Boolean(sofar.part ?? sofar.day));
      if (clock)
        return { end: clock.end, expr: { clock: clock.clock, ...(about && { about: true as const }) } };
    }
    if (
      token.key === "same" &&
      ["day", "time", "date", "morning", "afternoon", "evening"].includes(key(tokens, at + 1))
    ) {
      return { end: at + 2, expr: { same: true } };
    }
    if (
      key(tokens, at - 1) === "the" &&
      (token.key === "next" || token.key === "following") &&
      key(tokens, at + 1) === "day"
    )
      return { end: at + 2, expr: { later: 1 } };
    const simple = this.#wordAtom(tokens, at, sofar);
    if (simple) return simple;
    if (sofar.span) return undefined;
    const big = readEdge(words, tokens, at) ?? readNth(words, tokens, at) ?? readShifted(words, tokens, at);
    if (big && !(sofar.day && big.expr.day)) return big;
    if (sofar.day) return undefined;
    const ago = readAgo(words, tokens, at) ?? readCountedLast(words, tokens, at);
    if (ago) return ago;
    const date =
      readDayThenMonth(words, tokens, at) ??
      (this.#monthAllowed(tokens, at) ? readMonthFirst(words, tokens, at) : undefined);
    if (date) return dated(date);
    return readDayOfMonth(words, tokens, at);
  }

  /** "about 2 this afternoon": a bare number is an hour where the part of the day stands behind it. */
  #anchored(tokens: readonly Token[], at: number): boolean {
    const part = this.#words.find(tokens, at + 1, "part");
    return (key(tokens, at) === "this" && part !== undefined) || key(tokens, at) === "yesterday";
  }

  #clockPair(tokens: readonly Token[], at: number, bare: boolean): TimeMatch | undefined {
    const first = readClock(this.#words, tokens, at, true);
    const hyphen = first !== undefined && tokens[first.end]?.hyphen === true;
    if (!first || (!hyphen && !["-", "to", "–"].includes(key(tokens, first.end)))) return undefined;
    if (
      first.clock.loose ||
      (!bare && !first.clock.half && !first.clock.exact && tokens[at]?.kind !== "number")
    )
      return undefined;
    const second = readClock(this.#words, tokens, first.end + 1, true);
    if (!second || !(first.clock.half || second.clock.half || (first.clock.exact && second.clock.exact)))
      return undefined;
    return { end: second.end, expr: { clock: first.clock, clockTo: second.clock } };
  }

  /** "may", "march", "mar" are months only where the sentence makes them one. */
  #monthAllowed(tokens: readonly Token[], at: number): boolean {
    const word = key(tokens, at);
    if (word !== "may" && word !== "march" && word !== "mar") return true;
    const before = key(tokens, at - 1);
    const closed = tokens[at + 1] === undefined || tokens[at + 1]?.kind === "mark";
    if (
      ["this", "next", "on", "by", "to", "from", "for"].includes(before) &&
      !closed &&
      tokens[at + 1]?.kind !== "number"
    )
      return false;
    if (
      [
        "in",
        "since",
        "last",
        "of",
        "until",
        "till",
        "during",
        "by",
        "from",
        "to",
        "early",
        "late",
        "mid",
        "on",
        "this",
        "next",
        "through",
        "for",
      ].includes(before)
    ) {
      return true;
    }
    const next = tokens[at + 1];
    return (
      next?.kind === "number" ||
      (next !== undefined && this.#words.ordinal(tokens, at + 1) !== undefined) ||
      next?.text === "/" ||
      (word === "may" && this.#words.count(tokens, at + 1) !== undefined)
    );
  }

  #wordAtom(tokens: readonly Token[], at: number, sofar: TimeExpr): TimeMatch | undefined {
    const words = this.#words;
    const before = key(tokens, at - 1);
    const tonight = words.find(tokens, at, "tonight");
    if (tonight) return { end: tonight.end, expr: { part: "night", near: "next" } };
    if (!sofar.day) {
      const day = words.find(tokens, at, "day");
      if (day) return { end: day.end, expr: { day: { kind: "offset", days: Number(day.value) } } };
      const holiday = words.find(tokens, at, "holiday");
      if (holiday) return holidayMatch(holiday, readYear(words, tokens, holiday.end));
      const weekday = words.find(tokens, at, "weekday");
      if (weekday && sureWeekday(tokens, at, weekday.end)) return this.#weekday(tokens, weekday);
    }
    const part = words.find(tokens, at, "part");
    if (part) {
      const word = key(tokens, at);
      const sure =
        labels(tokens, at, part.end) ||
        sofar.day !== undefined ||
        word.startsWith("over") ||
        word.startsWith("ovr") ||
        word === "all" ||
        (word === "the" && part.end > at + 1) ||
        ((before === "the" || before === "during" || before === "in") &&
          word !== "am" &&
          word !== "pm" &&
          part.end > at) ||
        (sofar.clock !== undefined && word !== "am" && word !== "pm");
      if (sure && !(word.startsWith("over") && sofar.part))
        return { end: part.end, expr: { part: part.value as Part } };
    }
    const weekend = words.find(tokens, at, "weekend");
    if (weekend && ["the", "over", "at", "on", "all", "this"].includes(before)) {
      return { end: weekend.end, expr: { span: { kind: "weekend", shift: undefined } } };
    }
    const season = words.find(tokens, at, "season");
    if (
      season &&
      ["in", "since", "during", "over", "until", "till", "the", "last", "for"].includes(before) &&
      words.begins(before) === true
    ) {
      return before === "since" || before === "until" || before === "till" || before === "last"
        ? { end: season.end, expr: { span: { kind: "season", season: season.value as "spring" } } }
        : undefined;
    }
    const year =
      (before === "in" || before === "since" || before === "of") && tokens[at]?.kind === "number"
        ? readYear(words, tokens, at)
        : undefined;
    if (year) return { end: year.end, expr: { span: { kind: "year", year: year.value } } };
    const now = words.find(tokens, at, "now");
    return now && !sofar.day && before !== "on" && before !== "off"
      ? { end: now.end, expr: { span: { kind: "ago", count: 0, unit: "minute" } } }
      : undefined;
  }

  /** "Tuesday", "Thu 14th", "Monday 21", "tues the 4th". */
  #weekday(tokens: readonly Token[], found: { end: number; value: string }): TimeMatch {
    const weekday = Number(found.value);
    const words = this.#words;
    if (key(tokens, found.end) === "of") {
      const week = readShifted(words, tokens, found.end + 1);
      if (week?.expr.span?.kind === "week")
        return { end: week.end, expr: { day: { kind: "weekday", weekday, week: week.expr.span.shift } } };
    }
    // "Friday week"
    if (key(tokens, found.end) === "week" && key(tokens, found.end + 1) !== "of")
      return {
        end: found.end + 1,
        expr: { day: { kind: "from", base: { kind: "weekday", weekday }, days: 7 } },
      };
    let at = found.end;
    if (tokens[at]?.text === "," || tokens[at]?.text === ".") at++;
    if (key(tokens, at) === "the") at++;
    const date = readDayThenMonth(words, tokens, at) ?? readMonthFirst(words, tokens, at);
    if (date?.day?.kind === "date") return { end: date.end, expr: { day: { ...date.day, weekday } } };
    // "on Monday, first of the season"
    const spelled = tokens[at]?.kind === "word" && at > found.end && key(tokens, at - 1) !== "the";
    const ordinal = spelled ? undefined : words.ordinal(tokens, at);
    const number = tokens[at];
    const next = tokens[at + 1];
    const plain =
      !ordinal &&
      at === found.end &&
      number?.kind === "number" &&
      Number.isInteger(number.value) &&
      number.value >= 13 &&
      number.value <= 31 &&
      (next === undefined || next.text === "!" || next.text === "?" || next.text === ",")
        ? { end: at + 1, value: number.value }
        : undefined;
    const day = ordinal ?? plain;
    if (day && day.value >= 1 && day.value <= 31)
      return { end: day.end, expr: { day: { kind: "day-of-month", day: day.value, weekday } } };
    return { end: found.end, expr: { day: { kind: "weekday", weekday } } };
  }
}

const dated = (date: { end: number; day?: DayExpr; span?: TimeExpr["span"] }): TimeMatch => ({
  end: date.end,
  expr: date.day ? { day: date.day } : { span: date.span as NonNullable<TimeExpr["span"]> },
});

/** "morning: 6 °C, evening: 9": the part of the day labels what stands behind its colon. */
const labels = (tokens: readonly Token[], at: number, end: number): boolean =>
  tokens[end]?.text === ":" && (at === 0 || tokens[at - 1]?.kind === "mark");
