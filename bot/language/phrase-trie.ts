import type { Writing } from "./language.js";
import { type Meaning, meaningOf, type Sense } from "./sense.js";
import { type Token, tokenise } from "./tokenise.js";

interface Node {
  next?: Map<string, Node>;
  senses?: Meaning[];
}

export interface PhraseMatch {
  /** Index after the last token of the phrase. */
  end: number;
  senses: readonly Meaning[];
}

/** Phrases that need no tokeniser. */
const PLAIN = /^[a-z]+(?: [a-z]+)*$/;

/** Phrases as token keys, found longest first in time linear in the phrase's length. */
export class PhraseTrie {
  readonly #roots = new Map<string, Node>();

  /** @param writing of the language that the phrases are in */
  constructor(private readonly writing: Writing) {}

  add(phrase: string, sense: Sense): void {
    const keys = PLAIN.test(phrase)
      ? phrase.split(" ")
      : tokenise(phrase, this.writing).map((token) => token.key);
    this.addKeys(keys, sense);
  }

  addKeys(keys: readonly string[], sense: Sense): void {
    let level = this.#roots;
    let node: Node | undefined;
    for (const key of keys) {
      node = level.get(key);
      if (!node) {
        node = {};
        level.set(key, node);
      }
      if (!node.next) node.next = new Map();
      level = node.next;
    }
    if (!node) return;
    if (!node.senses) node.senses = [];
    if (!node.senses.some((known) => sameSense(known, sense))) node.senses.push(meaningOf(sense));
  }

  /** The senses of one word standing alone, or undefined. */
  word(key: string): readonly Meaning[] | undefined {
    return this.#roots.get(key)?.senses;
  }

  has(key: string): boolean {
    return this.#roots.has(key);
  }

  /** First keys of all phrases. */
  starts(): Iterable<string> {
    return this.#roots.keys();
  }

  /** The classes of all senses of the phrases that begin with a key. */
  classes(start: string): Set<string> {
    const found = new Set<string>();
    const open = [this.#roots.get(start)];
    for (let node = open.pop(); node; node = open.pop()) {
      for (const { cls } of node.senses ?? []) found.add(cls);
      for (const further of node.next?.values() ?? []) open.push(further);
    }
    return found;
  }

  /** Longest phrase that begins at `from`, or undefined; its last word of several may be an owner ("the lean-to's"). */
  longest(tokens: readonly Token[], from: number): PhraseMatch | undefined {
    let level: Map<string, Node> | undefined = this.#roots;
    let found: PhraseMatch | undefined;
    for (let at = from; at < tokens.length && level; at++) {
      const { key, owner } = tokens[at] as Token;
      const node: Node | undefined = level.get(key);
      if (!node) {
        const senses = at > from && owner !== undefined ? level.get(owner)?.senses : undefined;
        return senses ? { end: at + 1, senses } : found;
      }
      if (node.senses) found = { end: at + 1, senses: node.senses };
      level = node.next;
    }
    return found;
  }
}

const sameSense = (a: Sense, b: Sense): boolean =>
  a.cls === b.cls &&
  a.value === b.value &&
  a.form === b.form &&
  a.slots?.needs === b.slots?.needs &&
  a.subject?.genus === b.subject?.genus &&
  a.subject?.species === b.subject?.species &&
  a.subject?.tag === b.subject?.tag;
