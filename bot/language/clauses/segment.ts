import { type Item, is, value } from "../item.js";

/** How firmly a separator parts: 3 ends a sentence, 2 a clause, 1 is "and". */
export type Strength = 0 | 1 | 2 | 3;

/** A run of items between two separators. */
export interface Segment {
  items: Item[];
  /** The separator before it; 0 at the start of the message. */
  before: Strength;
  /** The word that separated: "and", "but", "then", or the mark. */
  joint: string;
}

const SENTENCE = new Set([".", ";", "!", "?", "\n"]);
const CLAUSE = new Set([",", "–", "—", ":", "(", ")", "/", "|", "•", "*", "~", "=", ">"]);

function strengthOf(item: Item): Strength {
  if (item.measure || item.time || item.subject) return 0;
  const { token } = item;
  if (token.kind === "mark") {
    if (SENTENCE.has(token.text)) return 3;
    if (token.text === "-") return token.glued ? 0 : 2;
    return CLAUSE.has(token.text) && !(token.text === "/" && token.glued) ? 2 : is(item, "and") ? 1 : 0;
  }
  if (is(item, "then") || is(item, "but")) return 2;
  return is(item, "and") && !is(item, "act") ? 1 : 0;
}

/** "min: 4", "RH: 87": the colon only labels the number behind it. */
const labels = (items: readonly Item[], at: number): boolean =>
  items[at]?.token.text === ":" &&
  items[at + 1]?.measure !== undefined &&
  (is(items[at - 1], "stat") || is(items[at - 1], "quantity"));

/** "between 4 and 19", "min and max 4 and 19": the word joins two ends and no clauses. */
const between = (items: readonly Item[], at: number): boolean => {
  if (!is(items[at], "and")) return false;
  if (is(items[at - 2], "range") && items[at + 1]?.measure !== undefined) return true;
  if (is(items[at - 1], "stat") && is(items[at + 1], "stat")) return extremes(items, at);
  const number = items[at - 1]?.measure && items[at + 1]?.measure && !items[at + 1]?.measure?.article;
  return Boolean(number) && items.slice(0, at - 1).some((item, i) => is(item, "and") && extremes(items, i));
};

/** "min and max", two different ones. */
const extremes = (items: readonly Item[], at: number): boolean => {
  const [one, other] = [value(items[at - 1], "stat"), value(items[at + 1], "stat")];
  return one !== other && [one, other].every((stat) => stat === "min" || stat === "max");
};

/** Cuts the items at every mark or word that can part two clauses; separators themselves are left out. */
export function segment(items: readonly Item[]): Segment[] {
  const segments: Segment[] = [];
  let current: Item[] = [];
  let before: Strength = 0;
  let joint = "";
  items.forEach((item, i) => {
    const strength = labels(items, i) || between(items, i) ? 0 : strengthOf(item);
    if (strength === 0) {
      if (item.token.kind !== "mark" || item.measure || item.senses.length > 0) current.push(item);
      return;
    }
    if (current.length > 0) {
      segments.push({ items: current, before, joint });
      current = [];
      before = strength;
      joint = wordOf(item);
    } else if (strength > before) {
      before = strength;
      joint = wordOf(item);
    } else if (is(item, "but")) joint = "but";
  });
  if (current.length > 0) segments.push({ items: current, before, joint });
  return segments;
}

const wordOf = (item: Item): string =>
  is(item, "but") ? "but" : is(item, "then") ? "then" : is(item, "and") ? "and" : item.token.text;
