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
  /** In use today: accepted, common, or a known slip of one. Old names need to be hit closer. */
  current: boolean;
}

/** Letters that people take for one another at the beginning of a name. */
const ALIKE: Readonly<Record<string, string>> = { c: "k", k: "c", f: "p", p: "f", s: "z", z: "s" };

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
      const entry = { key, sound: heard(key), words: wordsIn(key), current };
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
    const first = word[0] ?? "";
    const found: (NearName & { current: boolean })[] = [];
    for (const letter of new Set([first, sound[0] ?? "", ALIKE[first] ?? ""])) {
      for (const { key, sound: keySound, words: keyWords, current } of this.#byLetter.get(letter) ?? []) {
        if (keyWords !== words || Math.abs(key.length - word.length) > limit + 1) continue;
        const written = editDistance(word, key, limit);
        const spoken = editDistance(sound, keySound, limit - 1) + 0.5;
        const distance = Math.min(written, spoken);
        const alike = distance <= 1 || word.length >= 8 || key.slice(0, 2) === word.slice(0, 2);
        if (distance <= limit && alike) found.push({ key, distance, current, sure: false });
      }
    }
    found.sort((a, b) => a.distance - b.distance || a.key.localeCompare(b.key));
    const best = found[0]?.distance ?? 0;
    return found.map(({ key, distance, current }) => ({
      key,
      distance,
      sure: distance === best && distance <= sureLimit(word.length, current),
    }));
  }
}

function sureLimit(length: number, current: boolean): number {
  if (!current) return length >= 11 ? 2 : length >= 9 ? 1 : 0.5;
  return length >= 9 ? 2 : length >= 7 ? 1 : 0.5;
}
