import type { Clause } from "../clauses/clause.js";
import { type Item, is } from "../item.js";
import type { Token } from "../tokenise.js";
import type { Built } from "./build.js";
import { textOf } from "./draft.js";

/** Words that link others and say nothing by themselves. */
const LINKS = [
  "det",
  "filler",
  "courtesy",
  "prep",
  "be",
  "self",
  "pron",
  "and",
  "light",
  "tentative",
  "done",
  "polarity",
  "head",
  "reach",
  "stat",
  "quantity",
  "except",
  "seednoun",
  "seedling",
  "pot",
  "square",
  "newness",
  "light",
];

/**
 * The words of a logged message that no rule took: clauses that made no entry, as they stand, and words of the
 * others that filled no slot.
 */
export function remainderOf(
  clauses: readonly Clause[],
  accepted: readonly Built[],
  aside: readonly (readonly Item[])[],
  tokens: readonly Token[],
): string | undefined {
  const pieces: string[] = [];
  clauses.forEach((clause, index) => {
    const mine = accepted.filter((one) => one.clause === index);
    if (mine.length === 0) {
      pieces.push(span(clause.items, tokens));
      return;
    }
    const used = new Set<number>(mine.flatMap((one) => [...one.draft.used]));
    let run: Item[] = [];
    clause.items.forEach((item, i) => {
      const linking = LINKS.some((cls) => is(item, cls));
      const sign = item.token.kind === "mark" || item.token.kind === "emoji";
      if (used.has(i) || (item.senses.length > 0 && linking) || sign) {
        if (run.length > 0) pieces.push(span(run, tokens));
        run = [];
      } else run.push(item);
    });
    if (run.length > 0) pieces.push(span(run, tokens));
  });
  for (const one of aside) pieces.push(span(one, tokens));
  const text = pieces.filter((piece) => piece !== "").join("; ");
  return text === "" ? undefined : text;
}

const span = (items: readonly Item[], tokens: readonly Token[]): string => {
  const written = items.filter((item) => item.end > item.start);
  const first = written[0];
  const last = written.at(-1);
  return first && last ? textOf(tokens, first.start, last.end) : "";
};
