import { isDate } from "../../calendar/civil.js";
import type { DayExpr, SpanExpr } from "../../calendar/expression.js";
import type { Token } from "../../tokenise.js";
import { fullYear, readYear, type TimeWords } from "./words.js";

export interface DateMatch {
  end: number;
  day?: DayExpr;
  span?: SpanExpr;
}

const isNumber = (token: Token | undefined): token is Token =>
  token?.kind === "number" && Number.isInteger(token.value);
const LEAP = 2024;
const dayOf = (month: number, day: number): boolean => isDate(LEAP, month, day);

/** "2027-01-15", "2019/aug/01", "3/4", "22/Jan/2019", "12.5.2027", "05-Aug-2016", "2014-10". */
export function readNumericDate(
  words: TimeWords,
  tokens: readonly Token[],
  from: number,
  monthFirst: boolean,
  ranged = false,
): DateMatch | undefined {
  const first = tokens[from];
  const sep = tokens[from + 1];
  if (!isNumber(first) || first.text.length > 4) return compact(first, from, tokens);
  const before = tokens[from - 1];
  if (first.glued && before && !ranged && (before.kind === "word" || "-/.,$#".includes(before.text)))
    return undefined;
  if (first.hyphen) return undefined;
  const hyphened = tokens[from + 1]?.hyphen === true && tokens[from + 1]?.kind === "word";
  const mark = hyphened ? "-" : sep?.glued ? sep.text : undefined;
  if (mark !== "-" && mark !== "/" && mark !== ".") return undefined;
  const second = tokens[hyphened ? from + 1 : from + 2];
  if (!second || (!second.glued && !second.hyphen)) return undefined;
  const secondEnd = hyphened ? from + 2 : from + 3;
  const named = words.find(tokens, hyphened ? from + 1 : from + 2, "month");
  const year4 = /^(19|20|21)\d\d$/.test(first.text);
  const thirdMark = tokens[secondEnd];
  let third: Token | undefined;
  let end = secondEnd;
  if (thirdMark?.glued && thirdMark.text === mark) {
    const token = tokens[secondEnd + 1];
    if (token?.glued && isNumber(token)) {
      third = token;
      end = secondEnd + 2;
    }
  } else if (thirdMark?.hyphen && isNumber(thirdMark)) {
    third = thirdMark;
    end = secondEnd + 1;
  }
  const month = named ? Number(named.value) : isNumber(second) ? second.value : undefined;
  if (month === undefined) return undefined;
  const after = tokens[end];
  if (after?.glued && after.kind === "number") return undefined;
  if (
    after?.glued &&
    after.text === mark &&
    mark !== "." &&
    tokens[end + 1]?.glued &&
    third &&
    third.text.length !== 4
  )
    return undefined;
  if (third) return whole(first, month, third, year4, named !== undefined, monthFirst, end, mark);
  if (year4) {
    return month >= 1 && month <= 12 && mark !== "."
      ? { end, span: { kind: "month", month, year: first.value } }
      : undefined;
  }
  if (named)
    return dayOf(month, first.value) ? { end, day: { kind: "date", month, day: first.value } } : undefined;
  return mark === "/" ? short(first, second, monthFirst, end, tokens) : undefined;
}

function whole(
  first: Token,
  second: number,
  third: Token,
  yearFirst: boolean,
  named: boolean,
  monthFirst: boolean,
  end: number,
  mark: string,
): DateMatch | undefined {
  if (yearFirst) {
    return dayOf(second, third.value)
      ? { end, day: { kind: "date", year: first.value, month: second, day: third.value } }
      : undefined;
  }
  const year =
    third.text.length === 4 ? third.value : third.text.length === 2 ? fullYear(third.value) : undefined;
  if (year === undefined || (mark === "-" && third.text.length !== 4 && !named)) return undefined;
  const pairs =
    named || !monthFirst
      ? [
          [second, first.value],
          [first.value, second],
        ]
      : [
          [first.value, second],
          [second, first.value],
        ];
  for (const [month, day] of named ? pairs.slice(0, 1) : pairs) {
    if (isDate(year, month as number, day as number)) {
      return { end, day: { kind: "date", year, month: month as number, day: day as number } };
    }
  }
  return undefined;
}

