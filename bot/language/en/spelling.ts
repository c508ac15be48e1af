import { SHAPES } from "../language.js";

/** Shortest word that may have lost its last letter. */
const SHORTEST = 5;

/** "waterin", "thinkin": the whole form of a word whose "g" was swallowed; undefined for any other. */
export const wholeForm = (word: string): string | undefined =>
  word.length >= SHORTEST && word.endsWith("in") ? `${word}g` : undefined;

/**
 * "watered", "watering", "gently", "aloes", "gasteriae": what the ending of a word makes it. "Cactus" is not many, and
 * neither "glass" nor "gorgeous" is of several owners.
 */
export function shapeOf(word: string): number {
  let shape = 0;
  if (word.endsWith("ed")) shape |= SHAPES.past;
  if (word.endsWith("ing")) shape |= SHAPES.gerund;
  if (word.endsWith("ly")) shape |= SHAPES.adverb;
  if (word.endsWith("s") || word.endsWith("i") || word.endsWith("ae")) shape |= SHAPES.plural;
  if (/(?:[^u]s|i|ae)$/.test(word)) shape |= SHAPES.many;
  if (/[^su]s$/.test(word)) shape |= SHAPES.owners;
  return shape;
}

/** "pete's": "pete"; undefined for a word that owns nothing. */
export const ownerOf = (word: string): string | undefined =>
  word.endsWith("'s") ? word.slice(0, -2) : undefined;
