import { Classes, classesOf, MEASURE } from "../classes.js";
import type { Item } from "../item.js";
import { equipmentHead } from "./head-equipment.js";
import { lightHead } from "./head-light.js";
import { arrivalHead, lossHead, nounHead, potHead, pouredHead, remedyHead, wentHead } from "./head-noun.js";
import { seenHead, stateHead, upHead } from "./head-state.js";
import { baseHead, carriedOutHead, pollenHead, separableHead, verbHead } from "./head-verb.js";
import type { Head } from "./head-word.js";

type HeadReader = (items: readonly Item[]) => Head | undefined;

/** The readers of heads, best first, each with the classes without which it finds nothing. */
const READERS: readonly (readonly [needs: Classes, read: HeadReader])[] = [
  [Classes.named("equipment", "openclose", "actnoun", "light"), equipmentHead],
  [Classes.named("pollenword"), pollenHead],
  [Classes.named("carriedout"), carriedOutHead],
  [Classes.named("act past", "mayact"), verbHead],
  [Classes.named("light"), lightHead],
  [Classes.named("sep"), separableHead],
  [Classes.named("nounleaf", "act state"), stateHead],
  [Classes.named("lossnoun"), lossHead],
  [Classes.named("pest", "seen"), seenHead],
  [Classes.named("uppredicate"), upHead],
  [Classes.named("pot", "material", MEASURE), potHead],
  [Classes.named("place"), wentHead],
  [Classes.named("product", MEASURE), remedyHead],
  [Classes.named(MEASURE), pouredHead],
  [Classes.named("actnoun", "act gerund", "feedstuff", "dose"), nounHead],
  [Classes.named("newness", "member", "kin", "arrive", MEASURE), arrivalHead],
  [Classes.named("act base", "act third"), baseHead],
];

/** The one head that a segment is about: what the first reader finds. */
export function headOf(items: readonly Item[]): Head | undefined {
  const standing = classesOf(items);
  for (const [needs, read] of READERS) {
    if (!needs.meets(standing)) continue;
    const found = read(items);
    if (found) return found;
  }
  return undefined;
}

export { followUpHead } from "./head-equipment.js";
export type { Head, HeadKind } from "./head-word.js";
