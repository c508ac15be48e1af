import { type Moment, moment } from "../calendar/civil.js";
import { settle } from "../calendar/settle.js";
import type { When } from "../interpretation.js";
import type { LocaleOptions } from "../language.js";
import type { Lexicon } from "../lexicon.js";
import type { Measure } from "../measure.js";
import { normalise } from "../normalise.js";
import { type Token, tokenise } from "../tokenise.js";
import { readNumberPhrase } from "./numerals.js";
import { FOLLOWS_LETTER } from "./unit-reader.js";

/** A measure found in running text, with its place in it. */
export interface FoundMeasure {
  measure: Measure;
  start: number;
  end: number;
}

const METRIC: LocaleOptions = { monthFirst: false, system: "us", dollar: "USD" };

const letter = (text: string | undefined): boolean => text !== undefined && /^\p{L}/u.test(text);

/**
 * Every measure with a unit in a text, left to right; numbers without a unit are left out. Parts of one
 * length or weight ("7 feet 10 inches") stay apart.
 */
export function readMeasures(
  text: string,
  lexicon: Lexicon,
  options: LocaleOptions = METRIC,
): FoundMeasure[] {
  const tokens = tokenise(normalise(text), lexicon.language.writing);
  const found: FoundMeasure[] = [];
  const money = tokens.some((token) => token.text === "$" || token.text === "£" || token.text === "€");
  for (let at = 0; at < tokens.length; at++) {
    if (partOfCode(tokens, at)) continue;
    const match = lexicon.language.readMeasure(tokens, at, options);
    if (!match?.measure.unit || match.measure.dimension === "time") continue;
    if (angle(tokens, at, match.end, match.measure)) continue;
    if (money && tokens[match.end - 1]?.key === "c" && match.measure.dimension === "temperature") continue;
    if (labelled(tokens, match.end)) continue;
    const bound = boundBefore(tokens, at);
    found.push({ measure: bound ? { ...match.measure, bound } : match.measure, start: at, end: match.end });
    at = match.end - 1;
  }
  return found;
}

/** "the 13F filing": a letter before a noun is a name, not a unit. */
function labelled(tokens: readonly Token[], end: number): boolean {
  const unit = tokens[end - 1] as Token;
  const next = tokens[end];
  return (
    unit.kind === "word" && unit.text.length === 1 && next?.kind === "word" && !FOLLOWS_LETTER.has(next.key)
  );
}

const OVER = new Set([
  "over",
  "above",
  "more than",
  "at least",
  "no less than",
  "greater than",
  "minimum of",
]);
const UNDER = new Set([
  "under",
  "below",
  "less than",
  "at most",
  "no more than",
  "up to",
  "fewer than",
  "maximum of",
]);

/** "more than 40 degrees", "at most six gallons". */
function boundBefore(tokens: readonly Token[], at: number): "over" | "under" | undefined {
  for (const size of [3, 2, 1]) {
    const words = tokens
      .slice(Math.max(0, at - size), at)
      .map((token) => token.key)
      .join(" ");
    if (OVER.has(words)) return "over";
    if (UNDER.has(words)) return "under";
  }
  return undefined;
}

/** "scp-173m", "24703m212": letters and digits of a code are no measure. */
function partOfCode(tokens: readonly Token[], at: number): boolean {
  const token = tokens[at] as Token;
  const before = tokens[at - 1];
  if (token.kind !== "number") return false;
  if (token.hyphen && letter(before?.text)) return true;
  if (token.glued && before?.kind === "word") return true;
  if (
    token.glued &&
    before?.text === "-" &&
    before.glued &&
    tokens[at - 2]?.glued &&
    tokens[at - 3]?.kind === "word"
  )
    return true;
  const unit = tokens[at + 1];
  const behind = tokens[at + 2];
  return (
    unit?.glued === true &&
    unit.kind === "word" &&
    behind?.glued === true &&
    behind.kind === "number" &&
    unit.text.length <= 2
  );
}

/** "rotate 90°", "a 45 degrees angle". */
function angle(tokens: readonly Token[], from: number, end: number, measure: Measure): boolean {
  if (measure.unit !== "deg") return false;
  if (tokens[end]?.key === "angle" || tokens[end]?.key === "angles" || tokens[end]?.key === "turn")
    return true;
  return tokens
    .slice(Math.max(0, from - 3), from)
    .some((token) => ["rotate", "rotated", "turn", "tilt", "angle"].includes(token.key));
}

/** The value of a bare number phrase, in digits or words. */
export const readNumber = (text: string, lexicon: Lexicon): number | undefined =>
  readNumberPhrase(tokenise(normalise(text), lexicon.language.writing), lexicon.numbers);

/**
 * The first time that a text speaks of, looking back from the moment of reference.
 * @param reference "YYYY-MM-DDTHH:MM"
 */
export function readWhen(
  text: string,
  reference: string,
  lexicon: Lexicon,
  options: LocaleOptions = METRIC,
): When | undefined {
  const now: Moment = moment(reference);
  const tokens = tokenise(normalise(text), lexicon.language.writing);
  for (let at = 0; at < tokens.length; at++) {
    const measured = lexicon.language.readMeasure(tokens, at, options);
    const match = lexicon.language.readTime(tokens, at, options);
    if (
      match &&
      !(measured && measured.end > match.end) &&
      !measuresOn(tokens, match.end, lexicon, options)
    ) {
      const when = settle(match.expr, now, { mode: "past", mentioned: true });
      if (when) return when;
    }
  }
  return undefined;
}

/** "at 1/2 strength": the number that seemed a date goes on into a measure. */
const measuresOn = (
  tokens: readonly Token[],
  end: number,
  lexicon: Lexicon,
  options: LocaleOptions,
): boolean =>
  [end - 1, end - 3].some((at) => {
    if (tokens[at]?.kind !== "number") return false;
    const inner = lexicon.language.readMeasure(tokens, at, options);
    return (
      inner !== undefined &&
      inner.end > end &&
      (inner.measure.unit !== undefined || inner.measure.strength !== undefined)
    );
  });
