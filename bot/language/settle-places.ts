import { type Item, is, itemOf, value } from "./item.js";
import { type Meaning, meaningOf } from "./sense.js";

/** "the cold north house": the most words that may stand before the noun. */
const MOST_MODIFIERS = 2;
const PLACED: readonly Meaning[] = [meaningOf({ cls: "placeword", value: "named" })];
const LEADING: ReadonlySet<string> = new Set(["in", "into", "on", "at", "to", "from"]);

/**
 * Reads the name of a place that the household has not told yet: a noun of place with the words that tell it from
 * others ("in the long house", "on the top shelf", "from the cactus bench"), where a word of direction leads to it, or
 * where it opens the message and a reading follows ("Long House: min 3").
 */
export function settlePlaces(items: readonly Item[]): Item[] {
  if (!items.some((item) => is(item, "placehead"))) return items as Item[];
  const settled: Item[] = [];
  for (const [at, item] of items.entries()) {
    const from = is(item, "placehead") && !is(items[at + 1], "placehead") ? nameFrom(items, at) : -1;
    if (from < 0) {
      settled.push(item);
      continue;
    }
    const first = items[from] as Item;
    settled.length -= at - from;
    settled.push(itemOf(first.start, item.end, first.token, PLACED));
  }
  return settled;
}

/** Where the name begins that ends with the noun at `at`, or -1 where it is none. */
function nameFrom(items: readonly Item[], at: number): number {
  let from = at;
  while (from > 0 && at - from < MOST_MODIFIERS && modifies(items[from - 1] as Item)) from--;
  if (from === at) return -1;
  const opened = is(items[from - 1], "det") ? from - 1 : from;
  const lead = items[opened - 1];
  if (lead === undefined) return reads(items, at + 1) ? from : -1;
  return LEADING.has(value(lead, "prep") ?? "") &&
    (opened < from || lead.end > lead.start + 1 || !items[from]?.subject)
    ? from
    : -1;
}

/** A word that may tell one house or bench from another: none that has a part of its own in the sentence. */
function modifies(item: Item): boolean {
  if (item.token.kind !== "word" || item.time || item.measure || item.end > item.start + 1) return false;
  if (item.subject) return item.subject.tag === undefined && item.subject.all === undefined;
  if (item.senses.some((one) => one.cls === "act" && one.form !== "gerund")) return false;
  return ![
    "det",
    "prep",
    "place",
    "pron",
    "and",
    "be",
    "act",
    "head",
    "stat",
    "reach",
    "polarity",
    "elsewhere",
  ].some((cls) => is(item, cls));
}

/** Whether a value of an instrument follows. */
function reads(items: readonly Item[], from: number): boolean {
  const colon = items[from]?.token.text === ":" ? 1 : 0;
  const next = items[from + colon];
  return (
    next !== undefined && (is(next, "stat") || is(next, "reach") || next.measure?.dimension === "temperature")
  );
}
