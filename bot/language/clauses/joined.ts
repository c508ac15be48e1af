import { type Item, is, itemOf, says } from "../item.js";
import { type Meaning, meaningOf } from "../sense.js";
import { headOf } from "./head.js";
import { nameIndex } from "./parts.js";
import type { Segment } from "./segment.js";

/** "C-102 (11cm), S-007 (9cm)": what stands in brackets behind a name is the name's. */
export function joinAsides(segments: readonly Segment[]): Segment[] {
  const joined: Segment[] = [];
  for (const part of segments) {
    const before = joined.at(-1);
    const aside =
      before !== undefined &&
      part.joint === "(" &&
      part.items.length <= 4 &&
      nameIndex(before.items) >= 0 &&
      nameIndex(part.items) < 0 &&
      !headOf(part.items) &&
      part.items.some((item) => item.measure || item.time || is(item, "dose") || is(item, "material"));
    const verb =
      before !== undefined && part.joint === ")" && nameIndex(part.items) < 0 && !headOf(before.items);
    if (aside || (verb && headOf(part.items)?.kind === "verb")) before.items.push(...part.items);
    else joined.push({ ...part, items: [...part.items] });
  }
  return joined;
}

/** "everything but the cacti": the exception is part of the list before it, whatever else stands behind. */
export function joinExceptions(segments: readonly Segment[]): Segment[] {
  const joined: Segment[] = [];
  for (const part of segments) {
    const before = joined.at(-1);
    const sweeping = before?.items
      .slice(-4)
      .some((item) => item.subject?.all || item.subject?.group || says(item, "sweeps"));
    if (before && part.joint === "but" && sweeping && nameIndex(part.items) >= 0 && !headOf(part.items)) {
      const first = part.items[0] as Item;
      before.items.push(itemOf(first.start, first.start, first.token, EXCEPTING), ...part.items);
    } else joined.push({ ...part, items: [...part.items] });
  }
  return joined;
}

/** "everything but the opuntias": what follows "but" without a verb of its own is excepted. */
export const EXCEPTING: readonly Meaning[] = [meaningOf({ cls: "except", value: "except" })];
