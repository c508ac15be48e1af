import type { TimeExpr } from "../../calendar/expression.js";
import type { LocaleOptions, TimeMatch } from "../../language.js";
import type { Token } from "../../tokenise.js";
import { AtomReader } from "./atoms.js";
import { readClock } from "./clock.js";
import { readDayThenMonth, readNumericDate } from "./dates.js";
import { readWithChrono } from "./fallback.js";
import { hintsIn, isDated, isSure, mayBegin } from "./hints.js";
import { borrowYear, comparable, merge } from "./merge.js";
import { keyAt as key, readYear, type TimeWords } from "./words.js";

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

/** Words that lead to a time by themselves. */
const BEHIND_ON: ReadonlySet<string> = new Set([
  "at",
  "by",
  "from",
  "since",
  "around",
  "about",
  "until",
  "till",
  "last",
]);

const UNTIL: ReadonlySet<string> = new Set(["till", "til", "until"]);

/** Reads phrases of time in English. */
export class TimeReader {
  readonly #words: TimeWords;
  readonly #atoms: AtomReader;

  constructor(words: TimeWords) {
    this.#words = words;
    this.#atoms = new AtomReader(words);
  }

  hints(tokens: readonly Token[]): Uint8Array {
    return hintsIn(this.#words, tokens);
  }

  /** The phrase of time that begins at `from`: "on Tuesday at 7", "since Christmas", "12th to 19th". */
  read(tokens: readonly Token[], from: number, options: LocaleOptions): TimeMatch | undefined {
    const first = tokens[from] as Token;
    if (!mayBegin(this.#words, first)) return undefined;
    // "switched on at 6": the first word belongs to the verb.
    if (first.key === "on" && BEHIND_ON.has(key(tokens, from + 1))) return undefined;
    const found = this.#open(tokens, from, options) ?? this.#range(tokens, from, options);
    if (!found)
      return isSure(this.#words, tokens, from) && isDated(this.#words, first)
        ? readWithChrono(this.#words, tokens, from, options)
        : undefined;
    const dayless = !found.expr.day && !found.expr.span;
    const loose = first.key === "on" || (first.key === "in" && !found.expr.part);
    return dayless && loose ? undefined : found;
  }

  #open(tokens: readonly Token[], from: number, options: LocaleOptions): TimeMatch | undefined {
    const word = key(tokens, from);
    const ever = word === "ever" && key(tokens, from + 1) === "since" ? from + 1 : from;
    const through = word === "thru" || word === "through";
    const open =
      key(tokens, ever) === "since"
        ? "since"
        : through || word === "until" || word === "till" || word === "til"
          ? "until"
          : word === "after"
            ? "after"
            : undefined;
    if (!open) return undefined;
    const inner = this.#simple(tokens, ever + 1, options, { part: true });
    if (!inner || inner.expr.span?.kind === "ago") return undefined;
    if (through && !inner.expr.day) return undefined;
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
    // "3 till 5 this morning": of two values one would say "to".
    const lasting = UNTIL.has(key(tokens, from + 1)) && this.#clockSpan(tokens, from, options, [...UNTIL]);
    if (lasting) return lasting;
    const simple = this.#simple(tokens, from, options, {});
    if (!simple) return this.#partialRange(tokens, from);
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
    return this.#partialRange(tokens, from);
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
  #partialRange(tokens: readonly Token[], from: number): TimeMatch | undefined {
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
      const atom = this.#atoms.read(tokens, at, expr, options, ask);
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
}

const readYearMaybe = (words: TimeWords, tokens: readonly Token[], at: number) =>
  readYear(words, tokens, key(tokens, at) === "," ? at + 1 : at);
