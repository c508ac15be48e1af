import type { Interpretation } from "./interpretation.js";

/** A rule's answer with the items it took, so that the rest can be kept as the remainder. */
export interface Decision {
  interpretation: Interpretation;
  used: ReadonlySet<number>;
  rule: string;
}
