import type { InterpretContext } from "./context.js";
import { textOf } from "./entries/draft.js";
import { interpret, view } from "./interpret.js";
import type { Item } from "./item.js";
import { normalise } from "./normalise.js";
import { readTokens } from "./spelling.js";
import type { Vocabulary } from "./vocabulary.js";

/** What each stage made of a message, for people who ask why it was read as it was. */
export interface Explanation {
  normalised: string;
  /** Without the words that stand around the message. */
  tokens: string[];
  marks: string[];
  clauses: string[];
  entries: unknown[];
  decision: unknown;
}

/** Runs the stages one by one and keeps what each of them found. */
export function explain(message: string, context: InterpretContext, vocabulary: Vocabulary): Explanation {
  const normalised = normalise(message);
  const tokens = vocabulary.edges.trim(readTokens(normalised, context, vocabulary));
  const seen = view(normalised, tokens, context, vocabulary);
  const words = (item: Item): string => textOf(tokens, item.start, item.end);
  return {
    normalised,
    tokens: tokens.map((token) => token.text),
    marks: seen.items.map((item) => `${words(item)}: ${meanings(item)}`),
    clauses: seen.clauses.map((clause, i) => {
      const head = clause.head
        ? `${clause.head.act} (${clause.head.kind})`
        : clause.inherits
          ? "act of the clause before"
          : "no act";
      return `${clause.items.map(words).join(" ")} | ${head}, ${seen.modalities[i]}`;
    }),
    entries: seen.built.map((one) => one.entry),
    decision: interpret(message, context, vocabulary),
  };
}

function meanings(item: Item): string {
  const found: string[] = [];
  if (item.subject) found.push(JSON.stringify(item.subject));
  if (item.measure) found.push(`measure ${JSON.stringify(item.measure)}`);
  if (item.time) found.push(`time ${JSON.stringify(item.time)}`);
  for (const sense of item.senses)
    if (sense.cls !== "name")
      found.push(`${sense.cls} ${sense.value}${sense.form ? ` (${sense.form})` : ""}`);
  if (item.guessed) found.push("misspelt");
  if (item.quoted) found.push("quoted");
  return found.join(", ") || (item.unknown ? "unknown" : "-");
}
