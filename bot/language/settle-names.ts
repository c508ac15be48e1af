import { type Item, is, sense } from "./item.js";
import { namesPlant } from "./names/number-tags.js";

/**
 * Settles what only the neighbouring words decide: a number that is also a plant's tag ("repotted 20 into a
 * 10"), and a name that merely describes something else ("a cactus jumper").
 */
export function settleNames(items: readonly Item[]): Item[] {
  const settled: Item[] = [];
  items.forEach((item, at) => {
    const tag = item.measure ? sense(item, "name") : undefined;
    if (tag?.subject) {
      const named = namesPlant(items, at);
      settled.push(named ? { ...item, measure: undefined, subject: tag.subject } : { ...item, senses: [] });
    } else if (describes(items, at)) {
      settled.push({ ...item, subject: undefined, senses: [] });
    } else settled.push(item);
  });
  return settled;
}

/** "cactus jumper", "aloe vera gel": a name before a noun that makes it a thing and no plant. */
function describes(items: readonly Item[], at: number): boolean {
  const item = items[at] as Item;
  if (!item.subject || item.subject.tag || item.subject.name || item.subject.all) return false;
  const next = items[at + 1];
  return next !== undefined && (is(next, "modified") || is(next, "elsewhere")) && !next.time;
}
