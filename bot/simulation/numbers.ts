/** Numbers in [0, 1) that depend on their words alone: the same simulation runs the same way every time. */
export function chance(...words: readonly (string | number)[]): number {
  let hash = 2166136261;
  for (const letter of words.join("|")) {
    hash ^= letter.codePointAt(0) as number;
    hash = Math.imul(hash, 16777619);
  }
  hash ^= hash >>> 16;
  hash = Math.imul(hash, 2246822507);
  hash ^= hash >>> 13;
  hash = Math.imul(hash, 3266489909);
  hash ^= hash >>> 16;
  return (hash >>> 0) / 4294967296;
}
