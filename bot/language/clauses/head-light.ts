import type { Act } from "../interpretation.js";
import { type Item, is, isAct, says, value } from "../item.js";
import { dilutedProduct } from "./diluted.js";
import { type Head, has, hasPot, poured, some } from "./head-word.js";

const COMPLEMENTS = ["actnoun", "dose", "seen", "pest", "product"] as const;

/** "gave ... a drink", "had a sip", "took 3 cuttings", "put ... in the long house", "got 3 from Bert". */
export function lightHead(items: readonly Item[]): Head | undefined {
  for (let i = 0; i < items.length; i++) {
    const item = items[i] as Item;
    const verb = value(item, "light");
    if (!verb || item.quoted) continue;
    const head = lightVerb(verb, items, i);
    if (head) return head;
  }
  return undefined;
}

export function lightVerb(verb: string, items: readonly Item[], at: number): Head | undefined {
  const base: Omit<Head, "act"> = { kind: "light", form: "past", at };
  const find = (cls: string): number => some(items, cls, at + 1);
  const counted =
    verb === "give" &&
    items.slice(at + 1, at + 3).some((item) => item.measure && !item.measure.unit && !item.measure.article);
  const names = counted || items.some((item) => item.subject || is(item, "pron"));
  const placed = items.slice(at).some((item) => is(item, "place") || is(item, "placeword"));
  // "the hoyas got Frondex 2 ml/l"
  if (
    (verb === "give" || verb === "get") &&
    items.some((item) => item.subject) &&
    dilutedProduct(items.slice(at + 1))
  )
    return { ...base, act: "feed" };
  // "gave Hilary six of the cuttings"
  const handed =
    verb === "give" && (is(items[at + 1], "member") || is(items[at + 1], "kin") || strange(items[at + 1]));
  if (handed && items.slice(at + 2).some((item) => item.subject?.group === "cuttings" || propagule(item)))
    return { ...base, act: "give_away" };
  switch (verb) {
    case "give":
    case "have":
    case "get":
    case "do":
    case "take":
    case "make":
    case "put":
    case "see":
    case "throw": {
      const noun = complementOf(items, at, verb);
      if (noun) return { ...base, act: noun.act, complement: noun.at };
      break;
    }
    default:
  }
  switch (verb) {
    case "give":
      if ((names || placed) && poured(items, at)) return { ...base, act: "water" };
      if (says(items[at + 1], "receives"))
        return names && handedOver(items, at + 2) ? { ...base, act: "acquire" } : undefined;
      if (
        (names || items.some(propagule)) &&
        (has(items, "recipient") ||
          recipientEnd(items, at) > 0 ||
          some(items, "member", at) >= 0 ||
          some(items, "kin", at) >= 0 ||
          toSomeone(items, at))
      )
        return { ...base, act: "give_away" };
      return undefined;
    case "get":
      if (names && poured(items, at)) return { ...base, act: "water" };
      if (
        names &&
        // "tank got 8" tells of what it got, and not of its coming.
        ((items.slice(at).some((item) => item.measure) && items.slice(at).some((item) => item.subject)) ||
          items.some((item) => value(item, "prep") === "from") ||
          has(items, "newness"))
      ) {
        return { ...base, act: "acquire" };
      }
      // "the gasterias got scorched in the sunroom"
      if (
        items.slice(at + 1, at + 3).some((item) => item.senses.some((one) => one.form === "state")) ||
        isAct(items[at + 1], "past")
      )
        return undefined;
      return placed && names && items.slice(at).some((item) => says(item, "goes in or out"))
        ? { ...base, act: "move" }
        : undefined;
    case "take":
    case "put":
      if (!names) return undefined;
      // "put on 2 inches" is growth.
      if (verb === "put" && is(items[at + 1], "polarity") && items[at + 2]?.measure)
        return { ...base, act: "growth" };
      if (hasPot(items.slice(at)) && verb === "put") return { ...base, act: "repot" };
      if (find("nounleaf") >= 0 && verb === "take")
        return { ...base, act: leafAct(items[find("nounleaf")] as Item) };
      if (find("seednoun") >= 0 && verb === "take") return { ...base, act: "harvest_seed" };
      return placed || goesSomewhere(items, at) ? { ...base, act: "move" } : undefined;
    case "go":
    case "come":
      return wentTo(verb, items, at, base);
    case "start":
      return find("seednoun") >= 0 ? { ...base, act: "sow" } : undefined;
    case "cut":
    case "turn":
      return find("nounleaf") >= 0 && names
        ? { ...base, act: leafAct(items[find("nounleaf")] as Item) }
        : undefined;
    case "cross":
      return names ? { ...base, act: "pollinate" } : undefined;
    case "remove": {
      const noun = some(items, "seen", at);
      if (noun >= 0 && value(items[noun], "seen") === "offset")
        return { ...base, act: "divide", complement: noun };
      return find("nounleaf") >= 0 ? { ...base, act: leafAct(items[find("nounleaf")] as Item) } : undefined;
    }
    case "apply": {
      // "a feed was applied to the aloes"
      const noun = items.findIndex((item, i) => i < at && is(item, "actnoun") && !item.subject);
      if (noun >= 0 && names) return { ...base, act: value(items[noun], "actnoun") as Act, complement: noun };
      return find("substrate") >= 0 && names
        ? { ...base, act: "top_dress" }
        : find("product") >= 0 || items.slice(0, at).some((item) => is(item, "product"))
          ? { ...base, act: "treat" }
          : undefined;
    }
    default:
      return undefined;
  }
}

