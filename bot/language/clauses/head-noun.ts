import type { Act } from "../interpretation.js";
import { actIn, type Item, is, isAct, says, value } from "../item.js";
import { dilutedProduct } from "./diluted.js";
import { type Head, hasPot } from "./head-word.js";

/** "adeniums into 4 inch plastic pots": the verb is left out. */
export function potHead(items: readonly Item[]): Head | undefined {
  const name = items.findIndex((item) => item.subject);
  if (name < 0) return undefined;
  const into = items.findIndex((item, i) => i > name && ["into", "to"].includes(value(item, "prep") ?? ""));
  return into >= 0 && hasPot(items.slice(into))
    ? { act: "repot", kind: "noun", form: "noun", at: into }
    : undefined;
}

/** "the loss of two conophytums to rot". */
export function lossHead(items: readonly Item[]): Head | undefined {
  const at = items.findIndex((item, i) => is(item, "lossnoun") && value(items[i + 1], "prep") === "of");
  return at >= 0 && items.slice(at + 2, at + 6).some((item) => item.subject)
    ? { act: "lose", kind: "noun", form: "noun", at }
    : undefined;
}

const BESIDE_MOVED = ["det", "filler", "direction", "and", "powerback", "tentative", "head"];

/** "aloes to the bay", "gasterias back in the bay": plants and where to, with no verb. */
export function wentHead(items: readonly Item[]): Head | undefined {
  const name = items.findIndex((item) => item.subject);
  if (name < 0) return undefined;
  const back = items.some((item, i) => i > name && is(item, "powerback"));
  const to = items.findIndex(
    (item, i) => i > name && ["to", "into", back ? "in" : "to"].includes(value(item, "prep") ?? ""),
  );
  if (to < 0) return undefined;
  const goal = is(items[to + 1], "det") ? to + 2 : to + 1;
  const plain = items.every(
    (item, i) =>
      i === to ||
      i === goal ||
      item.subject ||
      (item.measure && !item.measure.dimension) ||
      item.time ||
      value(item, "prep") === "of" ||
      BESIDE_MOVED.some((cls) => is(item, cls)) ||
      (i < name && is(items[name - 1], "square")),
  );
  return plain && is(items[goal], "place") && !is(items[name], "place")
    ? { act: "move", kind: "noun", form: "noun", at: to }
    : undefined;
}

/** "water the aloes", "water is coming in": the word is a verb, or names the stuff. */
function asVerb(items: readonly Item[], at: number): boolean {
  if (!isAct(items[at], "base")) return false;
  const next = items[at + 1];
  return (
    next !== undefined &&
    (next.subject !== undefined || is(next, "det") || is(next, "pron") || is(next, "be"))
  );
}

/** "aloes 200 ml each": plants and a volume say that they were watered. */
export function pouredHead(items: readonly Item[]): Head | undefined {
  const at = items.findIndex(({ measure }) => measure?.dimension === "volume" || measure?.unit === "[oz_av]");
  const name = items.findIndex((item) => item.subject);
  const place = items.findIndex((item) => is(item, "place"));
  const goal = name >= 0 ? name : place;
  const toward =
    goal > at &&
    items
      .slice(at, goal)
      .some((item) => ["for", "on"].includes(value(item, "prep") ?? "") || says(item, "pours toward"));
  if (at < 0 || goal < 0 || (goal > at && !toward)) return undefined;
  const plain = items.every(
    (item) =>
      item.subject ||
      item.measure ||
      item.time ||
      is(item, "det") ||
      is(item, "filler") ||
      is(item, "place") ||
      is(item, "prep") ||
      is(item, "tentative") ||
      is(item, "actnoun") ||
      says(item, "shares out") ||
      is(item, "and"),
  );
  return plain ? { act: "water", kind: "noun", form: "noun", at: -1 } : undefined;
}

