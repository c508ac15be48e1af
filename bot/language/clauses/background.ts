import { type Item, is, isAct, says, shaped, value } from "../item.js";
import { readsValue } from "./clause.js";
import { headOf } from "./head.js";
import type { Main } from "./relative.js";

/**
 * Takes away the clauses that only tell when or why something was noticed or done: "while watering", "when I got
 * in this morning", "since nobody had been in". Their times and places stay, for what is told was then and there.
 */
export function withoutBackground({ items, aside }: Main): Main {
  const kept: Item[] = [];
  const taken: Item[][] = [];
  for (let at = 0; at < items.length; ) {
    const reason = reasonEnd(items, at);
    if (reason !== undefined) {
      taken.push(items.slice(at, reason));
      at = reason;
      continue;
    }
    const end = backgroundEnd(items, at);
    if (end === undefined) {
      kept.push(items[at] as Item);
      at++;
      continue;
    }
    const clause = items.slice(at, end);
    kept.push(...clause.filter(dates));
    taken.push(clause.filter((item) => !dates(item)));
    at = end;
  }
  return taken.length > 0 ? { items: kept, aside: [...aside, ...taken] } : { items, aside };
}

/** What dates or places the whole message. */
const dates = (item: Item): boolean =>
  (item.time !== undefined && item.measure === undefined && !item.time.open) || is(item, "place");

/**
 * "moved the hoyas to the bay since it was cold in the lean-to", "shaded the frame, as the sun is too strong for the
 * seedlings": why it was done names neither where nor what. A value, a pest or a plant's own trouble is news.
 */
function reasonEnd(items: readonly Item[], at: number): number | undefined {
  const item = items[at] as Item;
  if (at === 0 || item.time || item.quoted || item.subject || !says(item, "gives the reason behind"))
    return undefined;
  const next = items[at + 1];
  if (
    !(is(next, "pron") || is(next, "det") || says(next, "speaks of it") || is(next, "self")) ||
    next?.subject
  )
    return undefined;
  const sentence = items.slice(0, at).findLastIndex(sentenceMark) + 1;
  const main = items.slice(sentence, at);
  const done = headOf(main);
  if (done ? done.kind === "base" || done.kind === "noun" : !readsValue(main)) return undefined;
  const end = runsTo(items, at);
  const clause = items.slice(at + 1, end);
  const state = clause.some((one) => is(one, "seen") || isAct(one, "state"));
  const news = clause.some(
    (one, i) =>
      (one.measure && !one.measure.article) ||
      is(one, "pest") ||
      is(one, "member") ||
      (is(one, "equipment") && value(one, "equipment") !== "vent") ||
      (isAct(one, "past") && !is(one, "report") && !is(one, "light")) ||
      (one.subject && state && i < 3),
  );
  return news || !clause.some((one) => verb(one) || is(one, "openclose")) ? undefined : end;
}

function backgroundEnd(items: readonly Item[], at: number): number | undefined {
  const item = items[at] as Item;
  if (item.time || item.quoted || item.subject) return undefined;
  const first = at === 0 || sentenceMark(items[at - 1]);
  if (!first && is(item, "likeword")) return likenessEnd(items, at);
  if (first && says(item, "marks infinitive")) return purposeEnd(items, at);
  const during = says(item, "goes along");
  const reason = says(item, "gives a reason");
  if (!during && !reason) return undefined;
  const leading = first || is(items[at - 1], "filler");
  const gerund = during && (leading || !says(item, "only begins a sentence")) && gerundAt(items, at + 1);
  const end = leading ? mainBegins(items, at) : runsTo(items, at);
  if (end === undefined || end <= at + 1) return undefined;
  const clause = items.slice(at + 1, end);
  if (!ownPlants(items, at, end, leading)) return undefined;
  if (gerund) return end;
  if (!reason || (!leading && says(item, "gives a reason in front"))) return undefined;
  if (!leading && !is(items[at + 1], "self")) return undefined;
  const bare = clause.every((one) => !one.subject && !one.measure && !is(one, "place"));
  if (!leading) return bare && clause.some((one) => verb(one)) ? end : undefined;
  return headOf(clause) || readsValue(clause) || !clause.some((one) => verb(one)) ? undefined : end;
}

