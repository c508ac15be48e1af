import { type Item, is, isAct, itemOf, says, value } from "../item.js";
import { meaningOf } from "../sense.js";
import { headOf } from "./head.js";

/** The items of a message without its relative clauses, and those clauses, which tell of something else. */
export interface Main {
  items: Item[];
  aside: Item[][];
}

/**
 * Takes the relative clauses off the plants they describe: "the mammillarias I potted up last year are in flower"
 * tells of flowers, "Bert, who was in yesterday, watered the gasterias" of watering. A relative clause that goes
 * on with the report ("..., which he merely misted") stays, with the plants in place of the pronoun.
 */
export function withoutRelatives(items: readonly Item[]): Main {
  const kept: Item[] = [];
  const aside: Item[][] = [];
  let verbs = 0;
  for (let at = 0; at < items.length; ) {
    const item = items[at] as Item;
    const antecedent = antecedentAt(items, at);
    const clause = antecedent === undefined ? undefined : relativeAt(items, at, antecedent, verbs > 0);
    if (clause?.becomes) {
      kept.push(clause.becomes);
      at++;
      continue;
    }
    if (clause) {
      aside.push(items.slice(at, clause.end));
      // "The aloes, which are dry, were watered": both commas are the clause's.
      if (kept.at(-1)?.token.text === "," && items[clause.end - 1]?.token.text === ",") kept.pop();
      at = clause.end;
      continue;
    }
    if (item.token.kind === "mark" && /^[.;!?\n]$/.test(item.token.text)) verbs = 0;
    else if (finite(item) && !item.quoted) verbs++;
    kept.push(item);
    at++;
  }
  return aside.length > 0 || kept.some((item, i) => item !== items[i])
    ? { items: kept, aside }
    : { items: items as Item[], aside };
}

/** The noun that a relative clause beginning at `at` would describe. */
function antecedentAt(items: readonly Item[], at: number): Item | undefined {
  let before = at - 1;
  if (items[before]?.token.text === ",") before--;
  const tail = items[before];
  if (noun(tail)) return tail;
  if (
    is(tail, "seen") ||
    is(tail, "seednoun") ||
    is(tail, "seedling") ||
    is(tail, "head") ||
    is(tail, "nounleaf")
  )
    return items[before - 1]?.subject ? items[before - 1] : tail;
  return undefined;
}
const noun = (item: Item | undefined): boolean =>
  item !== undefined &&
  !item.quoted &&
  (item.subject !== undefined || is(item, "member") || is(item, "equipment") || is(item, "pot"));

interface Relative {
  end: number;
  /** What stands for the pronoun of a clause that is kept. */
  becomes?: Item;
}

function relativeAt(
  items: readonly Item[],
  at: number,
  antecedent: Item,
  behindVerb: boolean,
): Relative | undefined {
  const item = items[at] as Item;
  const comma = items[at - 1]?.token.text === ",";
  if (says(item, "relates")) {
    if (comma && says(item, "relates closely")) return undefined;
    if (comma) return inserted(items, at, antecedent, behindVerb);
    return is(antecedent, "member") ? undefined : restrictive(items, at + 1, at, behindVerb);
  }
  if (comma || behindVerb || !antecedent.subject) return undefined;
  const named = is(item, "self") || is(item, "member") || is(item, "kin") || (item.unknown && !item.subject);
  if (named && verbNear(items, at + 1, 2)) return restrictive(items, at + 1, at, false);
  const participle = past(item) ? !is(item, "light") : says(item, "participle");
  return participle ? restrictive(items, at, at, false, true) : undefined;
}

/** Whether a verb stands among the next items: "I potted", "we all bought". */
const verbNear = (items: readonly Item[], from: number, reach: number): boolean => {
  for (let i = from; i < from + reach; i++) if (past(items[i]) || is(items[i], "light")) return true;
  return false;
};

