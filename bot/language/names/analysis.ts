import { type Item, itemOf } from "../item.js";
import { meaningOf } from "../sense.js";
import type { Token } from "../tokenise.js";

/** More of a nutrient than this, in per cent, no fertiliser holds; years are larger. */
const MOST = 60;

/**
 * The analysis of a fertiliser, "10-10-10", which stands for the fertiliser itself; its three parts are per cent of
 * nitrogen, phosphate and potash (common practice). Three numbers that differ may be a date and are left alone,
 * unless something is done "with" them.
 * @param led whether the word before leads to what was used
 */
export function readAnalysis(tokens: readonly Token[], from: number, led: boolean): Item | undefined {
  if (!hyphen(tokens[from + 1]) || !hyphen(tokens[from + 3])) return undefined;
  const parts = [0, 2, 4].flatMap((step) => tokens[from + step] ?? []);
  if (parts.length < 3 || !parts.every((part) => part.kind === "number" && fits(part.value)))
    return undefined;
  const equal = parts.every((part) => part.text === parts[0]?.text);
  if (!equal && !led) return undefined;
  const value = parts.map((part) => part.text).join("-");
  const senses = ["product", "feedstuff"].map((cls) => meaningOf({ cls, value }));
  return itemOf(from, from + 5, tokens[from] as Token, senses);
}

const fits = (part: number): boolean => Number.isInteger(part) && part >= 0 && part <= MOST;
const hyphen = (token: Token | undefined): boolean => token?.text === "-" && token.glued;
