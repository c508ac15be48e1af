import type { Basis, Source } from "./care.js";

/** A caution of the hazards file. */
export interface Caution {
  /** What the caution is tied to: an accepted name, a family, a group, or `any`. */
  of: string;
  /** Acts and topics at which it matters: `repot`, `prune`, `treat`, `heat_on`, ...; empty: on asking only. */
  acts: readonly string[];
  text: string;
  basis: Basis;
  source: Source | null;
}
