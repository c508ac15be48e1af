/**
 * The Latin of botany, which is the same in every language: endings of epithets and of plurals, and the signs that
 * stand inside a name (International Code of Nomenclature for algae, fungi, and plants; for cultivars the ICNCP).
 */

const EPITHET = /^[a-z]{3,}(?:a|us|um|is|ii|i|ae|oides|ens|ans|ior|ops|fera|ata)$/;

/** Whether a lower-case word could be a species epithet that the tables do not hold. */
export const looksLikeEpithet = (word: string): boolean => EPITHET.test(word);

const RANKS: ReadonlySet<string> = new Set(["var", "subsp", "ssp", "f", "cv", "spp", "sp", "aff", "cf"]);

/** "var", "subsp", "aff": says what the epithet behind it is, or how sure it is. */
export const isRank = (word: string): boolean => RANKS.has(word);

/** The sign of a hybrid, ×, typed as a letter. */
export const crosses = (word: string): boolean => word === "x";

/** "cv": a cultivar's name follows. */
export const marksCultivar = (word: string): boolean => word === "cv";

/** What a word could be the Latin or Greek plural of: "echinocacti" of echinocactus, "phalaenopses" of phalaenopsis. */
export function latinSingulars(word: string): string[] {
  const stem = word.slice(0, -1);
  if (word.endsWith("es")) return [`${stem.slice(0, -1)}is`];
  if (word.endsWith("ii")) return [`${stem.slice(0, -1)}us`, `${stem}us`];
  if (word.endsWith("i")) return [`${stem}us`];
  if (word.endsWith("as")) return [`${stem.slice(0, -1)}um`];
  if (word.endsWith("a")) return [`${stem}um`, `${stem}on`];
  return word.endsWith("ae") ? [stem] : [];
}
