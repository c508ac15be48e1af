import type { Temporal } from "temporal-polyfill";
import { epochDay } from "./days.js";
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
  "prick_out",
  "prune",
]);
const KEPT_PER_ACT = 24;

interface Kept {
  acts: PastAct[];
  /** Last day of each, as days since 1970: what the counting works on. */
  days: number[];
}
const NOTHING: Kept = { acts: [], days: [] };

/**
 * What was done to each plant, latest first. Who fills it works out the coverage (a genus, a group, a place,
 * everything, minus exceptions); see `statementCovers`.
 */
export class CareHistory {
  readonly #acts = new Map<string, Map<string, Kept>>();

  /** Adds an act for the plants it covers; days may come in any order. */
  add(act: PastAct, plantIds: Iterable<string>): void {
    if (!REMEMBERED.has(act.act)) return;
    const day = epochDay(act.to);
    for (const id of plantIds) {
      let byAct = this.#acts.get(id);
      if (!byAct) {
        byAct = new Map();
        this.#acts.set(id, byAct);
      }
      let kept = byAct.get(act.act);
      if (!kept) {
        kept = { acts: [], days: [] };
        byAct.set(act.act, kept);
      }
      const { acts, days } = kept;
      const at = days.findIndex((other) => other <= day);
      const index = at === -1 ? days.length : at;
      acts.splice(index, 0, act);
      days.splice(index, 0, day);
      if (acts.length > KEPT_PER_ACT) {
        acts.length = KEPT_PER_ACT;
        days.length = KEPT_PER_ACT;
      }
    }
  }

  #kept(plantId: string, act: string): Kept {
    return this.#acts.get(plantId)?.get(act) ?? NOTHING;
  }

  /** Latest first; empty if never. */
  of(plantId: string, act: string): readonly PastAct[] {
    return this.#kept(plantId, act).acts;
  }

  /** The last days of the acts, as days since 1970, latest first. */
  days(plantId: string, act: string): readonly number[] {
    return this.#kept(plantId, act).days;
  }

  last(plantId: string, act: string): PastAct | null {
    return this.#kept(plantId, act).acts[0] ?? null;
  }

  lastOn(plantId: string, act: string): Temporal.PlainDate | null {
    return this.last(plantId, act)?.to ?? null;
  }
}
