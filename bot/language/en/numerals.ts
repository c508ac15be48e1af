import type { NumberWord } from "../lexicon.js";
import type { Token } from "../tokenise.js";
import { readWholeNumber } from "./number-words.js";

const SCALES: Record<string, number> = { k: 1e3, m: 1e6, mm: 1e6, g: 1e9, b: 1e9 };

/**
 * The value of a phrase that is a number and nothing else: "five", "2 1/2", "-504", "one over three",
 * "a dozen", "100k", "twenty-first" (its rank).
 */
export function readNumberPhrase(
  tokens: readonly Token[],
  numbers: ReadonlyMap<string, NumberWord>,
): number | undefined {
  let at = 0;
  let sign = 1;
  const first = tokens[0];
  if (!first) return undefined;
  if (first.text === "-" || first.key === "minus" || first.key === "negative") {
    sign = -1;
    at = 1;
  }
  const value = readUnsigned(tokens, at, numbers);
  return value === undefined ? undefined : sign * value;
}

function readUnsigned(
  tokens: readonly Token[],
  from: number,
  numbers: ReadonlyMap<string, NumberWord>,
): number | undefined {
  const first = tokens[from];
  if (!first) return undefined;
  const ordinal = readOrdinal(tokens, from, numbers);
  if (ordinal !== undefined) return ordinal;
  if (first.kind === "number") return digits(tokens, from, numbers);
  const word = numbers.get(first.key);
  if (word?.kind === "pair" || word?.kind === "few") return word.value;
  if (first.key === "a" || first.key === "an" || first.key === "half" || first.key === "quarter") {
    const article = first.key === "half" && tokens[from + 1]?.key === "a" ? from + 2 : from + 1;
    const next = numbers.get(tokens[article]?.key ?? "");
    if (next?.kind === "pair" || next?.kind === "few") return next.value;
    if (next?.kind === "fraction" && first.key !== "half") return 1 / next.value;
    if (first.key === "half" || first.key === "quarter") {
      const share = first.key === "half" ? 0.5 : 0.25;
      return next?.kind === "scale" || next?.kind === "dozen" ? share * next.value : share;
    }
  }
  const whole = readWholeNumber(tokens, from, numbers);
  if (!whole) return undefined;
  return behind(tokens, whole.end, whole.value, numbers);
}

function digits(
  tokens: readonly Token[],
  from: number,
  numbers: ReadonlyMap<string, NumberWord>,
): number | undefined {
  const first = tokens[from] as Token;
  const next = tokens[from + 1];
  if (next?.text === "/" && tokens[from + 2]?.kind === "number")
    return first.value / (tokens[from + 2] as Token).value;
  const scale = next?.glued && next.kind === "word" ? SCALES[next.key] : undefined;
  if (scale) return first.value * scale;
  const whole = readWholeNumber(tokens, from, numbers);
  return behind(tokens, whole?.end ?? from + 1, whole?.value ?? first.value, numbers);
}

/** What may stand behind a whole number: "point two", "and a half", "over three", "fifths". */
function behind(
  tokens: readonly Token[],
  at: number,
  value: number,
  numbers: ReadonlyMap<string, NumberWord>,
): number | undefined {
  const word = tokens[at];
  if (!word) return value;
  if (word.key === "point") {
    let text = "";
    let next = at + 1;
    for (; numbers.get(tokens[next]?.key ?? "")?.kind === "unit"; next++)
      text += String(numbers.get((tokens[next] as Token).key)?.value);
    const decimal = Number(`${value}.${text}`);
    const scale = numbers.get(tokens[next]?.key ?? "");
    return scale?.kind === "scale" ? decimal * scale.value : decimal;
  }
  if (word.key === "over") {
    const below = readUnsigned(tokens, at + 1, numbers);
    return below ? value / below : undefined;
  }
  if (word.key === "and") {
    const part = readUnsigned(tokens, at + 1, numbers);
    return part !== undefined && part < 1 ? value + part : value;
  }
  const fraction = numbers.get(word.key);
  if (fraction?.kind === "fraction" || (fraction?.kind === "ordinal" && word.key.endsWith("s")))
    return value / fraction.value;
  const singular = numbers.get(word.key.replace(/s$/, ""));
  if (singular?.kind === "ordinal" && word.key.endsWith("s")) return value / singular.value;
  return value;
}

/** "31st", "thirty-first", "ninetieth". */
function readOrdinal(
  tokens: readonly Token[],
  from: number,
  numbers: ReadonlyMap<string, NumberWord>,
): number | undefined {
  const first = tokens[from] as Token;
  const next = tokens[from + 1];
  if (first.kind === "number")
    return next?.glued && numbers.get(next.key)?.kind === "suffix" ? first.value : undefined;
  const word = numbers.get(first.key);
  if (word?.kind === "ordinal") return word.value;
  const rank = numbers.get(next?.key ?? "");
  return word?.kind === "ten" && rank?.kind === "ordinal" && rank.value < 10
    ? word.value + rank.value
    : undefined;
}
