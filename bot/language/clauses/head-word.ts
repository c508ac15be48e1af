import type { Act } from "../interpretation.js";
import { type Item, is, value } from "../item.js";
import type { Sense, VerbForm } from "../sense.js";

export type HeadKind =
  | "verb"
  | "light"
  | "state"
  | "seen"
  | "pest"
  | "noun"
  | "equipment"
  | "up"
  | "reading"
  | "base";

/** The word that says what was done or seen in a clause. */
export interface Head {
  act: Act;
  kind: HeadKind;
  form: VerbForm | "none";
  /** Index of the item in its segment. */
  at: number;
  slots?: Readonly<Record<string, string>>;
  /** Index of the noun that completes a light verb ("gave ... a drink"). */
  complement?: number;
}

export const some = (items: readonly Item[], cls: string, from = 0, to = items.length): number => {
  for (let i = from; i < to; i++) if (is(items[i], cls) && !items[i]?.quoted) return i;
  return -1;
};

export const has = (items: readonly Item[], cls: string): boolean => some(items, cls) >= 0;

export const hasPot = (items: readonly Item[]): boolean =>
  has(items, "pot") || has(items, "material") || items.some((item) => item.measure?.dimension === "length");

/** A remedy, and neither a feed nor rainwater. */
export const isRemedy = (item: Item): boolean =>
  is(item, "product") && !is(item, "feedstuff") && !/water/.test(item.token.key);

export const poured = (items: readonly Item[], at: number): boolean =>
  items.slice(at).some((item) => item.measure?.dimension === "volume" || item.measure?.unit === "[oz_av]");

/** Whether the sentence has what this meaning of a verb asks for: "hit" treats only with a remedy. */
export function supported(meaning: Sense, items: readonly Item[], at: number): boolean {
  const needs = meaning.slots?.needs;
  if (!needs) return true;
  const behind = items.slice(at + 1);
  const target = behind.some((item) => item.subject || is(item, "pron") || is(item, "place"));
  switch (needs) {
    case "seed":
      return has(items, "seednoun") || has(items, "seedpod");
    case "remedy": {
      const passive = items.slice(0, at).some((item) => item.subject);
      const unknown = behind.findIndex((item) => value(item, "prep") === "with");
      const named = unknown >= 0 && behind[unknown + 1]?.unknown === true;
      return (target || passive) && (behind.some(isRemedy) || named);
    }
    case "volume":
      return (
        target &&
        behind.some((item) => item.measure?.dimension === "volume" || value(item, "actnoun") === "water")
      );
    case "place":
      return behind.some((item) => is(item, "place") || is(item, "fitting"));
    case "pot":
      return target && hasPot(behind);
    case "plants":
      return behind.some((item) => item.subject) && !behind.some((item) => is(item, "pest"));
    case "cause":
      return (
        behind.some((item) => item.subject) &&
        items
          .slice(0, at)
          .some((item) => is(item, "cause") || is(item, "pest") || value(item, "seen") === "rot")
      );
    default:
      return true;
  }
}