/** "neem on everything in the sunroom": a remedy and what it is on. */
export function remedyHead(items: readonly Item[]): Head | undefined {
  const at = items.findIndex((item) => is(item, "product") && !is(item, "feedstuff") && !item.subject);
  if (at < 0) return dilutedHead(items);
  if (at > 2) return undefined;
  const on = items.findIndex((item, i) => i > at && ["on", "for"].includes(value(item, "prep") ?? ""));
  const infested = items.slice(on).some((item) => is(item, "pest"));
  return on > at &&
    items.slice(on).some((item) => item.subject || is(item, "pron") || (infested && is(item, "place")))
    ? { act: "treat", kind: "noun", form: "noun", at }
    : undefined;
}

/** "potassium bicarbonate at 5 g to the litre on the echeverias": a remedy that no table knows. */
function dilutedHead(items: readonly Item[]): Head | undefined {
  const product = dilutedProduct(items);
  const on = items.findIndex((item) => value(item, "prep") === "on");
  return product?.from === 0 && on > product.end && items.slice(on, on + 3).some((item) => item.subject)
    ? { act: "treat", kind: "noun", form: "noun", at: -1 }
    : undefined;
}

/** Telegraphic: "aloes - water", "watering done in the long house", "gasterias: sip". */
export function nounHead(items: readonly Item[]): Head | undefined {
  for (let i = 0; i < items.length; i++) {
    const item = items[i] as Item;
    if (item.quoted) continue;
    // "the orchids were clean"
    if (is(item, "spared") && is(items[i - 1], "be")) continue;
    // "the label says 5 g to the litre"
    if (is(items[i + 1], "report")) continue;
    const noun = asVerb(items, i) ? undefined : value(item, "actnoun");
    if (noun) return { act: noun as Act, kind: "noun", form: "noun", at: i };
    const gerund = actIn(item, "gerund");
    if (gerund) return { act: gerund.value as Act, kind: "noun", form: "gerund", at: i };
    if (is(item, "feedstuff") && items.some((one) => one.subject))
      return { act: "feed", kind: "noun", form: "noun", at: i };
    if (
      is(item, "dose") &&
      !is(item, "doseadverb") &&
      (items.some((one) => one.subject) ||
        items.every((one) => is(one, "dose") || is(one, "det") || is(one, "filler")))
    ) {
      return { act: "water", kind: "noun", form: "noun", at: i };
    }
  }
  return undefined;
}

/** "3 new astrophytums", "2 aloes from Bert": plants that came, with no verb. */
export function arrivalHead(items: readonly Item[]): Head | undefined {
  const name = items.findIndex((item) => item.subject?.genus);
  if (name < 0) return undefined;
  const counted = items.slice(0, name).some((item) => item.measure && !item.measure.unit && !item.time);
  const fresh = items.slice(0, name).some((item) => is(item, "newness"));
  const single = name === 1 && value(items[0], "det") === "a";
  const from = items.findIndex((item, i) => i > name && value(item, "prep") === "from");
  // "20 echeverias in from the wholesaler"
  const source = items[is(items[from + 1], "det") ? from + 2 : from + 1];
  const came = counted && from === name + 2 && is(items[from - 1], "direction");
  if (came && source && !["place", "placeword", "occasion", "cause"].some((cls) => is(source, cls)))
    return { act: "acquire", kind: "noun", form: "noun", at: -1 };
  const who = items[from + 1];
  const known = from >= 0 && (is(who, "member") || is(who, "kin"));
  const giver =
    from >= 0 &&
    (is(who, "member") ||
      is(who, "kin") ||
      ((who?.token.capital === true || who?.unknown === true) && who.senses.length === 0));
  const arrived = from > name && items.slice(name, from).some((item) => is(item, "arrive"));
  return arrived ||
    (counted && fresh) ||
    ((counted || fresh) && giver) ||
    (single && from === name + 1 && known)
    ? { act: "acquire", kind: "noun", form: "noun", at: -1 }
    : undefined;
}