/** "22/04": a date only where both numbers can be one; "1/2" beside a unit is a fraction (the caller's matter). */
function short(
  first: Token,
  second: Token,
  monthFirst: boolean,
  end: number,
  tokens: readonly Token[],
): DateMatch | undefined {
  if (!isNumber(second) || second.text.length > 2 || first.text.length > 2) return undefined;
  if (tokens[end]?.glued && tokens[end]?.text === "/") return undefined;
  const pairs = monthFirst
    ? [
        [first.value, second.value],
        [second.value, first.value],
      ]
    : [
        [second.value, first.value],
        [first.value, second.value],
      ];
  for (const [month, day] of pairs) {
    if (dayOf(month as number, day as number))
      return { end, day: { kind: "date", month: month as number, day: day as number } };
  }
  return undefined;
}

/** "20161016". */
function compact(token: Token | undefined, from: number, tokens: readonly Token[]): DateMatch | undefined {
  if (token?.text.length !== 8 || (tokens[from + 1]?.glued && tokens[from + 1]?.kind !== "mark"))
    return undefined;
  const found = /^(19|20)(\d\d)(\d\d)(\d\d)$/.exec(token.text);
  if (!found) return undefined;
  const year = Number(token.text.slice(0, 4));
  const month = Number(found[3]);
  const day = Number(found[4]);
  return isDate(year, month, day) ? { end: from + 1, day: { kind: "date", year, month, day } } : undefined;
}

const skipKeys = (tokens: readonly Token[], at: number, keys: readonly string[]): number => {
  let next = at;
  while (next < tokens.length && keys.includes((tokens[next] as Token).key)) next++;
  return next;
};

/** A year after a date: "2015", ", 2015", "of 87", "15" (`short`), "'82". */
function yearAfter(
  words: TimeWords,
  tokens: readonly Token[],
  at: number,
  short: boolean,
): { end: number; value: number } | undefined {
  let next = at;
  if (tokens[next]?.text === ",") next++;
  const of = tokens[next]?.key === "of" || tokens[next]?.key === "in";
  if (of) next++;
  const year = readYear(words, tokens, next);
  if (year) return year;
  const token = tokens[next];
  const quoted = token?.text === "'" ? tokens[next + 1] : undefined;
  if (quoted && isNumber(quoted) && quoted.text.length === 2)
    return { end: next + 2, value: fullYear(quoted.value) };
  if (
    (of || short) &&
    isNumber(token) &&
    token.text.length === 2 &&
    tokens[next + 1]?.text !== ":" &&
    (of || next === at)
  ) {
    const unit = tokens[next + 1];
    if (unit?.kind === "word" || unit?.text === "%" || unit?.text === "°" || unit?.text === '"')
      return of ? { end: next + 1, value: fullYear(token.value) } : undefined;
    return { end: next + 1, value: fullYear(token.value) };
  }
  return undefined;
}

/** A month name that surely is one: "may" and "march" are also verbs, "mar" and "dec" also clipped words. */
function sureMonth(
  words: TimeWords,
  tokens: readonly Token[],
  at: number,
): { end: number; month: number } | undefined {
  const found = words.find(tokens, at, "month");
  if (!found || (tokens[at - 1]?.text === "$" && tokens[at]?.glued)) return undefined;
  const end = tokens[found.end]?.text === "." && tokens[found.end]?.glued ? found.end + 1 : found.end;
  return { end, month: Number(found.value) };
}

