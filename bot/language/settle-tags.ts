import { type Item, is, says, sense, value } from "./item.js";

/**
 * Settles what a new label belongs to: "an Aloe polyphylla, L-015" is one plant with its label; a thing that something
 * was done with ("sprayed with WD-40") is no plant.
 */
export function settleTags(items: readonly Item[]): Item[] {
  if (!items.some((item) => is(item, "newtag") || says(item, "bears a label"))) return items as Item[];
  const settled: Item[] = [];
  for (const item of items) {
    const label = sense(item, "newtag");
    const before = settled.at(-1);
    // "the aloe labelled A17" is A17.
    if (item.subject?.tag && says(before, "bears a label") && settled.at(-2)?.subject?.genus) {
      settled.length -= 2;
      settled.push(item);
      continue;
    }
    if (!label) {
      settled.push(item);
      continue;
    }
    if (value(before, "prep") === "with") {
      settled.push({ ...item, subject: undefined });
      continue;
    }
    const comma = before?.token.text === "," && before.token.kind === "mark";
    const named = comma ? settled.at(-2) : before;
    const one = settled.at(comma ? -3 : -2);
    if (named?.subject?.genus && (named.subject.species || one?.measure?.article)) {
      settled.length -= comma ? 2 : 1;
      settled.push({ ...named, end: item.end, subject: { ...named.subject, tag: label.value } });
    } else settled.push(item);
  }
  return settled;
}
