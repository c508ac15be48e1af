import type { DayExpr, Part, TimeExpr } from "../../calendar/expression.js";
import type { LocaleOptions, TimeMatch } from "../../language.js";
import type { Token } from "../../tokenise.js";
import { readClock } from "./clock.js";
import { readDayThenMonth, readMonthFirst, readNumericDate } from "./dates.js";
import { readWithChrono } from "./fallback.js";
import { type AtomMatch, readAgo, readCountedLast, readEdge, readNth, readShifted } from "./spans.js";
import { readYear, type TimeWords } from "./words.js";

const LEADS = new Set(
  "the at since between from in over during on until till after before by end start beginning mid middle early late a an half few couple earlier same that about around through all within every".split(
    " ",
  ),
);
const CONNECTORS = new Set([
  "at",
  "on",
  "in",
  "the",
  "of",
  "around",
  "about",
  "sometime",
  ",",
  "@",
  "during",
  "for",
  "by",
  "very",
  "early",
  "late",
]);

/** How many tokens before its first calendar word a phrase of time may begin. */
const REACH = 7;
const HOUR_LEADS = new Set([
  "at",
  "by",
  "until",
  "till",
  "since",
  "half",
  "about",
  "around",
  "before",
  "after",
  "past",
  "the",
]);
const BEFORE_NUMBER = new Set([
  "at",
  "@",
  "the",
  "on",
  "since",
  "until",
  "till",
  "between",
  "by",
  "from",
  "half",
  "past",
  "to",
  "and",
]);
const BEHIND_NUMBER = new Set([
  "st",
  "nd",
  "rd",
  "th",
  "am",
  "pm",
  "a",
  "p",
  "h",
  "hrs",
  "oclock",
  "o",
  "past",
  "to",
]);

/** Whether a number stands as one of a date or an hour does. */
function numberInTime(tokens: readonly Token[], at: number): boolean {
  const before = tokens[at - 1]?.key ?? "";
  if (BEFORE_NUMBER.has(before)) return true;
  const next = tokens[at + 1];
  if (!next) return (tokens[at] as Token).text.length === 8;
  if (BEHIND_NUMBER.has(next.key)) return true;
  if ((tokens[at] as Token).text.length === 8) return true;
  return (next.glued && "/:-.–".includes(next.text)) || next.hyphen;
}

const key = (tokens: readonly Token[], at: number): string => tokens[at]?.key ?? "";
const ABOUT: ReadonlySet<string> = new Set(["about", "around", "roughly", "approximately"]);
const isAt = (word: string): boolean => word === "at" || word === "@";

/** Reads phrases of time in English. */
export class TimeReader {
  readonly #words: TimeWords;

  constructor(words: TimeWords) {
    this.#words = words;
  }