/** "37 in the tunnel, like an oven": what it is likened to ends the sentence and names nothing of the collection. */
function likenessEnd(items: readonly Item[], at: number): number | undefined {
  const before = items[at - 1] as Item;
  if (is(before, "be") || is(before, "act")) return undefined;
  let end = at + 1;
  for (; end < items.length && !sentenceMark(items[end]); end++) {
    const item = items[end] as Item;
    const article = item.measure?.article ?? false;
    if (item.subject || item.time || (item.measure && !article) || is(item, "place") || is(item, "pest"))
      return undefined;
    if (item.token.text === "," || is(item, "and")) return undefined;
  }
  return end > at + 1 ? end : undefined;
}

/** "while watering", "when I was watering". */
function gerundAt(items: readonly Item[], from: number): boolean {
  let at = from;
  if (is(items[at], "self") || is(items[at], "member") || is(items[at], "second")) {
    at++;
    if (!is(items[at], "be")) return false;
    at++;
  }
  const item = items[at];
  return (
    item?.token.kind === "word" &&
    item.token.key.length > 5 &&
    shaped(item, "gerund") &&
    !item.subject &&
    !is(item, "pest")
  );
}

/** Plants are the background's own where the main clause names others, or where it names none. */
function ownPlants(items: readonly Item[], at: number, end: number, leading: boolean): boolean {
  const inside = items.slice(at, end).some((item) => item.subject);
  if (!inside) return true;
  const rest = leading ? items.slice(end) : items.slice(0, at);
  return rest.some((item) => item.subject);
}

/** Where the main clause begins behind one that leads: at the comma, or at a doer or a noun with its verb. */
function mainBegins(items: readonly Item[], at: number): number | undefined {
  let verbs = 0;
  for (let i = at + 1; i < items.length; i++) {
    const item = items[i] as Item;
    if (item.token.text === "," && !item.measure) return verbs > 0 ? i + 1 : undefined;
    if (sentenceMark(item)) return undefined;
    const opens =
      is(item, "self") ||
      is(item, "member") ||
      is(item, "kin") ||
      (is(item, "det") && !is(items[i - 1], "prep"));
    if (verbs > 0 && opens && items.slice(i + 1, i + 5).some(finite)) return i;
    if (verb(item)) verbs++;
  }
  return undefined;
}

/** A clause behind the main one runs to the next mark or "and". */
function runsTo(items: readonly Item[], at: number): number {
  let end = at + 1;
  while (
    end < items.length &&
    !sentenceMark(items[end]) &&
    items[end]?.token.text !== "," &&
    !is(items[end], "and") &&
    !says(items[end], "relates closely")
  )
    end++;
  return end;
}

/** "To be safe, I treated the hoyas": what for. */
function purposeEnd(items: readonly Item[], at: number): number | undefined {
  for (let i = at + 1; i < items.length && i < at + 8; i++) {
    if (items[i]?.token.text !== ",") continue;
    return is(items[i + 1], "self") || is(items[i + 1], "member") ? i + 1 : undefined;
  }
  return undefined;
}

const finite = (item: Item): boolean =>
  !item.subject &&
  (is(item, "be") || is(item, "light") || is(item, "reach") || isAct(item, "past") || isAct(item, "state"));
const verb = (item: Item): boolean =>
  finite(item) || is(item, "act") || shaped(item, "gerund") || shaped(item, "past");
const sentenceMark = (item: Item | undefined): boolean =>
  item?.token.kind === "mark" && /^[.;:!?\n()–—]$/.test(item.token.text);