/** A clause without commas ends where the main verb begins; behind the main verb it runs to the next mark. */
function restrictive(
  items: readonly Item[],
  from: number,
  start: number,
  behindVerb: boolean,
  reduced = false,
): Relative | undefined {
  let verb = from;
  while (verb < items.length && verb < from + 5 && !carries(items[verb] as Item) && !stops(items, verb))
    verb++;
  if (!items[verb] || !carries(items[verb] as Item)) return undefined;
  let at = verb + 1;
  while (at < items.length && (carries(items[at] as Item) || is(items[at], "filler"))) {
    if (is(items[at], "be") || is(items[at], "light")) {
      if (reduced || told(items[at - 1] as Item)) break;
    }
    at++;
  }
  if (behindVerb) {
    while (at < items.length && !stops(items, at)) at++;
    return describes(items.slice(start, at)) ? { end: at } : undefined;
  }
  for (; at < items.length && !stops(items, at); at++) {
    const item = items[at] as Item;
    const main = reduced ? is(item, "be") || has(item) || opens(items, at) : finite(item);
    if (!main || item.subject) continue;
    return reduced && objectBefore(items, at) ? undefined : { end: at };
  }
  return undefined;
}

/** "aloes watered hoyas were fed": the name before the verb is its own. */
function objectBefore(items: readonly Item[], at: number): boolean {
  if (!items[at - 1]?.subject || items[at - 1]?.subject?.tag) return false;
  const lead = items[is(items[at - 2], "det") ? at - 3 : at - 2];
  return !is(lead, "prep");
}

/** What was thrown away for its rot keeps it as the cause; only what was done or seen before is set aside. */
const describes = (clause: readonly Item[]): boolean => !clause.some((item) => isAct(item, "state"));

/** ", which had not been watered since April, were given a soak": between two commas, with the main verb behind. */
function inserted(
  items: readonly Item[],
  at: number,
  antecedent: Item,
  behindVerb: boolean,
): Relative | undefined {
  let end = at + 1;
  while (end < items.length && !stops(items, end)) end++;
  const clause = items.slice(at + 1, end);
  if (!clause.some(carries)) return undefined;
  const seen = clause.some((item) => is(item, "seen") || isAct(item, "state"));
  const head = headOf(clause);
  const gained = head && GAINED.has(head.act);
  if (!behindVerb && items[end]?.token.text === ",") {
    let next = end + 1;
    while (is(items[next], "filler") && !finite(items[next] as Item)) next++;
    return items[next] && finite(items[next] as Item) && !seen ? { end: end + 1 } : undefined;
  }
  if (!behindVerb || !antecedent.subject) return undefined;
  if (!head || gained) return { end };
  if (!excepted(items, at)) return undefined;
  const becomes = itemOf(at, at, (items[at] as Item).token, [
    meaningOf({ cls: "name", value: "", subject: antecedent.subject }),
  ]);
  becomes.subject = antecedent.subject;
  return { end: at + 1, becomes };
}
/** "except the rhipsalis, which he merely misted": the pronoun means only the exception. */
const excepted = (items: readonly Item[], at: number): boolean =>
  items.slice(Math.max(0, at - 5), at).some((item) => is(item, "except"));

/** How plants came is told of them, and was logged when they came. */
const GAINED: ReadonlySet<string> = new Set(["acquire", "sow", "graft", "order"]);

const told = (item: Item): boolean => past(item) || isAct(item, "state");
const past = (item: Item | undefined): boolean => isAct(item, "past");
const has = (item: Item): boolean => value(item, "light") === "have";
const carries = (item: Item): boolean =>
  !item.subject &&
  !item.quoted &&
  (is(item, "be") ||
    is(item, "light") ||
    is(item, "plan") ||
    is(item, "negation") ||
    is(item, "sep") ||
    is(item, "reach") ||
    is(item, "act"));
const finite = (item: Item): boolean =>
  !item.subject &&
  (is(item, "be") ||
    is(item, "light") ||
    is(item, "plan") ||
    past(item) ||
    isAct(item, "state") ||
    begins(item));
const begins = (item: Item): boolean => says(item, "begins");
const opens = (items: readonly Item[], at: number): boolean => begins(items[at] as Item);
const stops = (items: readonly Item[], at: number): boolean => {
  const item = items[at] as Item;
  if (item.measure || item.time) return false;
  if (item.token.kind === "mark" && item.senses.length === 0 && !item.token.glued) return true;
  return (
    (item.token.kind === "mark" && /^[,.;:!?()\n–—]$/.test(item.token.text)) ||
    is(item, "but") ||
    is(item, "then") ||
    (is(item, "and") && !(person(items[at - 1]) && person(items[at + 1])))
  );
};
const person = (item: Item | undefined): boolean => is(item, "member") || is(item, "kin") || is(item, "self");
