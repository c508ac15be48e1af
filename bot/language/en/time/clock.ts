import type { Clock } from "../../calendar/expression.js";
import type { Token } from "../../tokenise.js";
import type { TimeWords } from "./words.js";

export interface ClockMatch {
  end: number;
  clock: Clock;
}

function readHalf(tokens: readonly Token[], at: number): { end: number; half: "am" | "pm" } | undefined {
  const token = tokens[at];
  if (token?.kind !== "word") return undefined;
  if (token.key === "am" || token.key === "pm") return { end: at + 1, half: token.key };
  if (token.key === "a" || token.key === "p") {
    let next = at + 1;
    if (tokens[next]?.text === ".") next++;
    if (tokens[next]?.key === "m") {
      const end = tokens[next + 1]?.text === "." && tokens[next + 1]?.glued ? next + 2 : next + 1;
      return { end, half: token.key === "a" ? "am" : "pm" };
    }
    if (token.glued && token.key === "p") return { end: at + 1, half: "pm" };
  }
  return undefined;
}

/**
 * A time of day that begins at `from`: "7am", "7:40", "19:00", "8.30pm", "noon", "half past seven",
 * "eight o'clock". A bare number is one only after "at" (`bare`).
 */
export function readClock(
  words: TimeWords,
  tokens: readonly Token[],
  from: number,
  bare: boolean,
  dated = false,
): ClockMatch | undefined {
  const token = tokens[from];
  if (!token) return undefined;
  const named = words.find(tokens, from, "clock");
  if (named) return { end: named.end, clock: { hour: Number(named.value), minute: 0, exact: false } };
  if (token.kind === "number") return readPast(words, tokens, from) ?? readDigits(tokens, from, bare);
  return readSpoken(words, tokens, from, bare, dated);
}

function readDigits(tokens: readonly Token[], from: number, bare: boolean): ClockMatch | undefined {
  const token = tokens[from] as Token;
  if (token.text.length > 5 || tokens[from - 1]?.text === "/") return undefined;
  const colon = tokens[from + 1];
  const minutes = tokens[from + 2];
  if (
    colon?.text === ":" &&
    colon.glued &&
    minutes?.kind === "number" &&
    minutes.glued &&
    minutes.text.length === 2
  ) {
    const half = readHalf(tokens, from + 3);
    const more = tokens[from + 3];
    if (more?.text === ":" && more.glued) return undefined;
    return valid(half?.end ?? from + 3, token.value, minutes.value, true, half?.half);
  }
  const half = readHalf(tokens, from + 1);
  const stuck = half && tokens[half.end]?.glued && tokens[half.end]?.kind !== "mark";
  if (half && !stuck) {
    if (Number.isInteger(token.value)) {
      if (token.text.length >= 3 && token.text.length <= 4 && !token.text.includes(".")) {
        return valid(half.end, Math.floor(token.value / 100), token.value % 100, true, half.half);
      }
      return valid(half.end, token.value, 0, false, half.half);
    }
    const [hour, minute] = token.text.split(".");
    if (minute?.length !== 2) return undefined;
    return valid(half.end, Number(hour), Number(minute), true, half.half);
  }
  const next = tokens[from + 1];
  if (next?.key === "oclock" || (next?.key === "o" && tokens[from + 2]?.key === "clock")) {
    return valid(next.key === "oclock" ? from + 2 : from + 3, token.value, 0, false);
  }
  const hundreds = /^([01]\d|2[0-3])([0-5]\d)$/.exec(token.text);
  if (hundreds && (next?.key === "hrs" || next?.key === "hours" || next?.key === "h")) {
    return valid(from + 2, Number(hundreds[1]), Number(hundreds[2]), true);
  }
  // "at 0630"
  if (bare && hundreds && token.text.startsWith("0") && !next?.glued)
    return valid(from + 1, Number(hundreds[1]), Number(hundreds[2]), true);
  if (
    bare &&
    /^[1-9]\d?[0-5]\d$/.test(token.text) &&
    token.value < 2400 &&
    !/^(19|20)\d\d$/.test(token.text) &&
    !(next?.glued && next.kind === "word")
  ) {
    const found = valid(from + 1, Math.floor(token.value / 100), token.value % 100, true);
    return found && { end: found.end, clock: { ...found.clock, loose: true } };
  }
  if (bare && Number.isInteger(token.value) && token.value <= 24 && token.text.length <= 2) {
    return valid(from + 1, token.value, 0, false);
  }
  return undefined;
}

