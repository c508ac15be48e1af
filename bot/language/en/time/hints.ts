import type { Token } from "../../tokenise.js";
import type { TimeWords } from "./words.js";

const LEADS = new Set(
  "the at since between from in over during on until till after before by end start beginning mid middle early late a an half few couple earlier same next following that about around through all within every".split(
    " ",
  ),
);
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

/** Whether a phrase of time can begin with this word or number. */
export const mayBegin = (words: TimeWords, token: Token): boolean =>
  token.kind === "number" || LEADS.has(token.key) || words.begins(token.key) || words.numbers.has(token.key);

/** Marks the tokens from which a word of the calendar, or a number that can be one, is not far. */
export function hintsIn(words: TimeWords, tokens: readonly Token[]): Uint8Array {
  const hints = new Uint8Array(tokens.length);
  let next = Number.POSITIVE_INFINITY;
  for (let at = tokens.length - 1; at >= 0; at--) {
    if (isSure(words, tokens, at)) next = at;
    if (next - at > REACH) continue;
    const token = tokens[at] as Token;
    if (mayBegin(words, token)) {
      hints[at] = 1;
    }
  }
  return hints;
}

/** Only a weekday, a month or a full year is worth asking the general reader of dates about. */
export function isDated(words: TimeWords, token: Token): boolean {
  return token.kind === "number"
    ? token.text.length === 4
    : ["weekday", "month"].some((cls) => words.alone(token.key, cls, 0));
}

/** Whether the token is surely of a date or an hour. */
export function isSure(words: TimeWords, tokens: readonly Token[], at: number): boolean {
  const token = tokens[at] as Token;
  if (token.kind === "number") return numberInTime(tokens, at);
  if (token.kind !== "word") return false;
  if (words.sure(token.key)) return true;
  return words.numbers.has(token.key) && HOUR_LEADS.has(tokens[at - 1]?.key ?? "");
}
