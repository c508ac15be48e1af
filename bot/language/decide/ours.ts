import type { Built } from "../entries/build.js";
import { type Item, is, isAct, says, shaped, value } from "../item.js";
import { kinOwned, outer, owned, possessive } from "./owners.js";
import { gaveUs, received, thingFor, tradesElse } from "./received.js";
import type { MessageView } from "./view.js";

/*
 * An entry is of our collection only where the sentence lets it be: one of us, or nobody named, did it; a plant
 * is what it was done to, or what the state was seen on; the plant stands in no picture, belongs to no other
 * person and grows at no place that is none of ours. Each rule below refuses one way of failing that.
 */

/** Acts that bring in another party, whose place or name may well be strange. */
const PARTIES: ReadonlySet<string> = new Set(["acquire", "order", "give_away"]);

/** Whether what an entry tells happened to plants that are not of this collection, or to no plant at all. */
export function notOurs(one: Built, items: readonly Item[], view: MessageView): boolean {
  const { head } = one;
  if (!head || head.kind === "reading") return false;
  if (head.kind === "equipment") {
    return items.some((item) => is(item, "elsewhere")) || (!view.addressed && outsiderDid(items, head.at));
  }
  if (thingFor(one, items) || tradesElse(one, items)) return true;
  const theirs = received(one, items);
  // "one of them lost a spine": what was lost is no plant.
  const lost =
    head.act === "lose" && head.kind === "verb" && !items.slice(head.at).some((item) => item.subject);
  if (lost && is(items[head.at + 1], "det") && outer(items[head.at + 2])) return true;
  if (elsewhereObject(items, head.at) || hearsay(items, head.at) || (!theirs && kinOwned(items, view)))
    return true;
  if (view.addressed) return false;
  return (
    (!theirs && foreign(items)) ||
    (head.kind === "state" && ofOneself(items, head.at)) ||
    likened(items, head.at) ||
    abroad(items, head.act, view) ||
    (!theirs && owned(items, view)) ||
    shown(items, view) ||
    strangerWho(items) ||
    (isDeed(one) && !gaveUs(one, items) && (outsiderDid(items, head.at) || otherObject(items, head.at))) ||
    givenElse(one, items) ||
    (head.kind === "noun" && outsidersParticiple(items, head.at))
  );
}

/** A verb with a doer, before which no plant stands: "watered the aloes", not "the aloes were watered". */
const isDeed = (one: Built): boolean => one.head?.kind === "verb" || one.head?.kind === "light";

/** "gave Wimbledon a miss": what was given it is nothing that the tables know. */
const givenElse = ({ head, entry }: Built, items: readonly Item[]): boolean =>
  head?.kind === "light" &&
  entry.act !== "give_away" &&
  value(items[head.at], "light") === "give" &&
  outer(items[head.at + 1]) &&
  head.complement !== undefined &&
  !items.slice(0, head.complement).some((item) => item.subject || is(item, "place") || is(item, "pron"));

/** "lost 20 bucks on a bet about yuccas": between the verb and the plant stands something of another world. */
function elsewhereObject(items: readonly Item[], head: number): boolean {
  const first = items.findIndex((item, i) => i > head && item.subject !== undefined);
  const giving = value(items[head], "light") === "give";
  return items.slice(head + 1, first < 0 ? undefined : first).some((item, i, rest) => {
    if (!is(item, "elsewhere")) return false;
    // "gave 6 pups to the school": who got them.
    const lead = is(rest[i - 1], "det") ? rest[i - 2] : rest[i - 1];
    return !(giving && i > 2 && value(lead, "prep") === "to");
  });
}

/** "her aloe", "next door's agave": a word before the plant says that it is another's. */
const foreign = (items: readonly Item[]): boolean =>
  items.some(
    (item, i) =>
      item.subject && !item.subject.tag && (is(items[i - 1], "foreign") || is(items[i - 2], "foreign")),
  );