function valid(
  end: number,
  hour: number,
  minute: number,
  exact: boolean,
  half?: "am" | "pm",
): ClockMatch | undefined {
  if (minute > 59 || hour > 24 || !Number.isInteger(hour)) return undefined;
  if (half && (hour > 12 || hour < 1) && !(exact && hour > 12 && hour < 24 && half === "pm"))
    return undefined;
  if (half && hour > 12) return { end, clock: { hour, minute, exact } };
  return { end, clock: half ? { hour, minute, exact, half } : { hour, minute, exact } };
}

/** "half past seven", "half 7", "ten past eight", "quarter to nine". */
function readPast(words: TimeWords, tokens: readonly Token[], from: number): ClockMatch | undefined {
  const first = tokens[from]?.key ?? "";
  const counted = first === "half" ? 30 : first === "quarter" ? 15 : words.count(tokens, from)?.value;
  const at = first === "half" || first === "quarter" ? from + 1 : words.count(tokens, from)?.end;
  if (counted === undefined || at === undefined || counted > 30) return undefined;
  const joint = tokens[at]?.key;
  const straight =
    first === "half" &&
    joint !== "past" &&
    ["at", "by", "from", "since", "till", "until"].includes(tokens[from - 1]?.key ?? "");
  if (joint !== "past" && joint !== "to" && !straight) return undefined;
  if (
    joint === "to" &&
    first !== "quarter" &&
    !["at", "by", "from", "since", "till", "until", "about", "around", "just"].includes(
      tokens[from - 1]?.key ?? "",
    )
  )
    return undefined;
  if (tokens[from]?.kind === "number" && joint === "to") return undefined;
  const hour = words.count(tokens, straight ? at : at + 1);
  if (!hour || hour.value > 12 || hour.value < 1 || !Number.isInteger(hour.value)) return undefined;
  const half = readHalf(tokens, hour.end);
  const back = joint === "to" && !straight;
  return valid(
    half?.end ?? hour.end,
    back ? hour.value - 1 || 12 : hour.value,
    back ? 60 - counted : counted,
    true,
    half?.half,
  );
}

/** Words that may follow a bare hour: "at three this afternoon". */
const AFTER_HOUR = new Set([
  "to",
  "this",
  "in",
  "yesterday",
  "today",
  "on",
  "last",
  "tomorrow",
  "sharp",
  "and",
  "then",
]);

function readSpoken(
  words: TimeWords,
  tokens: readonly Token[],
  from: number,
  bare: boolean,
  dated: boolean,
): ClockMatch | undefined {
  const token = tokens[from] as Token;
  const shifted = readPast(words, tokens, from);
  if (shifted) return shifted;
  const hour = words.numbers.get(token.key);
  if (!hour || (hour.kind !== "unit" && hour.kind !== "teen") || hour.value > 12 || hour.value < 1)
    return undefined;
  const next = tokens[from + 1];
  if (next?.key === "oclock") return valid(from + 2, hour.value, 0, false);
  const plainHalf = readHalf(tokens, from + 1);
  if (plainHalf) return valid(plainHalf.end, hour.value, 0, false, plainHalf.half);
  const minute = words.count(tokens, from + 1);
  if (minute && tokens[from + 1]?.kind === "word") {
    const half = readHalf(tokens, minute.end);
    if (half && minute.value < 60 && minute.value >= 10)
      return valid(half.end, hour.value, minute.value, true, half.half);
  }
  const closed = next === undefined || next.kind !== "word" || AFTER_HOUR.has(next.key) || dated;
  return bare && closed ? valid(from + 1, hour.value, 0, false) : undefined;
}
