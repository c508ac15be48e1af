import type { Entry, Interpretation } from "./interpretation.js";

/**
 * Whether what stands behind "sorry", "also" or "and" is complete by itself: a question, an instruction, an act of
 * its own, a reading that says of what and where or when. Then the word before it is courtesy; a fragment ("sorry,
 * the agaves", "also the gasterias", "sorry, 38") corrects or adds to what was logged last.
 */
export function complete(alone: Interpretation): boolean {
  if (alone.kind === "ask") return true;
  if (alone.kind === "instruct") return alone.instruction?.do !== "amend";
  if (alone.kind === "unclear") return alone.partial?.act !== undefined;
  const entries = alone.entries ?? [];
  return entries.length > 1 || entries.some(completeEntry);
}

function completeEntry(entry: Entry): boolean {
  const { reading } = entry;
  if (!reading) return true;
  const told = reading.statistic !== "current" || reading.quantity !== "air_temperature";
  const where = entry.place !== undefined;
  return entry.when === undefined ? told && where : told || where;
}
