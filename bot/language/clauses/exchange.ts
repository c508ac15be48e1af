import { type Item, is, says, value } from "../item.js";
import type { Headed } from "./parts.js";
import type { Segment } from "./segment.js";

/** "swapped a gasteria with Geoff for two haworthias": what was given, and what came for it, as two parts; or nothing. */
export function splitExchange(part: Segment): Headed[] | undefined {
  const { items } = part;
  const verb = items.findIndex((item) => says(item, "trades") && !item.quoted);
  if (verb < 0) return undefined;
  const cut = items.findIndex((item, i) => i > verb && value(item, "prep") === "for" && !item.time);
  if (cut < 0 || !items.slice(verb, cut).some(plant) || !plantAhead(items, cut + 1)) return undefined;
  const gave = { act: "give_away", kind: "verb", form: "past", at: verb } as const;
  const got = { act: "acquire", kind: "verb", form: "past", at: -1, slots: { exchanged: "for" } } as const;
  return [
    { ...part, items: items.slice(0, cut), head: gave, reading: false },
    { items: items.slice(cut + 1), before: 1, joint: "", head: got, reading: false },
  ];
}

const plant = (item: Item): boolean => item.subject !== undefined && !item.subject.all;

/** "two haworthias", "a 4in stapelia", not "the aloe", which was here before. */
function plantAhead(items: readonly Item[], from: number): boolean {
  let at = from;
  while (
    items[at]?.measure ||
    value(items[at], "det") === "a" ||
    is(items[at], "newness") ||
    is(items[at], "head")
  )
    at++;
  const item = items[at];
  return item !== undefined && plant(item) && !item.subject?.tag;
}
