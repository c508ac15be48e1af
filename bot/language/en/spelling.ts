/** Shortest word that may have lost its last letter. */
const SHORTEST = 5;

/** "waterin", "thinkin": the whole form of a word whose "g" was swallowed; undefined for any other. */
export const wholeForm = (word: string): string | undefined =>
  word.length >= SHORTEST && word.endsWith("in") ? `${word}g` : undefined;
