import type { Act } from "../interpretation.js";
import { type Item, is, says } from "../item.js";
import type { VerbForm } from "../sense.js";

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
  is(item, "product") && !is(item, "feedstuff") && !says(item, "is water");

export const poured = (items: readonly Item[], at: number): boolean =>
  items.slice(at).some((item) => item.measure?.dimension === "volume" || item.measure?.unit === "[oz_av]");
