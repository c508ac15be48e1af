import { type Item, is, isAct, says, value } from "../item.js";
import { headOf } from "./head.js";
import { isRemedy } from "./head-word.js";
import type { Segment } from "./segment.js";

/** "thrips on the hoyas neem at 2 tbsp a gallon": where the remedy begins behind what was seen, or -1. */
export function cutRemedy(items: readonly Item[]): number {
  const pest = items.findIndex((item) => is(item, "pest") && !item.subject);
  if (pest < 0 || pest > 1 || value(items[pest + 1], "prep") !== "on") return -1;
  const at = items.findIndex((item, i) => i > pest + 1 && isRemedy(item) && !item.subject);
  const acted = items.some((item) => isAct(item, "past"));
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

/** "after Jo sprayed the hoyas the leaves started falling off": whether the leaves that fall begin here, behind an act. */
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

const TOLD: ReadonlySet<string> = new Set(["verb", "light", "equipment", "state"]);

/** "heater on in the hoop supposed to hit 5 tonight": where a forecast begins behind what was done for it, or -1. */
export function cutForecast(items: readonly Item[]): number {
  const at = items.findIndex((item, i) => i > 1 && says(item, "forecasts") && !item.quoted);
  if (at < 0) return -1;
  const before = items[at - 1];
  if (is(before, "be") || is(before, "self") || is(before, "member") || is(before, "kin")) return -1;
  const kind = headOf(items.slice(0, at))?.kind;
  return kind !== undefined && TOLD.has(kind) ? at : -1;
}

/** "fan on in the hoop, 95 in there": where a value without its place begins behind an act, or -1. */
export function cutThere(items: readonly Item[]): number {
  const there = items.findIndex((item) => is(item, "there"));
  const at = is(items[there - 1], "prep") ? there - 2 : there - 1;
  const measure = items[at]?.measure;
  const bare = measure !== undefined && !measure.unit && !measure.article && !items[at]?.time;
  return bare && at > 1 && items.slice(0, at).some((item) => is(item, "equipment")) ? at : -1;
}

/** "and it's April": a word about the season, which dates nothing. */
export function remarksSeason(items: readonly Item[]): boolean {
  const [first, ...rest] = items;
  const months = rest.filter(({ time }) => time?.span?.kind === "month" || time?.span?.kind === "season");
  return (
    says(first, "says what it is") &&
    months.length === 1 &&
    rest.every((item) => item.time ?? (is(item, "filler") || is(item, "degree") || says(item, "restricts")))
  );
}

/** "20 blooming like crazy fatso has 6 buds": where another plant with a sight of its own begins, or -1. */
export function cutOther(items: readonly Item[]): number {
  const state = items.findIndex((item) => !item.subject && isAct(item, "state"));
  if (state < 1 || !items.slice(0, state).some((item) => item.subject)) return -1;
  const at = items.findIndex(
    (item, i) => i > state && item.subject !== undefined && value(items[i + 1], "light") === "have",
  );
  if (at < 0 || !items.slice(at + 2).some((item) => is(item, "seen"))) return -1;
  return is(items[at - 1], "det") ? at - 1 : at;
}