/** "gave me a lovely aloe", "gave us two of her aloes", not "gave me a hand with the agaves": the plant is what was handed. */
function handedOver(items: readonly Item[], from: number): boolean {
  for (let i = from; i < items.length; i++) {
    const item = items[i] as Item;
    if (item.subject || propagule(item)) return true;
    const of = value(items[i - 1], "prep") === "of";
    const opens = is(item, "det") || item.measure?.article;
    if (opens && i > from && !of) return false;
    if (is(item, "report") || is(item, "elsewhere")) return false;
    if (is(item, "prep") && !["of", "from"].includes(value(item, "prep") ?? "")) return false;
  }
  return false;
}

/** "gave the pads to Bert": what was cut off the plants spoken of. */
const propagule = (item: Item): boolean => is(item, "propagule") || value(item, "seen") === "offset";

/** "gave Dave 2 haworthias", "gave Jo's mum an aloe": where the words end that say who got them, or 0. */
export function recipientEnd(items: readonly Item[], verb: number): number {
  if (!strange(items[verb + 1])) return 0;
  const end = is(items[verb + 2], "kin") ? verb + 3 : verb + 2;
  const given = items[end]?.measure ?? value(items[end], "det") === "a";
  return given && items.slice(end, end + 4).some((item) => item.subject || propagule(item)) ? end : 0;
}

/** A name that no table knows. */
const strange = (item: Item | undefined): boolean =>
  item?.token.kind === "word" &&
  !item.subject &&
  !item.measure &&
  !item.time &&
  (item.unknown === true || (item.token.capital && item.senses.length === 0));

/** "put the aloes outside": a direction that no noun follows ("put a hole in the saguaro"). */
const goesSomewhere = (items: readonly Item[], at: number): boolean =>
  items.some(
    (item, i) => i > at && is(item, "direction") && !is(items[i + 1], "det") && !items[i + 1]?.subject,
  );

const leafAct = (item: Item): Act => (value(item, "nounleaf") === "bloom" ? "deadhead" : "clean");

function toSomeone(items: readonly Item[], at: number): boolean {
  const to = items.findIndex((item, i) => i > at && value(item, "prep") === "to");
  return to >= 0 && to + 1 < items.length && !items[to + 1]?.subject && !is(items[to + 1], "place");
}

function complementOf(
  items: readonly Item[],
  at: number,
  verb: string,
): { act: Act; at: number } | undefined {
  for (let i = at + 1; i < items.length; i++) {
    const item = items[i] as Item;
    for (const cls of COMPLEMENTS) {
      const found = value(item, cls);
      if (!found) continue;
      if (cls === "dose") {
        // "gone leggy in this light"
        if (is(items[i - 1], "det") && is(items[i - 2], "prep")) continue;
        if (verb === "give" || verb === "have" || verb === "get") return { act: doseAct(items, i), at: i };
        continue;
      }
      if (cls === "product") {
        if (verb === "give" || verb === "have" || verb === "get")
          return { act: is(item, "feedstuff") ? "feed" : "treat", at: i };
        continue;
      }
      if (cls === "pest") {
        if (verb === "see" || verb === "have" || verb === "get" || verb === "throw")
          return { act: "pest", at: i };
        continue;
      }
      // "possums have eaten the buds"
      if (cls === "seen" && items.slice(at + 1, i).some((one) => is(one, "pestverb"))) continue;
      if (cls === "seen" && (verb === "give" || verb === "put" || verb === "do")) continue;
      if (cls === "seen" && verb === "take") {
        if (found === "offset") return { act: "divide", at: i };
        continue;
      }
      if (cls === "actnoun" && (verb === "see" || verb === "throw")) continue;
      if (cls === "actnoun" && verb === "give" && found === "take_cutting") continue;
      return { act: found as Act, at: i };
    }
  }
  return undefined;
}

/** A dose may be of feed: "a light feed". */
function doseAct(items: readonly Item[], at: number): Act {
  for (let i = at; i < items.length; i++) {
    const noun = value(items[i], "actnoun");
    if (noun === "feed" || noun === "mist") return noun;
  }
  return "water";
}

function wentTo(verb: string, items: readonly Item[], at: number, base: Omit<Head, "act">): Head | undefined {
  const names = items.some((item) => item.subject || is(item, "pron"));
  if (!names) return undefined;
  const rest = items.slice(at + 1);
  // "gone all leggy on the sill"
  if (rest.some((item) => !item.subject && isAct(item, "state"))) return undefined;
  if (verb === "go" && hasPot(rest) && !rest.some((item) => is(item, "place")))
    return { ...base, act: "repot" };
  if (rest.some((item) => is(item, "place") || is(item, "placeword") || is(item, "direction")))
    return { ...base, act: "move" };
  if (verb === "go" && rest.some((item) => is(item, "member") || is(item, "kin")))
    return { ...base, act: "give_away" };
  if (verb === "come" && rest.some((item) => value(item, "prep") === "from" || is(item, "delivery")))
    return { ...base, act: "acquire" };
  return undefined;
}
