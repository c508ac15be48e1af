import { recipientEnd } from "../clauses/head-light.js";
import type { Entry } from "../interpretation.js";
import { type Item, is, says, value } from "../item.js";
import type { Circumstances } from "./circumstances.js";
import { findDoer } from "./doer.js";
import { type ClauseView, type Draft, textOf } from "./draft.js";

/** From whom it came, to whom it went: the words behind "from" or "to". */
export function fillParties(view: ClauseView, draft: Draft): void {
  const { items, tokens, head } = view;
  const wanted = head.act === "give_away" ? "to" : "from";
  for (let i = 0; i < items.length; i++) {
    const item = items[i] as Item;
    const opens =
      (head.act === "acquire" && i > head.at && value(item, "prep") === "by") ||
      value(item, "prep") === wanted ||
      (wanted === "from" && value(item, "prep") === "at") ||
      (value(item, "prep") === "with" && swaps(view));
    // "the lady from the club gave me an aloe": who she is.
    if (givesMe(view) && i < head.at) continue;
    if (!opens || i + 1 >= items.length) continue;
    let end = i + 1;
    while (
      end < items.length &&
      !items[end]?.time &&
      !(items[end]?.measure && !items[end]?.measure?.article) &&
      !(
        end > i + 1 &&
        is(items[end], "prep") &&
        value(items[end], "prep") !== "of" &&
        !(items[end + 1]?.token.capital || items[end + 1]?.unknown)
      ) &&
      items[end]?.token.kind !== "emoji" &&
      !(end > i + 1 && broken(items, end, view))
    )
      end++;
    // "the nursery" is known, "a grower in Launceston" is as written.
    const article = value(items[i + 1], "det") === "a" || items[i + 1]?.measure?.article;
    const bare = value(items[i + 1], "det") === "the" || (value(item, "prep") === "at" && article);
    const start = bare ? Math.min(i + 2, end - 1) : i + 1;
    if (start >= end) continue;
    // "to Pete" is Pete, whatever follows; "to Pete's neighbour" is not.
    const member = items[start]?.token.owner !== undefined ? undefined : value(items[start], "member");
    if (member) end = start + 1;
    const who = member ?? textOf(tokens, (items[start] as Item).start, (items[end - 1] as Item).end);
    if (wanted === "to") draft.entry.recipient = who;
    else draft.entry.origin = who;
    for (let k = i; k < end; k++) {
      draft.used.add(k);
      if (items[k]?.subject && draft.entry.subjects) dropSubject(draft, items[k] as Item);
    }
    return;
  }
  if (head.act === "give_away" && head.kind === "light") {
    const next = items[head.at + 1];
    const person =
      value(next, "member") ??
      (is(next, "kin") ? textOf(tokens, (next as Item).start, (next as Item).end) : undefined);
    const end = person ? head.at + 2 : recipientEnd(items, head.at);
    if (end > 0) {
      draft.entry.recipient = person ?? textOf(tokens, (next as Item).start, (items[end - 1] as Item).end);
      for (let k = head.at + 1; k < end; k++) draft.used.add(k);
    }
  }
}

/** "swapped an aloe with Geoff": he got the one and gave the other. */
const swaps = ({ items, head }: ClauseView): boolean =>
  (head.act === "give_away" && says(items[head.at], "trades")) || head.slots?.exchanged !== undefined;

/** Who is named on one side of an exchange is the other party of both; "at the club" is only where it was. */
export function shareParty(gave: Entry, got: Entry, items: readonly Item[]): void {
  const party =
    gave.recipient ?? (items.some((item) => value(item, "prep") === "with") ? got.origin : undefined);
  if (party === undefined) return;
  gave.recipient = party;
  got.origin = party;
}

/** "the Launceston show, both healthy": a comma ends the name, unless another name goes on behind it. */
const broken = (items: readonly Item[], at: number, { tokens }: ClauseView): boolean => {
  const [before, item] = [items[at - 1], items[at]];
  return (
    before !== undefined &&
    item !== undefined &&
    item.start > before.end &&
    tokens[before.end]?.kind === "mark" &&
    !item.token.capital
  );
};

function dropSubject(draft: Draft, item: Item): void {
  const kept = (draft.entry.subjects ?? []).filter(
    (one) => one.genus !== item.subject?.genus || one.group !== item.subject?.group,
  );
  if (kept.length > 0) draft.entry.subjects = kept;
}

/** Who did it. */
export function fillDoer(view: ClauseView, draft: Draft, { lexicon }: Circumstances): void {
  const doer =
    findDoer(view, lexicon.language.and) ??
    (view.head.at < 0 && view.head.act !== "give_away" ? leadingDoer(view) : undefined);
  if (!doer) {
    const giver = giverIn(view);
    if (giver) {
      draft.entry.origin ??= textOf(
        view.tokens,
        (view.items[giver.from] as Item).start,
        (view.items[giver.end - 1] as Item).end,
      );
      for (let i = giver.from; i < giver.end; i++) draft.used.add(i);
    }
    return;
  }
  draft.ownDoer = true;
  for (const i of doer.used) draft.used.add(i);
  const giver =
    view.head.act === "acquire" &&
    (givesMe(view) || view.items.some((item, i) => doer.used.includes(i) && value(item, "prep") === "by"));
  if (doer.person && giver) draft.entry.origin ??= doer.person;
  else if (doer.person) draft.entry.person = doer.person;
}

/** "jos friend gave us 3 cuttings", "the neighbour gave me an aloe": the words before the verb that say who gave. */
function giverIn({ items, head }: ClauseView): { from: number; end: number } | undefined {
  if (head.act !== "acquire" || head.at < 1 || value(items[head.at], "light") !== "give") return undefined;
  let start = head.at;
  while (start > 0 && namesGiver(items[start - 1] as Item)) start--;
  if (value(items[start], "det") === "the") start++;
  return start < head.at ? { from: start, end: head.at } : undefined;
}

const namesGiver = (item: Item): boolean =>
  item.token.kind === "word" &&
  !item.subject &&
  !item.time &&
  !item.measure &&
  (item.senses.length === 0 || ["kin", "member", "foreign", "det", "head"].some((cls) => is(item, cls)));

/** "... and I the gasterias", "... and Aroha the cymbidiums": the doer of an act that was said before. */
function leadingDoer(view: ClauseView): { person?: string; used: number[] } | undefined {
  const name = view.items.findIndex((item) => item.subject !== undefined || is(item, "place"));
  for (let i = 0; i < name; i++) {
    if (is(view.items[i], "self")) return { used: [i] };
    const member = value(view.items[i], "member");
    if (member) return { person: member, used: [i] };
  }
  return undefined;
}

/** "Bert gave me three astrophytums": the doer is where they came from. */
const givesMe = (view: ClauseView): boolean => value(view.items[view.head.at], "light") === "give";
