import { type Item, value } from "../item.js";

/** "pruned the jade 14 cuttings": what was cut off has a number of its own. */
export function cutCuttings(items: readonly Item[]): number {
  const last = items.length - 1;
  const counted = items[last - 1]?.measure;
  if (last < 3 || !counted || counted.unit || counted.article) return -1;
  if (value(items[last], "actnoun") !== "take_cutting" || !items[last - 2]?.subject) return -1;
  const pruned = items
    .slice(0, last - 2)
    .some((item) => item.senses.some((one) => one.value === "prune" && one.form === "past"));
  return pruned ? last - 1 : -1;
}

/** "sowed 15 adenium 3 came up": so many of those before. */
export const germinated = (items: readonly Item[], at: number): boolean => {
  const measure = items[at - 1]?.measure;
  const sprouts = items[at]?.senses.some((one) => one.value === "germinate" && one.form === "state") ?? false;
  return sprouts && at > 2 && measure !== undefined && !measure.unit && !measure.article;
};
