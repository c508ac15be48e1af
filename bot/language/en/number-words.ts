import type { NumberWord } from "../lexicon.js";
import type { Token } from "../tokenise.js";

export interface NumberMatch {
  end: number;
  value: number;
}

/**
 * A whole number in words that begins at token `from`: "five", "thirty three", "two dozen", "a hundred and
 * six". Digits may stand before a scale ("3 hundred").
 */
export function readWholeNumber(
  tokens: readonly Token[],
  from: number,
  numbers: ReadonlyMap<string, NumberWord>,
): NumberMatch | undefined {
  let at = from;
  let total = 0;
  let part = 0;
  let last: string | undefined;
  let lastScale = Number.POSITIVE_INFINITY;
  const first = tokens[at];
  if (!first) return undefined;
  if (first.key === "a" || first.key === "half") {
    const scale = numbers.get(tokens[at + 1]?.key ?? "");
    if (!scale || (scale.kind !== "scale" && scale.kind !== "dozen")) return undefined;
    if (first.key === "half") return { end: at + 2, value: scale.value / 2 };
    part = 1;
    last = "unit";
    at++;
  }
  for (; at < tokens.length; at++) {
    const token = tokens[at] as Token;
    if (token.kind === "number" && last === undefined) {
      part = token.value;
      last = "digits";
      continue;
    }
    const word = token.kind === "word" ? numbers.get(token.key) : undefined;
    if (!word) {
      const joins = token.key === "and" && last === "scale";
      const next = joins ? numbers.get(tokens[at + 1]?.key ?? "") : undefined;
      if (next && (next.kind === "unit" || next.kind === "teen" || next.kind === "ten")) continue;
      break;
    }
    if (word.kind === "unit" && (last === undefined || last === "ten" || last === "scale"))
      part += word.value;
    else if ((word.kind === "teen" || word.kind === "ten") && (last === undefined || last === "scale"))
      part += word.value;
    else if (
      (word.kind === "teen" || word.kind === "ten") &&
      last === "unit" &&
      part < 10 &&
      part > 0 &&
      total === 0
    ) {
      part = part * 100 + word.value;
    } else if (word.kind === "scale" && last !== undefined && word.value < 1000 && part < 100)
      part *= word.value;
    else if (
      word.kind === "scale" &&
      last !== undefined &&
      word.value >= 1000 &&
      word.value < lastScale &&
      part > 0
    ) {
      total += part * word.value;
      part = 0;
      lastScale = word.value;
    } else if (word.kind === "dozen" && last !== undefined) part *= word.value;
    else if (word.kind === "dozen" && last === undefined) part = word.value;
    else break;
    last = word.kind;
    if (word.kind === "unit" && word.value === 0) {
      at++;
      break;
    }
  }
  if (last === undefined || last === "digits") return undefined;
  return { end: at, value: total + part };
}
