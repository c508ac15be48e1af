import { type Item, is, shaped, unread } from "../item.js";
import type { MessageView } from "./view.js";

/** A word that no table of the trade knows; as far as they go it names something of the world outside. */
export const outer = (item: Item | undefined): boolean => unread(item) && !item?.quoted;

/** Whether a word owns what stands behind it. */
export const possessive = (item: Item, view: MessageView): boolean =>
  view.tokens[item.end - 1]?.owner !== undefined;

/** "my colleague's jade plant has mealybugs": what somebody's own plants did or bear. */
export const kinOwned = (items: readonly Item[], view: MessageView): boolean =>
  !view.addressed &&
  items.some((item, i) => {
    const owner = items[i - 1];
    if (item.subject && owner && is(owner, "kin") && possessive(owner, view)) return true;
    const first = items[i - 2];
    const their =
      first !== undefined && (is(first, "foreign") || (is(first, "kin") && possessive(first, view)));
    return is(item, "seen") && their && (outer(owner) || is(owner, "elsewhere"));
  });

/**
 * "Geoff's echinocactus", "my coworkers aloe", "the club's hoya": the owner before the plant is nobody of this
 * household.
 */
export function owned(items: readonly Item[], view: MessageView): boolean {
  return items.some((item, i) => {
    if (!item.subject || item.subject.tag) return false;
    for (let at = i - 1; at >= 0 && at >= i - 2; at--) {
      const owner = items[at] as Item;
      if (owner.time || owner.measure || owner.subject || is(owner, "det")) return false;
      if (is(owner, "member") || is(owner, "place") || owner.token.kind !== "word") return false;
      if (possessive(owner, view) && !is(owner, "be")) return true;
      if (at === i - 1 && is(items[at - 1], "det") && bareOwner(owner)) return true;
    }
    return false;
  });
}

/** A plural before a plant, its apostrophe left out; "gorgeous" and "glass" are none. */
const bareOwner = (item: Item): boolean =>
  (outer(item) || is(item, "elsewhere")) && shaped(item, "owners") && item.token.key.length > 3;
