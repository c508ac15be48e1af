import type { Clause } from "../clauses/clause.js";
import { is, says } from "../item.js";
import type { Token } from "../tokenise.js";

const ENDS: ReadonlySet<string> = new Set([".", "!", "?", "\n"]);

/**
 * Clauses that a question mark ends, by their index: what is asked was not done ("heater on in the long house?"). In
 * "watered the aloes, did anyone do the agaves?" it ends only what begins with a word that asks.
 */
export function questioned(clauses: readonly Clause[], tokens: readonly Token[]): ReadonlySet<number> {
  const asked = new Set<number>();
  let from = 0;
  for (const [at, token] of tokens.entries()) {
    if (token.kind !== "mark" || !ENDS.has(token.text)) continue;
    if (token.text === "?") for (const index of askedIn(clauses, from, at)) asked.add(index);
    from = at + 1;
  }
  for (const [index, clause] of clauses.entries()) if (asksOfSwitch(clause)) asked.add(index);
  return asked;
}

/** "snow on Friday, is the bay heater on": the verb in front asks. */
const asksOfSwitch = ({ items, head }: Clause): boolean => {
  const verb = items.findIndex((item) => is(item, "be") && says(item, "inverts"));
  const behindTime = verb > 0 && items[verb - 1]?.time !== undefined;
  const equipment = items.findIndex((item) => is(item, "equipment"));
  return (
    head?.kind === "equipment" && (verb === 0 || behindTime) && verb < equipment && is(items[verb + 1], "det")
  );
};

function askedIn(clauses: readonly Clause[], from: number, end: number): number[] {
  const within = [...clauses.entries()].filter(([, { items }]) => {
    const first = items[0];
    return first !== undefined && first.start >= from && first.start < end;
  });
  const asks = within.findIndex(([, { items }]) => items.slice(0, 2).some((item) => is(item, "ask")));
  return within.slice(Math.max(0, asks)).map(([index]) => index);
}
