import * as chrono from "chrono-node";
import type { TimeExpr } from "../../calendar/expression.js";
import type { LocaleOptions, TimeMatch } from "../../language.js";
import type { Token } from "../../tokenise.js";
import type { TimeWords } from "./words.js";

/**
 * Dates in forms that our own calendar does not read ("Sat Aug 17 2013 18:40", "2027-W05", "Thu, 3 Dec '26"),
 * through chrono-node. Only a result that states day and month is taken, since what it merely implies our
 * rules know better.
 * @param words the numbers and days without which no date is stated
 * @param tokens those of the message; looked at from `from` on, where a calendar word stands
 */
export function readWithChrono(
  words: TimeWords,
  tokens: readonly Token[],
  from: number,
  options: LocaleOptions,
): TimeMatch | undefined {
  const first = tokens[from];
  if (!first) return undefined;
  const until = Math.min(tokens.length, from + LONGEST);
  if (!numbered(words, tokens, from, until)) return undefined;
  const start = first.start;
  let text = "";
  for (let i = from; i < until; i++) {
    const token = tokens[i] as Token;
    text = text.padEnd(token.start - start) + token.text;
  }
  const parser = options.monthFirst ? chrono.en.casual : chrono.en.GB;
  const [found] = parser.parse(text, REFERENCE);
  if (found?.index !== 0) return undefined;
  const day = found.start;
  if (!day.isCertain("day") || !day.isCertain("month")) return undefined;
  const end = endOf(tokens, from, start + found.text.length);
  const year = day.isCertain("year") ? { year: day.get("year") as number } : {};
  const expr: TimeExpr = {
    day: { kind: "date", month: day.get("month") as number, day: day.get("day") as number, ...year },
  };
  if (day.isCertain("hour"))
    expr.clock = {
      hour: day.get("hour") as number,
      minute: day.get("minute") ?? 0,
      exact: day.isCertain("minute"),
    };
  return end > from ? { end, expr } : undefined;
}

/** Whether anything stands there that can be the day of a month: a figure, a number word, "today". */
function numbered(words: TimeWords, tokens: readonly Token[], from: number, until: number): boolean {
  for (let at = from; at < until; at++) {
    const token = tokens[at] as Token;
    if (token.kind === "number" || words.numbers.has(token.key) || words.find(tokens, at, "day")) return true;
  }
  return false;
}

/** Longest phrase that is handed on, in tokens. */
const LONGEST = 12;
/** Any moment will do: only what the text itself states is taken. */
const REFERENCE = new Date(Date.UTC(2000, 0, 1));

function endOf(tokens: readonly Token[], from: number, offset: number): number {
  let end = from;
  while (end < tokens.length && (tokens[end] as Token).end <= offset) end++;
  return end;
}
