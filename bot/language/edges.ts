import {
  afterMarks,
  beforeComma,
  behindMarks,
  endsSentence,
  leadingMark,
  trailingMark,
  withoutBrackets,
  withoutMarks,
} from "./edge-marks.js";
import { Phrases } from "./edge-phrases.js";
import type { Writing } from "./language.js";
import type { EdgeWord } from "./lexicon.js";
import type { Token } from "./tokenise.js";

/** What the edges must know of the words that are not theirs. */
export interface Known {
  /** Whether an emoji has a meaning of its own (a drop, a thermometer). */
  means(token: Token): boolean;
  /** Whether a word table, a name or the calendar has the word. */
  hasWord(key: string): boolean;
  /** Whether a question may open with this word. */
  opensQuestion(key: string): boolean;
}

/** What opens a message and what follows. */
export interface Opened {
  words: readonly Token[];
  rest: readonly Token[];
}

/** Most words of a name that may stand between a greeting and its comma; more than a name is kept as remainder. */
const MOST_GREETED = 1;

/** Fewer words than this before "ok?" are asked about, not told. */
const LEAST_TAGGED = 3;

/**
 * Words that stand around a message or one of its sentences and say nothing of it: greetings, thanks, "ok so",
 * "btw", a laugh, a smile. They are taken here, once, by the rows of one table, and reach no later stage, so
 * that they are neither read nor kept as remainder; every other word goes on.
 */
export class Edges {
  readonly #lead = new Phrases();
  /** Only before a comma, a colon or a dash: "right, watered the aloes". */
  readonly #markedLead = new Phrases();
  readonly #trail = new Phrases("last");
  /** Only behind a comma: "watered the aloes, guys", but "gave a haworthia to everyone". */
  readonly #markedTrail = new Phrases("last");
  /** Asks for assent and nothing else: "watered the aloes, ok?" */
  readonly #tag = new Phrases("last");
  /** Says nothing wherever it stands. */
  readonly #aside = new Phrases();
  /** Greetings that may be followed by a name and a comma. */
  readonly #greeting = new Phrases();
  /** A greeting before a comma, the label of a reading before a colon: "morning: 6 °C". */
  readonly #hour = new Phrases();
  /** May begin a correction or an addition, and may say nothing: "sorry, min 4 last night". */
  readonly #opener = new Phrases();
  readonly #audience = new Phrases();

