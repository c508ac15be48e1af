import { type Item, is } from "../item.js";
import { headOf } from "./head.js";
import type { Segment } from "./segment.js";

/** A list between a verb and what completes it has at most so many members. */
const MOST_MEMBERS = 5;

/**
 * "put the agaves and yuccas in the bay", "took the aloes, hoyas and 12 out": a verb whose complement stands behind a
 * whole list of plants is one clause with it.
 */
export function joinLongObjects(segments: readonly Segment[]): readonly Segment[] {
  if (segments.length < 2 || !segments.some(({ items }) => items.some(incomplete))) return segments;
  const joined: Segment[] = [];
  for (let i = 0; i < segments.length; i++) {
    const part = segments[i] as Segment;
    const end = endOf(segments, i);
    if (end === undefined) joined.push(part);
    else {
      joined.push({ ...part, items: segments.slice(i, end).flatMap(({ items }) => items) });
      i = end - 1;
    }
  }
  return joined;
}

/** A verb that says nothing alone. */
const incomplete = (item: Item): boolean => is(item, "light") || is(item, "sep") || is(item, "mayact");

function endOf(segments: readonly Segment[], from: number): number | undefined {
  const { items } = segments[from] as Segment;
  const verb = items.findIndex(incomplete);
  if (verb < 0 || !items.slice(verb).some((item) => item.subject) || headOf(items)) return undefined;
  let whole = items;
  for (let i = from + 1; i < segments.length && i < from + MOST_MEMBERS; i++) {
    const next = segments[i] as Segment;
    const [first, second] = next.items;
    const lists = next.before === 1 || next.joint === ",";
    const named = first?.subject ?? ((is(first, "det") || first?.measure) && second?.subject);
    const own = headOf(next.items);
    if (!lists || !named || (own && own.kind !== "noun")) return undefined;
    whole = [...whole, ...next.items];
    const head = headOf(whole);
    if (head && head.kind !== "noun" && head.at >= verb && head.at < items.length) return i + 1;
  }
  return undefined;
}
