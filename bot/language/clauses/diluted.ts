import { type Item, shaped, unread, value } from "../item.js";

/** Index of a dilution, "5 g to the litre", from `from` on, or -1. */
const dilutionAt = (items: readonly Item[], from = 0): number =>
  items.findIndex(
    ({ measure }, i) =>
      i >= from && (measure?.dimension === "volume/volume" || measure?.dimension === "mass/volume"),
  );

/**
 * Where a product that no table knows stands right before its dilution, "potassium bicarbonate at 5 g to the litre";
 * undefined where there is none.
 */
export function dilutedProduct(items: readonly Item[]): { from: number; end: number } | undefined {
  const at = dilutionAt(items);
  if (at < 1) return undefined;
  const end = value(items[at - 1], "prep") === "at" ? at - 1 : at;
  let from = end;
  while (from > 0 && end - from < MOST_WORDS && mayName(items[from - 1] as Item)) from--;
  return from < end ? { from, end } : undefined;
}

const MOST_WORDS = 3;

const mayName = (item: Item): boolean => unread(item) && !shaped(item, "adverb");
