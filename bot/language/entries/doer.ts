import { type Item, is, says, shaped, unread, value } from "../item.js";
import type { Token } from "../tokenise.js";
import type { ClauseView } from "./draft.js";
import { textOf } from "./draft.js";

export interface Doer {
  /** Absent where the writer says "I" or "we". */
  person?: string;
  used: number[];
}

/** Who did it, where the clause says so: "Tomasz watered", "dave watered", "repotted by Bert", "I". */
export function findDoer(view: ClauseView, and: string): Doer | undefined {
  const { items, head, tokens } = view;
  const by = items.findIndex(
    (item, i) =>
      i > head.at && (value(item, "prep") === "by" || (says(item, "credits") && item.end - item.start > 1)),
  );
  const did = by < 0 ? didIt(view) : -1;
  if (did >= 0) {
    let start = did;
    while (start > head.at + 1 && person(items[start - 1] as Item)) start--;
    return { person: nameOf(items, start, did + 1, tokens, and), used: range(start, did + 3) };
  }
  const given = by < 0 ? givenBy(view) : -1;
  if (given >= 0) {
    const end = joined(items, given + 1);
    return { person: nameOf(items, given + 1, end, tokens, and), used: range(given, end) };
  }
  if (by >= 0 && items[by + 1] && byPerson(items[by + 1] as Item)) {
    const end = joined(items, by + 1);
    return { person: nameOf(items, by + 1, end, tokens, and), used: range(by, end) };
  }
  let at = causative(items, head.at) - 1;
  while (
    at >= 0 &&
    (passes(items[at] as Item) || comesBy(items[at] as Item) || carriesOut(items[at] as Item, tokens))
  )
    at--;
  if (at < 0) return undefined;
  const last = items[at] as Item;
  if (is(last, "self")) return withWriter(view, at, and) ?? { used: [at] };
  if (!person(last) && !stranger(items, at, view)) return undefined;
  let start = at;
  while (
    start >= 2 &&
    is(items[start - 1], "and") &&
    (person(items[start - 2] as Item) || items[start - 2]?.unknown)
  )
    start -= 2;
  while (
    start >= 1 &&
    !is(items[start - 1], "and") &&
    person(items[start - 1] as Item) &&
    person(items[start] as Item)
  )
    start -= 1;
  const self = items[start - 1];
  if (self && is(self, "self")) {
    const others = nameOf(items, start, at + 1, tokens, and);
    const writer = alone(self) ? tokens[self.start]?.text : undefined;
    return { ...(writer && { person: `${writer} ${and} ${others}` }), used: range(start - 1, at + 1) };
  }
  return { person: nameOf(items, start, at + 1, tokens, and), used: range(start, at + 1) };
}

/** "Aroha and I repotted the aloes": others who did it together with the writer, whose word stands at `at`. */
function withWriter({ items, tokens }: ClauseView, at: number, and: string): Doer | undefined {
  const self = items[at] as Item;
  const before = items[at - 1];
  if (!before || !person(before) || !alone(self) || before.end === self.start) return undefined;
  if (!joinedBy(tokens[before.end])) return undefined;
  let start = at - 1;
  while (start > 0 && person(items[start - 1] as Item)) start--;
  const others = nameOf(items, start, at, tokens, and);
  return { person: `${others} ${and} ${tokens[self.start]?.text}`, used: range(start, at + 1) };
}

/** "I" or "me", not "we". */
const alone = (item: Item): boolean => says(item, "the writer alone");

/** Whether what stood between two people was a word and no comma: "Bert and I", not "Bert, I". */
const joinedBy = (between: Token | undefined): boolean =>
  between !== undefined && (between.kind === "word" || between.text === "&" || between.text === "+");

/** "Bert got the frame wrapped": the doer stands before "got", whose index this is; else that of the verb. */
function causative(items: readonly Item[], verb: number): number {
  let at = verb - 1;
  while (at >= 0 && (is(items[at], "det") || is(items[at], "place") || items[at]?.subject)) at--;
  const light = value(items[at], "light");
  return at >= 0 && at < verb - 1 && (light === "get" || light === "have") ? at : verb;
}

/** Care that plants are given: "the aloes got a misting off Maureen". */
const GIVEN: ReadonlySet<string> = new Set(["water", "mist", "feed", "treat", "clean", "turn"]);

/** Index of the word before who gave the plants their care, or -1. */
const givenBy = ({ items, head }: ClauseView): number =>
  head.kind === "light" && GIVEN.has(head.act) && items.slice(0, head.at).some((item) => item.subject)
    ? items.findIndex(
        (item, i) => i > head.at && value(item, "prep") === "from" && is(items[i + 1], "member"),
      )
    : -1;

/** "bubble wrap's up in the lean-to, Dev did it": index of who did what was told before, or -1. */
const didIt = ({ items, head }: ClauseView): number =>
  items.findIndex(
    (item, i) =>
      i > head.at && is(item, "member") && says(items[i + 1], "did likewise") && is(items[i + 2], "pron"),
  );

const passes = (item: Item): boolean =>
  !is(item, "self") &&
  !is(item, "member") &&
  !is(item, "kin") &&
  !item.subject &&
  (is(item, "filler") ||
    says(item, "stands for a doer") ||
    is(item, "tentative") ||
    is(item, "be") ||
    shaped(item, "adverb") ||
    Boolean(item.time));

/** "Oskar popped in and opened the vents", "Bert's been round: watered the lean-to": how the doer came there. */
const comesBy = (item: Item): boolean =>
  !item.subject && (["direction", "arrive", "over"].some((cls) => is(item, cls)) || says(item, "drops by"));

/** "Maureen had to throw out two crassulas", not "it fell to me to", which has its own doer. */
const carriesOut = (item: Item, tokens: readonly Token[]): boolean =>
  is(item, "carriedout") && !tokens.slice(item.start, item.end).some((token) => says(token, "fell to us"));

const person = (item: Item): boolean => is(item, "member") || is(item, "kin");

const byPerson = (item: Item): boolean =>
  person(item) || (unread(item) && (Boolean(item.unknown) || item.token.capital));

/** An unknown word in the doer's place: "dave watered everything". */
function stranger(items: readonly Item[], at: number, view: ClauseView): boolean {
  const item = items[at] as Item;
  if (view.head.kind !== "verb" && view.head.kind !== "light" && view.head.kind !== "equipment") return false;
  if (item.token.kind !== "word" || item.senses.length > 0 || item.subject || item.measure) return false;
  if (!item.unknown && !item.token.capital) return false;
  const before = items[at - 1];
  if (is(before, "det")) return false;
  return (
    at === 0 ||
    before?.token.kind === "mark" ||
    Boolean(before?.time) ||
    is(before, "and") ||
    is(before, "filler")
  );
}

/** End of a list of people: "Ines and Tomasz". */
function joined(items: readonly Item[], from: number): number {
  let end = from + 1;
  while (end < items.length && person(items[end] as Item)) end += 1;
  return end;
}

function nameOf(
  items: readonly Item[],
  from: number,
  end: number,
  tokens: Parameters<typeof textOf>[0],
  and: string,
): string {
  const single = end - from === 1 ? value(items[from], "member") : undefined;
  if (single) return single;
  const parts: string[] = [];
  for (let i = from; i < end; i++) {
    const item = items[i] as Item;
    if (is(item, "and") && !person(item)) continue;
    parts.push(value(item, "member") ?? textOf(tokens, item.start, item.end));
  }
  return parts.join(` ${and} `);
}

const range = (from: number, end: number): number[] => Array.from({ length: end - from }, (_, i) => from + i);
