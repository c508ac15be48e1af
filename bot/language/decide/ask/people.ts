import { type Item, is, isAct, says, shaped, value } from "../../item.js";
import type { QuestionView } from "./view.js";

/** "did you water the aloes?", "would anyone like a pup?": asked of people, not of the journal. */
export function toSomebody(view: QuestionView): boolean {
  const { items } = view;
  return (
    // "let me know when they flower"
    items.some((item, i) => i < 2 && says(item, "wants to hear") && is(item, "ask")) ||
    endsOnPeople(items) ||
    proposes(items) ||
    askedByName(items) ||
    items.some(
      (item, i) => is(item, "musing") || yours(items, i) || addressesYou(items, i) || seeks(items, i),
    )
  );
}

/** "your aloe" */
const yours = (items: readonly Item[], at: number): boolean =>
  is(items[at], "yours") && items[at + 1]?.subject !== undefined;

/** "did you", "could you", "Maureen you" */
function addressesYou(items: readonly Item[], at: number): boolean {
  if (!is(items[at], "second")) return false;
  const before = items[at - 1];
  if (is(before, "requesting") && ofKind(items)) return false;
  return at === 0 || is(before, "requesting") || is(before, "member") || is(before, "toperson");
}

/** "can you leave echeverias outside in April": anybody, and plants of a kind; not "can you water the aloes tomorrow". */
const ofKind = (items: readonly Item[]): boolean =>
  items.some((item, i) => item.subject?.genus && shaped(item, "plural") && !is(items[i - 1], "det")) &&
  !items.some((item) => item.time?.day ?? item.time?.clock ?? is(item, "courtesy"));

/** "does anyone want", "is anybody able to" */
const seeks = (items: readonly Item[], at: number): boolean =>
  is(items[at], "anybody") && items.slice(at + 1, at + 3).some((one) => is(one, "willing"));

/** "..., Bert?", "... yet have they?", "... thoughts?": the end of the question says that people are asked. */
function endsOnPeople(items: readonly Item[]): boolean {
  const words = items.filter((item) => item.token.kind === "word");
  const last = words.at(-1);
  if (words.length < 4) return false;
  const offers = items.some((item) => is(item, "alternative"));
  if (offers && is(last, "member")) return true;
  if (items.at(-1)?.token.text !== "?") return false;
  if (is(last, "member") || is(last, "opinion")) return true;
  return is(last, "tagperson") && is(words.at(-2), "tagverb");
}

/** "shall we water them tonight?", "who's watering while we're away?": what people settle among themselves. */
function proposes(items: readonly Item[]): boolean {
  const first = items.findIndex((item) => is(item, "ask"));
  const start = items[first];
  if (!start) return false;
  if (value(start, "proposal") && is(items[first + 1], "self")) return true;
  const doing = items.slice(first + 1, first + 3).some((item) => isAct(item, "gerund"));
  return value(start, "ask") === "who" && doing;
}

/** "Lachlan, have the Frailea come up?": somebody of the household is called by name. */
const askedByName = (items: readonly Item[]): boolean =>
  is(items[0], "member") && items[1]?.token.text === ",";
