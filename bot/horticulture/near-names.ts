import { editDistance, heard } from "./spelling.js";

export interface NearName {
  key: string;
  /** Slips between the word and the key; heard alike but written otherwise counts as half a slip. */
  distance: number;
  /** Near enough to be taken without asking. */
  sure: boolean;
}

interface Key {
  key: string;
  sound: string;
  words: number;
  /** Letters that occur, as bits: far apart in letters is far apart in edits. */
  letters: number;
  soundLetters: number;
  /** In use today: accepted, common, or a known slip of one. Old names need to be hit closer. */
  current: boolean;
}

/** Letters that people take for one another at the beginning of a name. */
const ALIKE: Readonly<Record<string, string>> = { c: "k", k: "c", f: "p", p: "f", s: "z", z: "s" };

const lettersOf = (text: string): number => {
  let bits = 0;
  for (let i = 0; i < text.length; i++) bits |= 1 << ((text.charCodeAt(i) - 97) & 31);
  return bits;
};

function bitCount(bits: number): number {
  let count = 0;
  for (let left = bits; left !== 0; left &= left - 1) count++;
  return count;
}

const wordsIn = (text: string): number => text.split(" ").length;

/**
 * Finds names near to a misspelt one (Damerau-Levenshtein, written or by sound). A slip in a short word is never sure:
 * "cistus" is a plant too, though not Cissus.
 */
export class NearNames {
  readonly #byLetter = new Map<string, Key[]>();

  constructor(keys: Iterable<{ key: string; current: boolean }>) {
    for (const { key, current } of keys) {
      const letter = key[0] ?? "";
      const sound = heard(key);
      const entry = {
        key,
        sound,
        words: wordsIn(key),
        letters: lettersOf(key),
        soundLetters: lettersOf(sound),
        current,
      };
      const held = this.#byLetter.get(letter);
      if (held) held.push(entry);
      else this.#byLetter.set(letter, [entry]);
    }
  }

  /** @param word plain form of what was typed @returns nearest first; none for a word of up to four letters */
  near(word: string): NearName[] {
    if (word.length < 5) return [];
    const limit = word.length >= 12 ? 3 : word.length >= 6 ? 2 : 1;
    const words = wordsIn(word);
    const sound = heard(word);
    const letters = lettersOf(word);
    const soundLetters = lettersOf(sound);
    const first = word[0] ?? "";
    const found: (NearName & { current: boolean })[] = [];
    for (const letter of new Set([first, sound[0] ?? "", ALIKE[first] ?? ""])) {
      for (const entry of this.#byLetter.get(letter) ?? []) {
        const { key, current } = entry;
        if (entry.words !== words || Math.abs(key.length - word.length) > limit + 1) continue;
        // One edit changes at most two of the letters that occur.
        const farInLetters = bitCount(letters ^ entry.letters) > 2 * limit;
        const farInSound = bitCount(soundLetters ^ entry.soundLetters) > 2 * (limit - 1);
        if (farInLetters && farInSound) continue;
        const written = farInLetters ? limit + 1 : editDistance(word, key, limit);
        const spoken = farInSound ? limit + 1 : editDistance(sound, entry.sound, limit - 1) + 0.5;
        const distance = Math.min(written, spoken);
        const alike = distance <= 1 || word.length >= 8 || key.slice(0, 2) === word.slice(0, 2);
        if (distance <= limit && alike) found.push({ key, distance, current, sure: false });
      }
    }
    const rank = (name: { distance: number; current: boolean }) => name.distance + (name.current ? 0 : 0.75);
    found.sort((a, b) => rank(a) - rank(b) || a.key.localeCompare(b.key));
    const best = found[0]?.distance ?? 0;
    return found.map(({ key, distance, current }) => ({
      key,
      distance,
      sure:
        distance === best &&
        distance <= sureLimit(word.length, current) &&
        (distance <= 1 || key.slice(0, 3) === word.slice(0, 3)),
    }));
  }
}

function sureLimit(length: number, current: boolean): number {
  if (!current) return length >= 11 ? 2 : length >= 9 ? 1 : 0.5;
  return length >= 9 ? 2 : length >= 7 ? 1 : 0.5;
}
