/**
 * Distance between two words in insertions, deletions, substitutions and swaps of neighbours (optimal
 * string alignment), or `limit + 1` as soon as it must exceed the limit.
 */
export function distance(a: string, b: string, limit: number): number {
  if (Math.abs(a.length - b.length) > limit) return limit + 1;
  let before: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, i) => i);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    let least = i;
    for (let j = 1; j <= b.length; j++) {
      const cost = a[i - 1] === b[j - 1] ? 0 : 1;
      let value = Math.min(
        (last[j] as number) + 1,
        (row[j - 1] as number) + 1,
        (last[j - 1] as number) + cost,
      );
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        value = Math.min(value, (before[j - 2] as number) + 1);
      }
      row[j] = value;
      if (value < least) least = value;
    }
    if (least > limit) return limit + 1;
    before = last;
    last = row;
  }
  return last[b.length] as number;
}

/** Edits that a word of this length is allowed: short words are too easily something else. */
const editsFor = (length: number): number => (length >= 9 ? 2 : length >= 5 ? 1 : 0);

/**
 * Words found by their misspellings. Candidates are those that share the first letter or the second and
 * third, in buckets, so that a look-up stays cheap; only a single nearest meaning is returned.
 */
export class NearWords<T> {
  readonly #byStart = new Map<string, { word: string; meaning: T; id: string }[]>();

  /** @param id words with one id mean the same and do not make each other ambiguous */
  add(word: string, id: string, meaning: T): void {
    if (word.length < 5) return;
    for (const start of starts(word)) {
      const bucket = this.#byStart.get(start);
      if (bucket) bucket.push({ word, meaning, id });
      else this.#byStart.set(start, [{ word, meaning, id }]);
    }
  }

  /** The one meaning within the allowed distance, or undefined where none or several are near. */
  nearest(word: string): { meaning: T; edits: number } | undefined {
    const limit = editsFor(word.length);
    if (limit === 0 || word.length > 24) return undefined;
    let best: { meaning: T; id: string } | undefined;
    let edits = limit + 1;
    let tie = false;
    for (const start of starts(word)) {
      for (const entry of this.#byStart.get(start) ?? []) {
        const d = distance(word, entry.word, Math.min(limit, edits));
        if (d > limit || d > edits) continue;
        if (d < edits) {
          best = entry;
          edits = d;
          tie = false;
        } else if (best && best.id !== entry.id) tie = true;
      }
    }
    return best && !tie ? { meaning: best.meaning, edits } : undefined;
  }
}

const starts = (word: string): string[] => [
  `^${word.slice(0, 2)}`,
  `.${word.slice(1, 4)}`,
  `-${word.slice(-4)}`,
];
