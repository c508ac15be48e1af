import { type Item, is, value } from "../item.js";
import { hasPot } from "./head-word.js";

/** Words before the pot that plants went into. */
const TOWARD = ["to", "into", "for"];

/**
 * Where the new pot begins behind the old one, "12in clay to 14in plastic", "the plastic pot for a glazed one": the index
 * of the word between them, or -1 where but one pot is spoken of.
 */
export const newPotAt = (items: readonly Item[], from: number): number =>
  items.findIndex(
    (item, i) =>
      i > from &&
      TOWARD.includes(value(item, "prep") ?? "") &&
      describes(items.slice(from, i)) &&
      begins(items, i + 1),
  );

/** "repotted into 8cm terracotta, was in a 6": the number is of the pot before. */
export function formerPot(items: readonly Item[]): boolean {
  const at = items.findIndex((item) => is(item, "be"));
  const lead = items.slice(0, Math.max(at, 0)).every((item) => is(item, "pron") || is(item, "det"));
  if (at < 0 || !lead || value(items[at + 1], "prep") !== "in") return false;
  // "it was in the 30s"
  if (value(items[at + 2], "det") === "the") return false;
  const rest = items.slice(at + 2);
  const sized = rest.some(({ measure }) => measure && !measure.article && measure.value > 1);
  return sized && rest.length <= 4 && !rest.some(({ time }) => time);
}

/** A size or a material, not "the pot" alone. */
const describes = (items: readonly Item[]): boolean =>
  items.some((item) => item.measure?.dimension === "length" || is(item, "material"));

/** Whether a pot is described right behind the word before it: "a new 14in plastic one". */
function begins(items: readonly Item[], from: number): boolean {
  let at = from;
  while (is(items[at], "det") || is(items[at], "newness") || is(items[at], "degree")) at++;
  const item = items[at];
  const sized = item?.measure !== undefined && !item.time && hasPot(items.slice(at + 1, at + 2));
  return item !== undefined && (describes([item]) || sized);
}

/** "swapped the jade's 4in plastic for a 6in clay": a plant's pot given up for another. */
export const exchangesPot = (items: readonly Item[], verb: number): boolean => {
  const to = newPotAt(items, verb);
  return to > verb && items.slice(verb, to).some((item) => item.subject ?? is(item, "pron"));
};
