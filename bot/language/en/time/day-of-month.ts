import type { DayExpr } from "../../calendar/expression.js";
import type { TimeMatch } from "../../language.js";
import type { Token } from "../../tokenise.js";
import { keyAt as key, type TimeWords } from "./words.js";

/** "the 3rd time", "the 2nd pup": what is counted is no day. */
const COUNTED: ReadonlySet<string> = new Set([
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
]);

/** "the 3rd", "on the 17", "since 21st". */
export function readDayOfMonth(
  words: TimeWords,
  tokens: readonly Token[],
  at: number,
): TimeMatch | undefined {
  const the = key(tokens, at) === "the" || key(tokens, at - 1) === "the" || key(tokens, at - 1) === "on";
  const start = key(tokens, at) === "the" ? at + 1 : at;
  const ordinal = words.ordinal(tokens, start) ?? plainDay(tokens, start);
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
  if (digits && next?.kind === "word" && COUNTED.has(next.key)) return undefined;
  const month: DayExpr = { kind: "day-of-month", day: ordinal.value };
  return { end: ordinal.end, expr: { day: month } };
}

/** "on the 17": a bare number is a day only there. */
function plainDay(tokens: readonly Token[], at: number): { end: number; value: number } | undefined {
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
