import type { Basis, Source } from "./care.js";
import type { ResolvedTaxon } from "./resolution.js";

/** A caution of the hazards file. */
export interface Caution {
  /** Names the row: "latex-euphorbia". */
  key: string;
  /** Accepted names, families or groups it is tied to; empty where only the act matters. */
  of: readonly string[];
  /** Acts and topics at which it matters: `repot`, `prune`, `treat`, `heat_on`, ...; empty: only when asked for. */
  acts: readonly string[];
  /** Few words: "irritant latex: gloves and goggles". */
  text: string;
  /** What to do when it happened, never more than first aid; may be empty. */
  firstAid: string;
  basis: Basis;
  source: Source | null;
}

/**
 * Cautions of a taxon that matter at an act or topic, the closest to the taxon first. `hazard` and `any` ask for all of
 * them; what is tied to an act alone (mains in the damp) is told by {@link cautionsAt}.
 * @param groups growers' groups of the taxon
 */
export function cautionsFor(
  name: Pick<ResolvedTaxon, "accepted" | "genus" | "species" | "family">,
  act: string,
  cautions: readonly Caution[],
  groups: readonly string[] = [],
): Caution[] {
  const epithet = name.species?.split(" ")[0];
  const names = [
    name.accepted,
    ...(name.genus && epithet ? [`${name.genus} ${epithet}`] : []),
    ...(name.genus ? [name.genus] : []),
    ...(name.family ? [name.family] : []),
    ...groups,
  ];
  const closeness = (caution: Caution) =>
    Math.min(...caution.of.map((of) => (names.includes(of) ? names.indexOf(of) : Number.POSITIVE_INFINITY)));
  return cautions
    .filter((caution) => Number.isFinite(closeness(caution)))
    .filter(
      (caution) =>
        act === "hazard" || (act === "any" && caution.acts.length > 0) || caution.acts.includes(act),
    )
    .sort((a, b) => closeness(a) - closeness(b));
}

/** Cautions of an act whatever the plant: a heater in the damp, a pesticide. */
export function cautionsAt(act: string, cautions: readonly Caution[]): Caution[] {
  return cautions.filter((caution) => caution.of.length === 0 && caution.acts.includes(act));
}