/** "I'm dormant till March": a state of the writer and of no plant. */
const ofOneself = (items: readonly Item[], head: number): boolean => {
  const lead = items.slice(0, head);
  return (
    !lead.some((item) => item.subject) &&
    is(
      lead.findLast((item) => !is(item, "filler")),
      "selfstate",
    )
  );
};

/** "Bert fell asleep, pink as a lobivia": the plant is what somebody is like. */
const likened = (items: readonly Item[], head: number): boolean => {
  const first = items.findIndex((item) => item.subject);
  if (first < 0) return false;
  const lead = is(items[first - 1], "det") ? first - 2 : first - 1;
  // "like half the agaves": about so many of them
  if (value(items[first - 1], "det") === "some") return false;
  if (is(items[lead], "likeword")) return true;
  return (
    first > head && items.slice(0, head).some((item) => is(item, "member")) && is(items[lead], "likeword")
  );
};

/** "at the office", "in Tenerife", "along the esplanade": somewhere that is no place of ours. */
function abroad(items: readonly Item[], act: string, view: MessageView): boolean {
  if (PARTIES.has(act)) return false;
  return items.some((item, i) => {
    if (item.subject || item.quoted) return false;
    if (is(item, "elsewhere") && says(item, "stands at") && item.end - item.start > 1) return true;
    const prep = value(item, "prep");
    if (
      prep === "for" &&
      is(items[i + 1], "det") &&
      is(items[i + 2], "elsewhere") &&
      !is(items[i + 2], "event")
    )
      return true;
    const near = is(item, "locative");
    if (!near && prep !== "at" && prep !== "in" && prep !== "on") return false;
    if (items.slice(i + 1, i + 4).some((item) => strangeOwner(item, view))) return true;
    let at = i + 1;
    while (is(items[at], "det") || is(items[at], "square") || is(items[at], "newness")) at++;
    const noun = items[at] as Item;
    if (noun?.subject && !noun.subject.tag && !manyOf(noun) && outer(items[at + 1])) return true;
    if (is(noun, "elsewhere")) return true;
    if (prep === "at" && is(noun, "event")) return !items.some((one) => is(one, "self") || is(one, "member"));
    if (is(noun, "manner")) return is(items[i + 1], "det");
    if (!outer(noun)) return false;
    // "in coarse pumice", "on the northern side": the word only describes what is known.
    let end = at + 1;
    while (end < at + 3 && outer(items[end])) end++;
    if (items[end] && describes(items[end] as Item)) return false;
    if (is(items[i + 1], "det")) return true;
    if (noun.token.capital || noun.unknown === true) return prep !== "by";
    return (prep === "in" || prep === "at") && !inSeason(noun);
  });
}

/** "at my daughter's", "in Geoff's": a place that belongs to nobody of the household. */
const strangeOwner = (item: Item, view: MessageView): boolean =>
  possessive(item, view) && !item.time && (is(item, "kin") || is(item, "foreign") || outer(item));

/** "Echeverias", "cacti", "gasteriae", and no "Astrophytum" or "cactus". */
const manyOf = (item: Item): boolean => shaped(item, "many");

/** "in spring": a season is when, not where. */
const inSeason = (item: Item): boolean => is(item, "season");

const describes = (next: Item): boolean =>
  next.subject !== undefined ||
  is(next, "substrate") ||
  is(next, "part") ||
  is(next, "product") ||
  is(next, "pot") ||
  is(next, "material") ||
  is(next, "place") ||
  is(next, "placeword") ||
  is(next, "around") ||
  is(next, "part") ||
  is(next, "occasion") ||
  next.measure?.strength !== undefined ||
  is(next, "strengthword");

/** "Stan at Kirkby club lost 40": a doer nobody here knows, somewhere else. */
function hearsay(items: readonly Item[], head: number): boolean {
  const first = items[0];
  if (!first || head < 3 || !outer(first)) return false;
  const prep = items.slice(1, head).findIndex((item) => is(item, "prep"));
  return prep === 0 && !items.slice(1, head).some((item) => is(item, "place") || is(item, "placeword"));
}

