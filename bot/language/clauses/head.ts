import type { Item } from "../item.js";
import { equipmentHead } from "./head-equipment.js";
import { lightHead } from "./head-light.js";
import { arrivalHead, nounHead, potHead, pouredHead, remedyHead } from "./head-noun.js";
import { seenHead, stateHead, upHead } from "./head-state.js";
import { baseHead, carriedOutHead, pollenHead, separableHead, verbHead } from "./head-verb.js";
import type { Head } from "./head-word.js";

/** Every head of a segment, best first choice only: the one head that the segment is about. */
export function headOf(items: readonly Item[]): Head | undefined {
  return (
    equipmentHead(items) ??
    pollenHead(items) ??
    carriedOutHead(items) ??
    verbHead(items) ??
    lightHead(items) ??
    separableHead(items) ??
    stateHead(items) ??
    seenHead(items) ??
    upHead(items) ??
    potHead(items) ??
    remedyHead(items) ??
    pouredHead(items) ??
    nounHead(items) ??
    arrivalHead(items) ??
    baseHead(items)
  );
}

export { followUpHead } from "./head-equipment.js";
export type { Head, HeadKind } from "./head-word.js";
