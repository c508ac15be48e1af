import type { Act } from "../interpretation.js";
import { type Item, is } from "../item.js";
import type { Head } from "./head.js";
import type { Segment, Strength } from "./segment.js";

/** A run of items about one act. */
export interface Clause {
  items: Item[];
  head?: Head;
  before: Strength;
  joint: string;
  /** The act that a clause without a verb goes on with. */
  carries?: Act;
  /** The act was left out and is the clause before's: "... and the aloes a good soak". */
  inherits?: true;
  /** The head behind this clause, in a list that stands before its verb: "S-007 (9cm) and Spotty (13cm) repotted". */
  lent?: Head;
}

/** Acts whose numbers count seeds, cuttings or buds and not whole plants: each count is an entry of its own. */
export const COUNTED_ACTS: ReadonlySet<Act> = new Set<Act>(["sow", "germinate", "take_cutting", "prick_out"]);

export interface Headed extends Segment {
  head?: Head;
  reading: boolean;
}

/** Whether a run of items states a value that was read off an instrument. */
export function readsValue(items: readonly Item[]): boolean {
  const cue = items.some(
    (item) => is(item, "quantity") || is(item, "stat") || is(item, "reach") || is(item, "place"),
  );
  const plants =
    items.some((item) => item.subject) && !items.some((item) => is(item, "quantity") || is(item, "stat"));
  for (let i = 0; i < items.length; i++) {
    const item = items[i] as Item;
    const measure = item.measure;
    if (!measure || item.quoted || items[i + 1]?.subject || measure.article) continue;
    if (plants && !measure.dimension && !measure.signed) continue;
    const dimension = measure.dimension;
    if (dimension === "temperature" || dimension === "percent" || dimension === "illuminance") return true;
    if (dimension === "energy") return true;
    if (
      !dimension &&
      measure.ratio === undefined &&
      measure.strength === undefined &&
      (cue || measure.signed)
    )
      return true;
  }
  return false;
}

export const actOf = (clause: Clause): Act | undefined => clause.head?.act ?? clause.carries;

export const nameIndex = (items: readonly Item[]): number => items.findIndex((item) => item.subject);
