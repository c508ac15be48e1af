/**
 * Distance between two words in insertions, deletions, substitutions and swaps of neighbours (optimal
 * string alignment), or `limit + 1` as soon as it must exceed the limit.
 */
export function distance(a: string, b: string, limit: number): number {
  if (Math.abs(a.length - b.length) > limit) return limit + 1;
  let before: number[] = [];
  let last: number[] = [];
  for (let j = 0; j <= b.length; j++) last.push(j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    let least = i;
    for (let j = 1; j <= b.length; j++) {
      const cost = a.charCodeAt(i - 1) === b.charCodeAt(j - 1) ? 0 : 1;
      let value = Math.min(
        (last[j] as number) + 1,
        (row[j - 1] as number) + 1,
        (last[j - 1] as number) + cost,
      );
      if (
        i > 1 &&
        j > 1 &&
        a.charCodeAt(i - 1) === b.charCodeAt(j - 2) &&
        a.charCodeAt(i - 2) === b.charCodeAt(j - 1)
      ) {
        value = Math.min(value, (before[j - 2] as number) + 1);
      }
      row.push(value);
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

/** Which letters a word has, one bit each. */
function letters(word: string): number {
  let mask = 0;
  for (let i = 0; i < word.length; i++) mask |= 1 << (word.charCodeAt(i) & 31);
  return mask;
}

function bits(mask: number): number {
  let rest = mask;
  let count = 0;
  while (rest !== 0) {
    rest &= rest - 1;
    count++;
  }
  return count;
}

/** Shortest word that is known by its sound alone. */
const SHORTEST_HEARD = 6;

/** Letters of botanical names that are written for one another by ear: "euforbia", "kalankoe", "eckinopsis". */
const HEARD: readonly (readonly [RegExp, string])[] = [
  [/ph/g, "f"],
  [/c?k|ch|qu/g, "c"],
  [/[ao]e/g, "e"],
  [/y/g, "i"],
  [/th/g, "t"],
  [/rh/g, "r"],
  [/z/g, "s"],
  [/(.)\1+/g, "$1"],
];

/** A word as it sounds to those who never saw it written; equal for words that are easily taken for one another. */
const soundOf = (word: string): string =>
  HEARD.reduce((heard, [letters, sound]) => heard.replace(letters, sound), word);

interface Entry<T> {
  word: string;
  mask: number;
  meaning: T;
  id: string;
}

/** Longest word whose misspelling is looked for. */
const LONGEST = 22;

/**
 * Words found by their misspellings: those that begin with the same letter, or with the first two letters
 * swapped, and share nearly all letters; and those that sound the same. Only a single nearest meaning is returned.
 */
export class NearWords<T> {
  readonly #byLetter = new Map<number, Entry<T>[]>();
  readonly #bySound = new Map<string, Entry<T>[]>();

  /** @param id words with one id mean the same and do not make each other ambiguous */
  add(word: string, id: string, meaning: T): void {
    if (word.length < 5) return;
    const entry: Entry<T> = { word, mask: letters(word), meaning, id };
    const letter = word.charCodeAt(0);
    const bucket = this.#byLetter.get(letter);
    if (bucket) bucket.push(entry);
    else this.#byLetter.set(letter, [entry]);
    if (word.length < SHORTEST_HEARD) return;
    const sound = soundOf(word);
    const alike = this.#bySound.get(sound);
    if (alike) alike.push(entry);
    else this.#bySound.set(sound, [entry]);
  }

  /** The one meaning that sounds like this word, counted as two edits. */
  #heard(word: string): { meaning: T; edits: number } | undefined {
    if (word.length < SHORTEST_HEARD) return undefined;
    const [first, ...others] = this.#bySound.get(soundOf(word)) ?? [];
    return first && others.every((other) => other.id === first.id)
      ? { meaning: first.meaning, edits: 2 }
      : undefined;
  }

  /** The one meaning within the allowed distance, or undefined where none or several are near. */
  nearest(word: string): { meaning: T; edits: number } | undefined {
    const limit = editsFor(word.length);
    if (limit === 0 || word.length > LONGEST) return undefined;
    const mask = letters(word);
    let best: Entry<T> | undefined;
    let edits = limit + 1;
    let tie = false;
    const first = word.charCodeAt(0);
    const second = word.charCodeAt(1);
    for (const letter of first === second ? [first] : [first, second]) {
      for (const entry of this.#byLetter.get(letter) ?? []) {
        if (Math.abs(entry.word.length - word.length) > limit) continue;
        if (letter !== first && entry.word.charCodeAt(1) !== first) continue;
        if (bits(mask ^ entry.mask) > 2 * limit) continue;
        const allowed = Math.min(limit, edits);
        const d = distance(word, entry.word, allowed);
        if (d > allowed) continue;
        if (d < edits) {
          best = entry;
          edits = d;
          tie = false;
        } else if (best && best.id !== entry.id) tie = true;
      }
    }
    if (best) return tie ? undefined : { meaning: best.meaning, edits };
    return this.#heard(word);
  }
}
