import { type Item, is, says, value } from "../item.js";
import { isRemedy } from "./head-word.js";
import type { Segment } from "./segment.js";

/** "thrips on the hoyas neem at 2 tbsp a gallon": where the remedy begins behind what was seen, or -1. */
export function cutRemedy(items: readonly Item[]): number {
  const pest = items.findIndex((item) => is(item, "pest") && !item.subject);
  if (pest < 0 || pest > 1 || value(items[pest + 1], "prep") !== "on") return -1;
  const at = items.findIndex((item, i) => i > pest + 1 && isRemedy(item) && !item.subject);
  const acted = items.some((item) => item.senses.some((one) => one.cls === "act" && one.form === "past"));
  return at > pest + 2 && items[at - 1]?.subject && !acted ? at : -1;
}

/** "its leaves are yellow and falling off": what falls are the leaves spoken of before. */
export function joinFalling(segments: readonly Segment[]): Segment[] {
  const joined: Segment[] = [];
  for (const part of segments) {
    const before = joined.at(-1);
    const leaves = before?.items.some((item) => value(item, "nounleaf") === "leaf");
    const falls = part.before === 1 && says(part.items[0], "falls") && part.items.length <= 2;
    if (before && leaves && falls)
      joined[joined.length - 1] = { ...before, items: [...before.items, ...part.items] };
    else joined.push(part);
  }
  return joined;
}

/** "after Jo sprayed the hoyas the leaves started falling off": where the leaves begin behind an act, or -1. */
export function leavesFall(items: readonly Item[], at: number): boolean {
  if (value(items[at], "nounleaf") !== "leaf" || at < 2 || !is(items[at - 1], "det")) return false;
  return items.slice(at + 1, at + 4).some((item) => says(item, "falls"));
}

const skips = (item: Item | undefined): boolean =>
  item?.senses.some((one) => one.value === "skip" && one.form === "gerund") ?? false;

/** "skipping Tank he's asleep", "no water for the cacti this week skipping them": where the second clause begins, or -1. */
export function cutSkipped(items: readonly Item[]): number {
  const at = items.findIndex(skips);
  if (at < 0) return -1;
  if (at > 1 && is(items[at + 1], "pron") && items.slice(0, at).some((item) => item.subject)) return at;
  return items.findIndex((item, i) => i > at + 1 && says(item, "says they are"));
}
