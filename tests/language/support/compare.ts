import type { Interpretation } from "../../../bot/language/interpretation.js";

/** Keys that tell of the writing and not of the meaning. */
const ASIDE = new Set(["as", "remainder", "partial", "failure", "erase", "detail"]);
const SETS = new Set(["subjects", "except", "missing"]);

/** A canonical form: keys in order, lists that are sets sorted, asides left out. */
function canonical(value: unknown, key = ""): unknown {
  if (Array.isArray(value)) {
    const items = value.map((one) => canonical(one));
    return SETS.has(key) ? items.map((one) => JSON.stringify(one)).sort() : items;
  }
  if (value && typeof value === "object") {
    const entries = Object.entries(value)
      .filter(([name, one]) => !ASIDE.has(name) && one !== undefined)
      .sort(([a], [b]) => (a < b ? -1 : 1));
    return Object.fromEntries(entries.map(([name, one]) => [name, canonical(one, name)]));
  }
  return value;
}

/** Whether two interpretations have the same frame: kind and every key of every entry, question or instruction. */
export const sameFrame = (a: Interpretation, b: Interpretation): boolean =>
  JSON.stringify(canonical(a)) === JSON.stringify(canonical(b));