  /** Marks the tokens from which a word of the calendar, or a number that can be one, is not far. */
  hints(tokens: readonly Token[]): Uint8Array {
    const hints = new Uint8Array(tokens.length);
    let next = Number.POSITIVE_INFINITY;
    for (let at = tokens.length - 1; at >= 0; at--) {
      if (this.#sure(tokens, at)) next = at;
      if (next - at > REACH) continue;
      const token = tokens[at] as Token;
      if (
        token.kind === "number" ||
        LEADS.has(token.key) ||
        this.#words.begins(token.key) ||
        this.#words.numbers.has(token.key)
      ) {
        hints[at] = 1;
      }
    }
    return hints;
  }

  /** Only a weekday, a month or a full year is worth asking the general reader of dates about. */
  #dated(token: Token): boolean {
    return token.kind === "number"
      ? token.text.length === 4
      : ["weekday", "month"].some((cls) => this.#words.alone(token.key, cls, 0));
  }

  #sure(tokens: readonly Token[], at: number): boolean {
    const token = tokens[at] as Token;
    if (token.kind === "number") return numberInTime(tokens, at);
    if (token.kind !== "word") return false;
    if (this.#words.sure(token.key)) return true;
    return this.#words.numbers.has(token.key) && HOUR_LEADS.has(tokens[at - 1]?.key ?? "");
  }

  /** The phrase of time that begins at `from`: "on Tuesday at 7", "since Christmas", "12th to 19th". */
  read(tokens: readonly Token[], from: number, options: LocaleOptions): TimeMatch | undefined {
    const first = tokens[from] as Token;
    if (
      first.kind !== "number" &&
      !LEADS.has(first.key) &&
      !this.#words.begins(first.key) &&
      !this.#words.numbers.has(first.key)
    ) {
      return undefined;
    }
    const found = this.#open(tokens, from, options) ?? this.#range(tokens, from, options);
    if (!found)
      return this.#sure(tokens, from) && this.#dated(first)
        ? readWithChrono(this.#words, tokens, from, options)
        : undefined;
    const dayless = !found.expr.day && !found.expr.span;
    const loose = first.key === "on" || (first.key === "in" && !found.expr.part);
    return dayless && loose ? undefined : found;
  }

  #open(tokens: readonly Token[], from: number, options: LocaleOptions): TimeMatch | undefined {
    const word = key(tokens, from);
    const ever = word === "ever" && key(tokens, from + 1) === "since" ? from + 1 : from;
    const open =
      key(tokens, ever) === "since"
        ? "since"
        : word === "until" || word === "till" || word === "til"
          ? "until"
          : word === "after"
            ? "after"
            : undefined;
    if (!open) return undefined;
    const inner = this.#simple(tokens, ever + 1, options, { part: true });
    if (!inner || inner.expr.span?.kind === "ago") return undefined;
    return { end: inner.end, expr: { ...inner.expr, open } };
  }

  #range(tokens: readonly Token[], from: number, options: LocaleOptions): TimeMatch | undefined {
    const lead = key(tokens, from);
    if (lead === "between" || lead === "from") {
      const ranged = this.#between(
        tokens,
        from + 1,
        options,
        lead === "between" ? ["and", "-", "–"] : ["to", "till", "until", "-", "–", "through"],
      );
      if (ranged) return ranged;
      if (lead === "between") return undefined;
      return undefined;
    }
    const simple = this.#simple(tokens, from, options, {});
    if (!simple) return this.#partialRange(tokens, from, options);
    const joint = key(tokens, simple.end);
    const hyphen = tokens[simple.end]?.hyphen === true;
    if (hyphen || ["to", "-", "–", "till", "until", "through", "thru"].includes(joint)) {
      const second = this.#second(tokens, hyphen ? simple.end : simple.end + 1, simple.expr, options);
      if (second) return second;
    }
    if (joint === "and" && key(tokens, simple.end + 1) === "after" && simple.expr.day) {
      return { end: simple.end + 2, expr: { ...simple.expr, open: "since" } };
    }
    return simple;
  }

  /** "between A and B" in which A may leave out what B says ("between 7 and 9 last night"). */
  #between(
    tokens: readonly Token[],
    from: number,
    options: LocaleOptions,
    joints: readonly string[],
  ): TimeMatch | undefined {
    const clocks = this.#clockSpan(tokens, from, options, joints);
    if (clocks) return clocks;
    const first = this.#simple(tokens, from, options, { ranged: true });
    if (first && joints.includes(key(tokens, first.end))) {
      const second = this.#second(tokens, first.end + 1, first.expr, options);
      if (second) return second;
    }
    return this.#partialRange(tokens, from, options);
  }

  #second(
    tokens: readonly Token[],
    at: number,
    first: TimeExpr,
    options: LocaleOptions,
  ): TimeMatch | undefined {
    if (["now", "present"].includes(key(tokens, at)))
      return { end: at + 1, expr: { ...first, open: "since" } };
    const today = this.#words.find(tokens, at, "day");
    if (today?.value === "0") return { end: today.end, expr: { ...first, open: "since" } };
    if (first.day?.kind === "date" && !first.clock) {
      const ordinal = this.#words.ordinal(tokens, at);
      const plain = ordinal ?? this.#words.count(tokens, at);
      const month = plain && this.#words.find(tokens, plain.end, "month");
      const dated = readNumericDate(this.#words, tokens, at, options.monthFirst, true);
      if (
        plain &&
        !month &&
        !dated &&
        Number.isInteger(plain.value) &&
        plain.value >= 1 &&
        plain.value <= 31 &&
        plain.value > first.day.day &&
        tokens[plain.end]?.text !== "%" &&
        tokens[plain.end]?.text !== "°"
      ) {
        const year = readYearMaybe(this.#words, tokens, plain.end);
        const shared = first.day.year ?? year?.value;
        const years = shared === undefined ? {} : { year: shared };
        return {
          end: year?.end ?? plain.end,
          expr: {
            ...first,
            day: { ...first.day, ...years },
            to: { day: { kind: "date", month: first.day.month, day: plain.value, ...years } },
          },
        };
      }
    }
    const second = this.#simple(tokens, at, options, { ranged: true });
    if (!second) return undefined;
    const to = second.expr;
    if (!to.day && !to.span) return undefined;
    const start = borrowYear(first, to);
    if (!comparable(start, to)) return undefined;
    return { end: second.end, expr: { ...start, to } };
  }

  /** "12th to 19th", "9 to 12 of June", "ninth till seventeenth of April". */
  #partialRange(tokens: readonly Token[], from: number, options: LocaleOptions): TimeMatch | undefined {
    const start = key(tokens, from) === "the" ? from + 1 : from;
    const ordinal = this.#words.ordinal(tokens, start);
    const first = ordinal ?? this.#words.count(tokens, start);
    if (!first || first.value < 1 || first.value > 31 || !Number.isInteger(first.value)) return undefined;
    if (!["to", "-", "–", "till", "until", "through", "and", "thru"].includes(key(tokens, first.end)))
      return undefined;
    let at = first.end + 1;
    if (key(tokens, at) === "the") at++;
    const full = readDayThenMonth(this.#words, tokens, at);
    if (full?.day?.kind === "date" && full.day.day > first.value) {
      return { end: full.end, expr: { day: { ...full.day, day: first.value }, to: { day: full.day } } };
    }
    const second = this.#words.ordinal(tokens, at);
    if (second && ordinal && key(tokens, first.end) !== "and") {
      return {
        end: second.end,
        expr: {
          day: { kind: "day-of-month", day: first.value },
          to: { day: { kind: "day-of-month", day: second.value } },
        },
      };
    }
    void options;
    return undefined;
  }

  /** "8am-3 yesterday afternoon", "2:00 to 2:30 pm", "7 and 9 last night" (`from` stands after the preposition). */
  #clockSpan(
    tokens: readonly Token[],
    from: number,
    options: LocaleOptions,
    joints: readonly string[],
  ): TimeMatch | undefined {
    const first = readClock(this.#words, tokens, from, true);
    const hyphen = first !== undefined && tokens[first.end]?.hyphen === true;
    if (!first || first.clock.loose || (!hyphen && !joints.includes(key(tokens, first.end))))
      return undefined;
    const second = readClock(this.#words, tokens, hyphen ? first.end : first.end + 1, true);
    if (!second) {
      const now = this.#words.find(tokens, first.end + 1, "now");
      return now && first.clock.hour > 0
        ? { end: now.end, expr: { clock: first.clock, open: "since" } }
        : undefined;
    }
    let at = second.end;
    while (["on", "of", "in", "the"].includes(key(tokens, at))) at++;
    const day = this.#simple(tokens, at, options, { part: true });
    const sure = first.clock.half || second.clock.half || first.clock.exact || second.clock.exact;
    const anchored = day && (day.expr.day || day.expr.part) && !day.expr.clock;
    if (!sure && !anchored) return undefined;
    const base = anchored ? day.expr : {};
    return {
      end: anchored ? day.end : second.end,
      expr: { ...base, clock: first.clock, clockTo: second.clock },
    };
  }

  #simple(
    tokens: readonly Token[],
    from: number,
    options: LocaleOptions,
    ask: { part?: boolean; ranged?: boolean },
  ): TimeMatch | undefined {
    let expr: TimeExpr = {};
    let end = -1;
    let at = from;
    for (let tries = 0; tries < 6; tries++) {
      const atom = this.#atom(tokens, at, expr, options, ask);
      if (!atom) {
        if (CONNECTORS.has(key(tokens, at)) && (end >= 0 || tries < 2)) {
          at++;
          continue;
        }
        break;
      }
      const merged = merge(expr, atom.expr);
      if (!merged) break;
      expr = merged;
      end = atom.end;
      at = atom.end;
      if (expr.span) break;
    }
    return end < 0 ? undefined : { end, expr };
  }

  #atom(
    tokens: readonly Token[],
    at: number,
    sofar: TimeExpr,
    options: LocaleOptions,
    ask: { part?: boolean; ranged?: boolean },
  ): AtomMatch | undefined {
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
    return this.#dayOfMonth(tokens, at);
  }

  /** "about 2 this afternoon": a bare number is an hour where the part of the day stands behind it. */
  #anchored(tokens: readonly Token[], at: number): boolean {
    const part = this.#words.find(tokens, at + 1, "part");
    return (key(tokens, at) === "this" && part !== undefined) || key(tokens, at) === "yesterday";
  }

  #clockPair(tokens: readonly Token[], at: number, bare: boolean): AtomMatch | undefined {
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

  #dayOfMonth(tokens: readonly Token[], at: number): AtomMatch | undefined {
    const the = key(tokens, at) === "the" || key(tokens, at - 1) === "the" || key(tokens, at - 1) === "on";
    const start = key(tokens, at) === "the" ? at + 1 : at;
    const ordinal = this.#words.ordinal(tokens, start) ?? this.#plainDay(tokens, start);
    if (!ordinal || ordinal.value < 1 || ordinal.value > 31) return undefined;
    const digits = tokens[start]?.kind === "number";
    const next = tokens[ordinal.end];
    if (!digits && !(the && (next === undefined || next.kind === "mark"))) return undefined;
    if (
      digits &&
      !the &&
      !["on", "the", "by", "since", "till", "until", "from", "to", ""].includes(key(tokens, start - 1))
    )
      return undefined;
    if (digits && next?.kind === "word" && isNounAfterOrdinal(next.key)) return undefined;
    const month: DayExpr = { kind: "day-of-month", day: ordinal.value };
    return { end: ordinal.end, expr: { day: month } };
  }

  /** "on the 17": a bare number is a day only there. */
  #plainDay(tokens: readonly Token[], at: number): { end: number; value: number } | undefined {
    const token = tokens[at];
    if (
      token?.kind !== "number" ||
      !Number.isInteger(token.value) ||
      key(tokens, at - 1) !== "the" ||
      key(tokens, at - 2) !== "on"
    )
      return undefined;
    const next = tokens[at + 1];
    if (next?.glued && next.text !== "." && next.text !== ",") return undefined;
    if (next?.kind === "word" && !["between", "at", "from", "and", "in"].includes(next.key)) return undefined;
    return { end: at + 1, value: token.value };
  }

  #wordAtom(tokens: readonly Token[], at: number, sofar: TimeExpr): AtomMatch | undefined {
    const words = this.#words;
    const before = key(tokens, at - 1);
    const tonight = words.find(tokens, at, "tonight");
    if (tonight) return { end: tonight.end, expr: { part: "night", near: "next" } };
    if (!sofar.day) {
      const day = words.find(tokens, at, "day");
      if (day) return { end: day.end, expr: { day: { kind: "offset", days: Number(day.value) } } };
      const holiday = words.find(tokens, at, "holiday");
      if (holiday) return holidayAtom(holiday, readYear(words, tokens, holiday.end));
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
  #weekday(tokens: readonly Token[], found: { end: number; value: string }): AtomMatch {
    const weekday = Number(found.value);
    const words = this.#words;
    if (key(tokens, found.end) === "of") {
      const week = readShifted(words, tokens, found.end + 1);
      if (week?.expr.span?.kind === "week")
        return { end: week.end, expr: { day: { kind: "weekday", weekday, week: week.expr.span.shift } } };
    }
    let at = found.end;
    if (tokens[at]?.text === "," || tokens[at]?.text === ".") at++;
    if (key(tokens, at) === "the") at++;
    const date = readDayThenMonth(words, tokens, at) ?? readMonthFirst(words, tokens, at);
    if (date?.day?.kind === "date") return { end: date.end, expr: { day: { ...date.day, weekday } } };
    const ordinal = words.ordinal(tokens, at);
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

const readYearMaybe = (words: TimeWords, tokens: readonly Token[], at: number) =>
  readYear(words, tokens, key(tokens, at) === "," ? at + 1 : at);

const isNounAfterOrdinal = (word: string): boolean =>
  [
    "time",
    "one",
    "flower",
    "bud",
    "leaf",
    "pup",
    "batch",
    "lot",
    "attempt",
    "year",
    "week",
    "floor",
    "place",
    "prize",
    "half",
    "round",
    "plant",
    "pot",
    "person",
    "day",
  ].includes(word);

const dated = (date: { end: number; day?: DayExpr; span?: TimeExpr["span"] }): AtomMatch => ({
  end: date.end,
  expr: date.day ? { day: date.day } : { span: date.span as NonNullable<TimeExpr["span"]> },
});

function holidayAtom(
  holiday: { end: number; value: string },
  year: { end: number; value: number } | undefined,
): AtomMatch {
  const end = year?.end ?? holiday.end;
  const given = year ? { year: year.value } : {};
  if (holiday.value.startsWith("easter")) {
    return { end, expr: { day: { kind: "easter", days: Number(holiday.value.slice(6)) || 0, ...given } } };
  }
  if (holiday.value.startsWith("nth:")) {
    const [, nth, weekday, inMonth] = holiday.value.split(":").map(Number);
    return {
      end,
      expr: {
        day: {
          kind: "nth-weekday",
          nth: nth as number,
          weekday: weekday as number,
          month: inMonth as number,
          ...given,
        },
      },
    };
  }
  const [month, day] = holiday.value.split("-").map(Number);
  return { end, expr: { day: { kind: "date", month: month as number, day: day as number, ...given } } };
}

/** "sat" and "sun" are also a verb and the star; "wed" and "fri" are rarely anything else. */
function sureWeekday(tokens: readonly Token[], at: number, end: number): boolean {
  const token = tokens[at] as Token;
  if (!["sat", "sun", "wed"].includes(token.key)) return true;
  const before = key(tokens, at - 1);
  if (
    ["on", "last", "this", "next", "by", "since", "till", "until", "from", "to", "every", "each"].includes(
      before,
    )
  )
    return true;
  const next = tokens[end];
  if (next?.kind === "number") return true;
  if (
    token.key === "sun" &&
    [
      "the",
      "full",
      "in",
      "of",
      "more",
      "hot",
      "direct",
      "strong",
      "morning",
      "evening",
      "afternoon",
    ].includes(before)
  )
    return false;
  if (!next) return true;
  if (tells(tokens, end)) return true;
  if (next.kind === "mark") return next.text !== "-" && next.text !== "/";
  if (token.key === "wed") return next.key !== "better" && next.key !== "like" && next.key !== "love";
  if (token.key === "sat" && !NOT_SEATED.has(before) && !SEATED.has(next.key)) return true;
  if (AFTER_DAY.has(next.key)) return true;
  return (
    [
      "morning",
      "am",
      "pm",
      "night",
      "nite",
      "afternoon",
      "arvo",
      "evening",
      "eve",
      "the",
      "and",
      "n",
    ].includes(next.key) && !(token.key === "sat" && next.key === "the")
  );
}

/** "watered sat fed today", "jo did the hoop sat manny the sunroom": an act begins behind the day. */
const tells = (tokens: readonly Token[], at: number): boolean =>
  [at, at + 1].some((i) => TOLD.has(key(tokens, i)) || /[^e]ed$/.test(key(tokens, i)));
const TOLD: ReadonlySet<string> = new Set(["fed", "did", "gave", "took", "put", "got"]);
/** Words behind "sat" that make it the verb: "sat at 12.2", "sat in the sun". */
const SEATED: ReadonlySet<string> = new Set(
  "at in on around about for down by next out back up inside outside under with beside near here there all too until like well between below above over right just steady comfortably nicely happily through the a".split(
    " ",
  ),
);
/** Words before "sat" that make it the verb: "has sat", "the aloes that sat". */
const NOT_SEATED: ReadonlySet<string> = new Set(
  "is s was were been be has have had it that which just".split(" "),
);
/** Words that a sentence goes on with behind its day. */
const AFTER_DAY: ReadonlySet<string> = new Set(
  "not but then so too also cos because while when after before again he she i we they".split(" "),
);

/** Lends the year and month that the end of a range states to its start. */
function borrowYear(first: TimeExpr, to: TimeExpr): TimeExpr {
  const year = to.day?.kind === "date" ? to.day.year : to.span?.kind === "month" ? to.span.year : undefined;
  if (year === undefined) return first;
  const endMonth = to.day?.kind === "date" ? to.day.month : to.span?.kind === "month" ? to.span.month : 12;
  if (first.day?.kind === "date" && first.day.year === undefined) {
    return { ...first, day: { ...first.day, year: first.day.month > endMonth ? year - 1 : year } };
  }
  if (first.span?.kind === "month" && first.span.year === undefined) {
    return { ...first, span: { ...first.span, year: first.span.month > endMonth ? year - 1 : year } };
  }
  return first;
}

const comparable = (a: TimeExpr, b: TimeExpr): boolean =>
  Boolean((a.day || a.span) && (b.day || b.span)) && a.span?.kind !== "ago";

/** Joins what two neighbouring phrases say of one time; undefined where they contradict. */
function merge(a: TimeExpr, b: TimeExpr): TimeExpr | undefined {
  if ((a.day && b.day) || (a.clock && b.clock) || (a.span && (b.day || b.span || b.part))) return undefined;
  if (a.part && b.part && !(a.near === undefined && b.near !== undefined)) return undefined;
  if (b.span && (a.day || a.part || a.clock) && b.span.kind !== "ago") return undefined;
  if (b.span?.kind === "ago" && (a.day || a.part)) return undefined;
  return { ...a, ...b };
}

/** "morning: 6 °C, evening: 9": the part of the day labels what stands behind its colon. */
const labels = (tokens: readonly Token[], at: number, end: number): boolean =>
  tokens[end]?.text === ":" && (at === 0 || tokens[at - 1]?.kind === "mark");