/** "3 March", "3rd of March 2027", "the twenty third day of September", "fifteen August nineteen ninety three". */
export function readDayThenMonth(
  words: TimeWords,
  tokens: readonly Token[],
  from: number,
): DateMatch | undefined {
  const at = skipKeys(tokens, from, ["the"]);
  const ordinal = words.ordinal(tokens, at);
  const number = ordinal ?? words.count(tokens, at);
  if (!number || number.value < 1 || number.value > 31 || !Number.isInteger(number.value)) return undefined;
  let next = number.end;
  if (tokens[next]?.key === "day") next++;
  const of = tokens[next]?.key === "of";
  if (of) next = skipKeys(tokens, next + 1, ["the"]);
  const month = sureMonth(words, tokens, next);
  if (month) {
    if (
      tokens[next]?.key === "may" &&
      !ordinal &&
      !of &&
      tokens[month.end]?.kind === "word" &&
      isVerbish(tokens[month.end] as Token)
    )
      return undefined;
    if (!dayOf(month.month, number.value)) return undefined;
    const year = yearAfter(words, tokens, month.end, true);
    return {
      end: year?.end ?? month.end,
      day: { kind: "date", month: month.month, day: number.value, ...(year && { year: year.value }) },
    };
  }
  if (!of) return undefined;
  const shift = words.find(tokens, next, "last")
    ? -1
    : words.find(tokens, next, "this")
      ? 0
      : words.find(tokens, next, "next")
        ? 1
        : undefined;
  const monthWord = tokens[shift === undefined ? next : next + 1]?.key;
  if (monthWord !== "month") return undefined;
  return {
    end: shift === undefined ? next + 1 : next + 2,
    day: { kind: "day-of-month", day: number.value, month: shift ?? 0 },
  };
}
const isVerbish = (token: Token): boolean =>
  ["be", "have", "need", "not", "or", "take", "well", "get", "go"].includes(token.key);

/** "March 3", "march 3rd 2015", "Oct/2", "January twenty fifth", "Dec31 , 1994", "April of 87", "August". */
export function readMonthFirst(
  words: TimeWords,
  tokens: readonly Token[],
  from: number,
): DateMatch | undefined {
  const start = tokens[from]?.key === "mid" ? from + 1 : from;
  const month = sureMonth(words, tokens, start);
  if (!month) return undefined;
  let at = month.end;
  const slash = tokens[at]?.text === "/" && tokens[at]?.glued;
  if (slash) at++;
  at = tokens[at]?.key === "the" ? at + 1 : at;
  const ordinal = words.ordinal(tokens, at);
  const number = ordinal ?? dayNumberAfterMonth(words, tokens, at);
  if (number && number.value >= 1 && number.value <= 31 && dayOf(month.month, number.value)) {
    const year = yearAfter(words, tokens, number.end, ordinal !== undefined);
    return {
      end: year?.end ?? number.end,
      day: { kind: "date", month: month.month, day: number.value, ...(year && { year: year.value }) },
    };
  }
  if (number && ordinal === undefined && tokens[at]?.kind === "number" && number.value >= 32)
    return undefined;
  if (isNumber(tokens[at]) && number && !dayOf(month.month, number.value)) return undefined;
  const year = yearAfter(words, tokens, month.end, false);
  const part = start > from ? ({ part: "middle" } as const) : {};
  return {
    end: year?.end ?? month.end,
    span: { kind: "month", month: month.month, ...(year && { year: year.value }), ...part },
  };
}

function dayNumberAfterMonth(
  words: TimeWords,
  tokens: readonly Token[],
  at: number,
): { end: number; value: number } | undefined {
  const token = tokens[at];
  if (!token) return undefined;
  if (token.kind === "number") {
    if (!Number.isInteger(token.value) || token.text.length > 2) return undefined;
    const next = tokens[at + 1];
    if (next?.text === ":" && next.glued) return undefined;
    if (next?.text === "%" || next?.text === "°") return undefined;
    if (next?.kind === "word" && next.glued && !["st", "nd", "rd", "th"].includes(next.key)) return undefined;
    return { end: at + 1, value: token.value };
  }
  const spoken = words.count(tokens, at);
  return spoken && spoken.value <= 31 ? spoken : undefined;
}