  constructor(
    words: readonly EdgeWord[],
    writing: Writing,
    private readonly known: Known,
  ) {
    const keys = (phrase: string): string[] => phrase.split(" ").map(writing.bare);
    const of = (cls: string): string[] => words.filter((one) => one.cls === cls).map((one) => one.phrase);
    const audiences = of("audience");
    const joined = (firsts: readonly string[]): string[] =>
      firsts.flatMap((first) => audiences.map((audience) => `${first} ${audience}`));
    const lists: Readonly<Record<string, Phrases>> = {
      lead: this.#lead,
      trail: this.#trail,
      tag: this.#tag,
      aside: this.#aside,
      opener: this.#opener,
    };
    for (const { cls, value, phrase } of words) {
      if (value === "marked") (cls === "lead" ? this.#markedLead : this.#markedTrail).add(keys(phrase));
      else lists[cls]?.add(keys(phrase));
    }
    const greetings = of("greeting");
    const hours = of("hour");
    for (const phrase of hours) this.#hour.add(keys(phrase));
    for (const phrase of of("thank")) this.#markedLead.add(keys(phrase));
    for (const phrase of greetings) {
      this.#greeting.add(keys(phrase));
      this.#lead.add(keys(phrase));
    }
    for (const phrase of joined([...greetings, ...hours])) this.#lead.add(keys(phrase));
    for (const phrase of joined(of("thank"))) {
      this.#markedLead.add(keys(phrase));
      this.#trail.add(keys(phrase));
    }
    for (const phrase of of("thank")) this.#trail.add(keys(phrase));
    for (const phrase of audiences) this.#audience.add(keys(phrase));
  }

  /** The tokens without what stands around them; unchanged where nothing would be left. */
  trim(tokens: readonly Token[]): readonly Token[] {
    if (!this.#concerns(tokens)) return tokens;
    const plain = withoutBrackets(this.#withoutAsides(tokens));
    const kept: Token[] = [];
    let from = 0;
    while (from < plain.length) {
      let end = from;
      while (end < plain.length && !endsSentence(plain, end)) end++;
      let next = end;
      while (next < plain.length && endsSentence(plain, next)) next++;
      this.#sentence(plain, from, end, next, kept);
      from = next;
    }
    const left = withoutMarks(kept, (emoji) => this.known.means(emoji));
    if (left.length === 0) return tokens;
    return left.length === tokens.length ? tokens : left;
  }

  /**
   * Words that may, or may not, make the message a correction or an addition, and what stands behind them:
   * "sorry all, the agaves" is "sorry" and "the agaves". Undefined where no such word stands first.
   */
  opened(tokens: readonly Token[]): Opened | undefined {
    const words: Token[] = [];
    let at = 0;
    for (;;) {
      const opener = this.#opener.endOf(tokens, at);
      if (opener === at) break;
      let behind = afterMarks(tokens, opener);
      const audience = this.#audience.endOf(tokens, behind);
      if (audience > behind) behind = Math.max(behind, behindMarks(tokens, audience));
      const next = this.#leads(tokens, behind, tokens.length);
      if (next >= tokens.length) break;
      words.push(...tokens.slice(at, opener));
      at = next;
    }
    return words.length > 0 ? { words, rest: tokens.slice(at) } : undefined;
  }

  /** Whether anything here could be taken away; most messages are passed on as they are. */
  #concerns(tokens: readonly Token[]): boolean {
    const first = tokens[0];
    const last = tokens.at(-1);
    if (!first || !last) return false;
    if (
      first.kind === "mark" ||
      [this.#lead, this.#markedLead, this.#hour].some((list) => list.has(first.key))
    )
      return true;
    if (last.kind === "mark" || this.#trail.has(last.key) || this.#markedTrail.has(last.key)) return true;
    return tokens.some(
      (token, at) =>
        repeats(tokens, at) ||
        token.kind === "emoji" ||
        this.#aside.has(token.key) ||
        endsSentence(tokens, at),
    );
  }

  /** Keeps what a sentence says, with its marks; nothing of one that is courtesy through and through. */
  #sentence(tokens: readonly Token[], from: number, end: number, next: number, kept: Token[]): void {
    const start = this.#leads(tokens, from, end);
    const tag = tokens[end]?.text === "?" ? this.#tagged(tokens, start, end) : end;
    const marks = tag < end ? next : end;
    const stop = this.#trails(tokens, start, tag);
    // "thanks, everyone"
    const behind = start > from || kept.length > 0;
    if (start >= stop || (behind && this.#markedTrail.startOf(tokens, start, stop) === start)) return;
    for (let i = start; i < stop; i++) kept.push(tokens[i] as Token);
    for (let i = marks; i < next; i++) kept.push(tokens[i] as Token);
  }

  /** "watered the aloes ok?", but "all ok?" and "is 4 degrees for lithops ok?" */
  #tagged(tokens: readonly Token[], from: number, end: number): number {
    const tag = this.#tag.startOf(tokens, from, end);
    const behind = beforeComma(tokens, from, tag);
    if (tag === end || behind < tag || tag === from) return behind;
    const asks = this.known.opensQuestion(tokens[from]?.key ?? "");
    return asks || tag - from < LEAST_TAGGED ? end : tag;
  }

  /** Behind everything that leads the sentence. */
  #leads(tokens: readonly Token[], from: number, end: number): number {
    let start = from;
    for (;;) {
      const next = this.#leading(tokens, start);
      if (next === start) return start;
      if (next >= end) return end;
      start = next;
    }
  }

  #leading(tokens: readonly Token[], from: number): number {
    const first = tokens[from];
    if (!first) return from;
    if (first.kind === "emoji") return this.known.means(first) ? from : afterMarks(tokens, from + 1);
    if (first.kind === "mark") return leadingMark(tokens, from) ? from + 1 : from;
    if (first.kind !== "word") return from;
    const plain = this.#lead.endOf(tokens, from);
    if (plain > from && this.#values(tokens, from, plain)) return from;
    if (plain > from) return Math.max(afterMarks(tokens, plain), this.#behindName(tokens, from));
    const marked = this.#markedLead.endOf(tokens, from);
    if (marked > from && behindMarks(tokens, marked) > 0) return behindMarks(tokens, marked);
    const hour = this.#hour.endOf(tokens, from);
    if (hour > from && tokens[hour]?.text !== ":") return Math.max(from, behindMarks(tokens, hour));
    return from;
  }

  /** "hi 92 lo 48": the word that greets is the label of a number. */
  #values(tokens: readonly Token[], from: number, end: number): boolean {
    return (
      tokens[end]?.kind === "number" &&
      this.#greeting.endOf(tokens, from) === end &&
      this.known.hasWord(tokens[from]?.key ?? "")
    );
  }

  /** Behind "hello Priya,": a greeting, a name that no table has, a comma. */
  #behindName(tokens: readonly Token[], from: number): number {
    // "hiya Ines, did Tomasz repot Spiral?" asks Ines.
    if (tokens.some((token) => token.text === "?")) return from;
    const greeted = this.#greeting.endOf(tokens, from);
    for (let at = greeted; at > from && at < greeted + MOST_GREETED; at++) {
      const token = tokens[at];
      if (token?.kind !== "word" || this.known.hasWord(token.key)) break;
      const behind = afterMarks(tokens, at + 1);
      if (behind > at + 1 && tokens[at + 1]?.text !== ":") return behind;
    }
    return from;
  }

  /** Before everything that trails the sentence. */
  #trails(tokens: readonly Token[], from: number, end: number): number {
    let stop = end;
    for (;;) {
      const next = this.#trailing(tokens, from, stop);
      if (next === stop) return stop;
      stop = next;
    }
  }

  #trailing(tokens: readonly Token[], from: number, end: number): number {
    const last = tokens[end - 1];
    if (!last || end <= from) return end;
    if (last.kind === "emoji") return this.known.means(last) ? end : end - 1;
    if (last.kind === "mark") return trailingMark(last) ? end - 1 : end;
    if (last.kind !== "word") return end;
    const plain = this.#trail.startOf(tokens, from, end);
    if (plain < end) return beforeComma(tokens, from, plain);
    const marked = this.#markedTrail.startOf(tokens, from, end);
    return marked < end && tokens[marked - 1]?.text === "," && marked - 1 > from ? marked - 1 : end;
  }