/** "the verger watered the flowers", "they lost the lot": whoever did it is none of the household. */
function outsiderDid(items: readonly Item[], head: number): boolean {
  if (["go", "come"].includes(value(items[head], "light") ?? "") || is(items[head], "stealing")) return false;
  const object = items
    .slice(head + 1)
    .some((item) => item.subject || is(item, "pron") || is(item, "place") || is(item, "equipment"));
  if (!object) return false;
  const lead = items.slice(0, Math.max(head, 0));
  if (
    lead.some(
      (item) => (item.subject && !floats(item)) || is(item, "self") || is(item, "member") || is(item, "kin"),
    )
  )
    return false;
  let at = lead.length - 1;
  while (
    at >= 0 &&
    (is(lead[at], "filler") || is(lead[at], "be") || is(lead[at], "whoword") || lead[at]?.time)
  )
    at--;
  const doer = lead[at];
  if (!doer) return false;
  if (is(doer, "outsider")) return !lead.slice(at).some((item) => is(item, "be"));
  if (is(doer, "elsewhere")) return at === 0 || is(lead[at - 1], "det");
  if (!outer(doer)) return false;
  const named = doer.unknown === true || doer.token.capital;
  if (named) return at > 0 && is(lead[at - 1], "prep");
  return at === 0 || is(lead[at - 1], "det") || is(lead[at - 2], "det");
}

/** "the guy who sold us the heater ...", "that lad who pinched the agaves": somebody from outside is told of. */
const strangerWho = (items: readonly Item[]): boolean => {
  const at = is(items[0], "det") ? 1 : 0;
  return at === 1 && outer(items[1]) && value(items[2], "whoword") === "who";
};

/** "we all", "the members all": no plants, but everybody. */
const floats = (item: Item): boolean => item.subject?.all === true && is(item, "filler");

/** "put a hole in the saguaro", "lost a tenner on the gasterias": the verb's object is no plant. */
function otherObject(items: readonly Item[], head: number): boolean {
  if (items.slice(0, Math.max(head, 0)).some((item) => item.subject)) return false;
  const first = items.findIndex((item, i) => i > head && (item.subject !== undefined || is(item, "place")));
  for (let i = head + 1; i < first; i++) {
    const item = items[i] as Item;
    if (outer(item) && is(items[i - 1], "det") && is(items[i + 1], "prep")) return true;
    if (outer(item) && i === head + 1 && value(items[i + 1], "prep") === "of") return true;
    if (is(item, "part") && value(items[i - 1], "det") === "my" && value(items[i + 1], "prep") !== "of")
      return true;
  }
  return false;
}

/** "a photograph of an Agave", "the painting shows an Aloe", "the gardens have a Puya": the plant is another's. */
function shown(items: readonly Item[], view: MessageView): boolean {
  const first = items.findIndex((item) => item.subject);
  for (let i = 0; i < first; i++) {
    const item = items[i] as Item;
    if (is(item, "self") || is(item, "pest")) return false;
    if (is(item, "member") && !possessive(item, view)) return false;
    const next = items[i + 1];
    if (
      value(next, "prep") === "of" &&
      (outer(item) || is(item, "modified")) &&
      onlyPlant(items, i + 2, first)
    )
      return true;
    const world = outer(item) || is(item, "elsewhere") || is(item, "foreign") || is(item, "modified");
    if (world && value(next, "light") === "have") return true;
    if (is(item, "modified") && is(items[i - 1], "det") && !next?.subject) return true;
    if (outer(item) && outer(next) && is(items[i - 1], "det") && is(items[i + 2], "det")) return true;
  }
  return false;
}

/** "of an Agave", "of two old aloes": the plant follows at once. */
const onlyPlant = (items: readonly Item[], from: number, plant: number): boolean =>
  items
    .slice(from, plant)
    .every((item) => is(item, "det") || is(item, "head") || item.measure || outer(item));

/** "a guy repotting a saguaro", "a garden centre selling lithops": the participle is another's. */
const outsidersParticiple = (items: readonly Item[], head: number): boolean => {
  const before = items[head - 1];
  if (!before || !(outer(before) || is(before, "elsewhere"))) return false;
  return isAct(items[head], "gerund");
};
