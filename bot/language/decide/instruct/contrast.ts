import type { Entry } from "../../interpretation.js";
import { actIn, type Item, is, says, value } from "../../item.js";
import { type InstructionView, light } from "./view.js";

/** What an item can stand for in an entry. */
export const facetOf = (item: Item | undefined): string | undefined => {
  if (!item) return undefined;
  if (item.subject) return "subject";
  if (item.time) return "time";
  if (item.measure) return "measure";
  if (is(item, "member") || is(item, "self") || is(item, "objectself") || is(item, "kin")) return "person";
  if (pastAct(item)) return "act";
  return ["place", "pest", "product", "substrate", "material"].find((cls) => is(item, cls));
};

const pastAct = (item: Item | undefined): Entry["act"] | undefined =>
  actIn(item, "past")?.value as Entry["act"] | undefined;

/** Where "not" denies something: its index, and that of what it denies. */
function denial(items: readonly Item[]): { at: number; of: number } | undefined {
  const at = items.findIndex((item) => says(item, "denies"));
  let of = at + 1;
  while (at >= 0 && (is(items[of], "det") || is(items[of], "prep")) && !facetOf(items[of])) of++;
  return at >= 0 && items[of] ? { at, of } : undefined;
}

/** "in the bay, not the lean-to", "Dev did it not me": of two of a kind, one is denied. */
export function contrasts(items: readonly Item[]): boolean {
  const denied = denial(items);
  const facet = denied && facetOf(items[denied.of]);
  if (!denied || !facet) return false;
  if (denied.at > 0 && facet === "measure") return true;
  return items.some((item, i) => (i < denied.at || i > denied.of) && facetOf(item) === facet);
}

/** "it was fed, not watered", "I meant misted": another act than the one logged. */
export function otherAct(
  { items }: InstructionView,
  understood: (item: Item) => boolean,
): Entry["act"] | undefined {
  const denied = denial(items);
  const kept = items.filter((item, i) => pastAct(item) && !item.subject && !(denied && i > denied.at));
  const meant = items.some((item) => is(item, "meantword"));
  const opposed = denied !== undefined && facetOf(items[denied.of]) === "act";
  const plain = items.every((item) => light(item) || pastAct(item) || understood(item));
  return kept.length === 1 && plain && (opposed || (meant && !items.some((item) => item.subject)))
    ? pastAct(kept[0])
    : undefined;
}

/** "change the product to seaweed", "the mix was pumice": where the value begins, or -1. */
export function slotValue({ items, first }: InstructionView): number {
  const slot = items.findIndex((item, i) => i >= first && i <= first + 3 && is(item, "slotname"));
  if (slot < 0 || items.length > 12) return -1;
  const bidden = value(items[first], "order") === "set" && slot > first;
  const link = items.findIndex(
    (item, i) => i > slot && (bidden ? value(item, "prep") === "to" : is(item, "be")),
  );
  if (link < 0 || link > slot + 2) return -1;
  const stated = !bidden && items.slice(first, slot).every((item) => is(item, "det"));
  return (bidden || stated) && facetOf(items[link + 1]) ? link + 1 : -1;
}
