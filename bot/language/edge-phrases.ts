import type { Token } from "./tokenise.js";

type Phrase = readonly string[];

/** Phrases of a table, found by their first or their last word, longest first. */
export class Phrases {
  readonly #by = new Map<string, Phrase[]>();

  constructor(private readonly side: "first" | "last" = "first") {}

  /** Whether a phrase begins, or ends, with this word. */
  has(key: string): boolean {
    return this.#by.has(key);
  }

  /** @param words the keys under which the words of the phrase are looked up */
  add(words: Phrase): void {
    const key = (this.side === "first" ? words[0] : words.at(-1)) ?? "";
    const list = this.#by.get(key);
    if (!list) this.#by.set(key, [words]);
    else {
      list.push(words);
      list.sort((a, b) => b.length - a.length);
    }
  }

  /** Index behind the longest phrase that begins at `from`, or `from`. */
  endOf(tokens: readonly Token[], from: number): number {
    for (const phrase of this.#by.get(tokens[from]?.key ?? "") ?? [])
      if (stands(phrase, tokens, from)) return from + phrase.length;
    return from;
  }

  /** Index of the first word of the longest phrase that ends before `end`, or `end`. */
  startOf(tokens: readonly Token[], from: number, end: number): number {
    for (const phrase of this.#by.get(tokens[end - 1]?.key ?? "") ?? []) {
      const start = end - phrase.length;
      if (start >= from && stands(phrase, tokens, start)) return start;
    }
    return end;
  }
}

const stands = (phrase: Phrase, tokens: readonly Token[], from: number): boolean =>
  phrase.every((word, i) => isWord(tokens[from + i], word));

const isWord = (token: Token | undefined, word: string): boolean =>
  token?.kind === "word" && token.key === word;
