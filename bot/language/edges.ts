import type { EdgeWord } from "./lexicon.js";
import type { Token } from "./tokenise.js";

/** Fewer words than this may be all there is to the message. */
const LEAST_LEFT = 1;

type Phrase = readonly string[];

/** Words that stand before or behind a message and say nothing of it: "ok so", "btw", "lol", a smile. */
export class Edges {
  readonly #lead: Phrase[] = [];
  /** Only before a comma, a colon or a dash: "right, watered the aloes". */
  readonly #marked: Phrase[] = [];
  readonly #trail: Phrase[] = [];
  /** Only behind a comma: "watered the aloes, guys", but "gave a haworthia to everyone". */
  readonly #markedTrail: Phrase[] = [];

  constructor(
    words: readonly EdgeWord[],
    /** Whether an emoji has a meaning of its own (a drop, a thermometer). */
    private readonly means: (token: Token) => boolean,
  ) {
    for (const { cls, value, phrase } of words) {
      const marked = value === "marked";
      const list =
        cls === "trail" ? (marked ? this.#markedTrail : this.#trail) : marked ? this.#marked : this.#lead;
      list.push(phrase.replaceAll("'", "").split(" "));
    }
    for (const list of [this.#lead, this.#marked, this.#trail, this.#markedTrail])
      list.sort((a, b) => b.length - a.length);
  }

  /** The tokens without what stands around them; unchanged where nothing would be left. */
  trim(tokens: readonly Token[]): readonly Token[] {
    let start = 0;
    for (;;) {
      const next = this.#leading(tokens, start);
      if (next === start || tokens.length - next < LEAST_LEFT) break;
      start = next;
    }
    let end = tokens.length;
    for (;;) {
      const next = this.#trailing(tokens, start, end);
      if (next === end || next - start < LEAST_LEFT) break;
      end = next;
    }
    return start === 0 && end === tokens.length ? tokens : tokens.slice(start, end);
  }

  #leading(tokens: readonly Token[], from: number): number {
    const plain = matched(this.#lead, tokens, from);
    if (plain > from) return afterMarks(tokens, plain);
    const marked = matched(this.#marked, tokens, from);
    if (marked > from && tokens[marked]?.kind === "mark") return afterMarks(tokens, marked);
    return from;
  }

  #trailing(tokens: readonly Token[], from: number, end: number): number {
    const last = tokens[end - 1];
    if (last?.kind === "emoji") return this.means(last) ? end : end - 1;
    // Behind a mark or a smile another filler may stand: "thanks!!".
    let stop = end;
    while (stop > from && tokens[stop - 1]?.kind === "mark" && /^[!.…]+$/.test(tokens[stop - 1]?.text ?? ""))
      stop--;
    for (const phrase of this.#trail) {
      const start = stop - phrase.length;
      if (start > from && phrase.every((word, i) => isWord(tokens[start + i], word))) {
        return tokens[start - 1]?.text === "," ? start - 1 : start;
      }
    }
    for (const phrase of this.#markedTrail) {
      const start = stop - phrase.length;
      const behind = tokens[start - 1]?.text === "," && start - 1 > from;
      if (behind && phrase.every((word, i) => isWord(tokens[start + i], word))) return start - 1;
    }
    return end;
  }
}

const isWord = (token: Token | undefined, word: string): boolean =>
  token?.kind === "word" && token.key === word;

function matched(phrases: readonly Phrase[], tokens: readonly Token[], from: number): number {
  const found = phrases.find((phrase) => phrase.every((word, i) => isWord(tokens[from + i], word)));
  return found ? from + found.length : from;
}

function afterMarks(tokens: readonly Token[], from: number): number {
  let at = from;
  while (tokens[at]?.kind === "mark" && /^[,:;!.…–-]+$/.test(tokens[at]?.text ?? "")) {
    const next = tokens[at + 1];
    // "ok, -6 outside": that dash is a minus sign; "update - 3 lithops died": that one is none.
    if (/^[–-]$/.test(tokens[at]?.text ?? "") && next?.kind === "number" && next.glued) break;
    at++;
  }
  return at;
}
