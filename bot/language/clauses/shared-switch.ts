import { is } from "../item.js";
import { headOf } from "./head.js";
import type { Segment } from "./segment.js";

/**
 * "fan and dehumidifier on in the bay", "turned the fan and the heater off": what is switched together is switched each;
 * the words behind the last belong to all before it.
 */
export function shareSwitch(segments: readonly Segment[]): readonly Segment[] {
  if (segments.length < 2 || !segments.some(switches)) return segments;
  const shared = [...segments];
  for (let i = segments.length - 1; i > 0; i--) {
    const part = shared[i] as Segment;
    const before = shared[i - 1] as Segment;
    if (
      !lists(part, before) ||
      !switches(part) ||
      !switches(before) ||
      headOf(before.items)?.kind === "equipment"
    )
      continue;
    if (headOf(part.items)?.kind !== "equipment") continue;
    const at = part.items.findIndex((item) => is(item, "equipment"));
    shared[i - 1] = { ...before, items: [...before.items, ...part.items.slice(at + 1)] };
  }
  return shared;
}

/** "the fan, the heater and ...": a comma lists where nothing but the thing stands before it. */
const lists = (part: Segment, { items }: Segment): boolean =>
  part.before === 1 ||
  (part.joint === "," && items.every((item) => is(item, "equipment") || is(item, "det")));

const switches = ({ items }: Segment): boolean =>
  items.some((item) => is(item, "equipment") && !item.quoted && !item.subject);
