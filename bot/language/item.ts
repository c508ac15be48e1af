import type { TimeExpr } from "./calendar/expression.js";
import type { Subject } from "./interpretation.js";
import { SHAPES, type Shape } from "./language.js";
import type { Measure } from "./measure.js";
import type { Meaning, VerbForm } from "./sense.js";
import type { Token } from "./tokenise.js";

/** A word or phrase of the message with everything it may mean. */
export interface Item {
  /** Indices of its tokens, half open. */
  start: number;
  end: number;
  token: Token;
  senses: readonly Meaning[];
  measure?: Measure;
  time?: TimeExpr;
  /** The time was read from a bare number ("at 7"), so it may be a measure as well. */
  weakTime?: true;
  subject?: Subject | undefined;
  /** Read through a misspelling that no table holds. */
  guessed?: true;
  /** No table knows the word. */
  unknown?: true;
  /** Inside quotation marks. */
  quoted?: true;
}

/** A new item with every key in its place: objects of one shape are read fastest. */
export const itemOf = (start: number, end: number, token: Token, senses: readonly Meaning[]): Item => ({
  start,
  end,
  token,
  senses,
  measure: undefined,
  time: undefined,
  weakTime: undefined,
  subject: undefined,
  guessed: undefined,
  unknown: undefined,
  quoted: undefined,
});

export function sense(item: Item | undefined, cls: string): Meaning | undefined {
  if (item) {
    const { senses } = item;
    for (let i = 0; i < senses.length; i++) if (senses[i]?.cls === cls) return senses[i];
  }
  return undefined;
}

export function is(item: Pick<Item, "senses"> | undefined, cls: string): boolean {
  if (item) {
    const { senses } = item;
    for (let i = 0; i < senses.length; i++) if (senses[i]?.cls === cls) return true;
  }
  return false;
}

/** The act that an item tells in a form: "watered" in the past, "watering" as a gerund. */
export function actIn(item: Item | undefined, form: VerbForm): Meaning | undefined {
  if (item) {
    const { senses } = item;
    for (let i = 0; i < senses.length; i++) {
      const one = senses[i] as Meaning;
      if (one.cls === "act" && one.form === form) return one;
    }
  }
  return undefined;
}

export const isAct = (item: Item | undefined, form: VerbForm): boolean => actIn(item, form) !== undefined;

/** A word that no table knows and that nothing was read from. */
export const unread = (item: Item | undefined): boolean =>
  item !== undefined &&
  item.token.kind === "word" &&
  item.senses.length === 0 &&
  !item.subject &&
  !item.time &&
  !item.measure;

/**
 * Whether the (first) word of an item, or a token, is one that a rule looks for by itself. Which words these are stands
 * in the language's table of cues.
 */
export function says(one: Item | Token | undefined, cue: string): boolean {
  if (one === undefined) return false;
  const { cues } = (one as Partial<Item>).token ?? (one as Token);
  return cues.size > 0 && cues.has(cue);
}

/** Whether the (first) word of an item has the ending of a form: "watering" of a gerund. */
export const shaped = (item: Item | undefined, shape: Shape): boolean =>
  item !== undefined && (item.token.shape & SHAPES[shape]) !== 0;

export function value(item: Item | undefined, cls: string): string | undefined {
  if (item) {
    const { senses } = item;
    for (let i = 0; i < senses.length; i++) if (senses[i]?.cls === cls) return senses[i]?.value;
  }
  return undefined;
}

export const isName = (item: Item | undefined): boolean => item?.subject !== undefined;