  /** "hi all all well again": the first is greeted, the second begins what is said. */
  #greeted(tokens: readonly Token[], at: number): boolean {
    if (this.#audience.endOf(tokens, at) !== at + 1) return false;
    for (let from = at - 1; from >= 0 && from >= at - MOST_GREETED; from--) {
      const greeting = Math.max(this.#greeting.endOf(tokens, from), this.#lead.endOf(tokens, from));
      if (greeting > from && (greeting === at || greeting === at + 1)) return true;
    }
    return false;
  }

  #withoutAsides(tokens: readonly Token[]): readonly Token[] {
    let kept: Token[] | undefined;
    let at = 0;
    while (at < tokens.length) {
      const token = tokens[at] as Token;
      const end =
        repeats(tokens, at) && !this.#greeted(tokens, at - 1) ? at + 1 : this.#aside.endOf(tokens, at);
      if (end > at) {
        kept ??= tokens.slice(0, at);
        at = end;
        // "btw, fed the hoyas": its comma goes with it where it stood first.
        if (kept.length === 0 || endsSentence(kept, kept.length - 1)) at = afterMarks(tokens, at);
        continue;
      }
      kept?.push(token);
      at++;
    }
    return kept ?? tokens;
  }
}

/** "watered the the aloes": a word typed twice. */
const repeats = (tokens: readonly Token[], at: number): boolean => {
  const token = tokens[at] as Token;
  const before = tokens[at - 1];
  if (token.kind !== "word" || token.hyphen || before?.hyphen) return false;
  return token.key.length > 1 && token.key === before?.key;
};
