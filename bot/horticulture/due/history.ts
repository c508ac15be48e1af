import { Temporal } from "temporal-polyfill";
import type { PastAct } from "./types.js";

/** Acts that the due engine looks back at. */
const REMEMBERED = new Set([
  "water",
  "feed",
  "repot",
  "rot",
  "treat",
  "skip",
  "acquire",
  "sow",
  "germinate",
  "prune",
]);
const KEPT_PER_ACT = 24;

/**
 * What was done to each plant, latest first. Who fills it works out the coverage (a genus, a group, a place,
 * everything, minus exceptions); see `statementCovers`.
 */
export class CareHistory {
  readonly #acts = new Map<string, Map<string, PastAct[]>>();

  /** Adds an act for the plants it covers; days may come in any order. */
  add(act: PastAct, plantIds: Iterable<string>): void {
    if (!REMEMBERED.has(act.act)) return;
    for (const id of plantIds) {
      let byAct = this.#acts.get(id);
      if (!byAct) {
        byAct = new Map();
        this.#acts.set(id, byAct);
      }
      const list = byAct.get(act.act) ?? [];
      let index = list.length;
      while (index > 0 && Temporal.PlainDate.compare((list[index - 1] as PastAct).to, act.to) < 0) index--;
      list.splice(index, 0, act);
      if (list.length > KEPT_PER_ACT) list.length = KEPT_PER_ACT;
      byAct.set(act.act, list);
    }
  }

  /** Latest first; empty if never. */
  of(plantId: string, act: string): readonly PastAct[] {
    return this.#acts.get(plantId)?.get(act) ?? [];
  }

  last(plantId: string, act: string): PastAct | null {
    return this.of(plantId, act)[0] ?? null;
  }
}
