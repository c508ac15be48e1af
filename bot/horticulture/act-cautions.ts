import { type Caution, cautionsAt, cautionsFor } from "./cautions.js";
import type { SubjectLike } from "./coverage.js";
import type { CareKnowledge } from "./knowledge.js";

/**
 * Cautions that an act calls for: those of the plants it is done to (latex when a Euphorbia is cut), then those of the
 * act itself (a pesticide, mains in the damp). Each once, the closest to the plants first; none for most acts.
 */
export function cautionsOfAct(
  act: string,
  subjects: readonly SubjectLike[],
  knowledge: CareKnowledge,
): Caution[] {
  const told = new Map<string, Caution>();
  for (const { genus, species } of subjects) {
    if (genus === undefined) continue;
    const name = knowledge.index.resolve(species === undefined ? genus : `${genus} ${species}`);
    if (name.kind !== "taxon") continue;
    const groups = knowledge.lookup.findResolved(name)?.taxon.groups;
    for (const caution of cautionsFor(name, act, knowledge.cautions, groups)) told.set(caution.text, caution);
  }
  for (const caution of cautionsAt(act, knowledge.cautions)) told.set(caution.text, caution);
  return [...told.values()];
}
