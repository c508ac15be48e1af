import type { Act } from "../interpretation.js";
import { actIn, type Item, is, isAct, value } from "../item.js";
import type { Head } from "./head.js";
import { actOf, type Clause, type Headed, nameIndex } from "./parts.js";

/** "treated the hoyas for scale and the echeverias for mealies": what it was against, or what they died of. */
export function givesReason(part: Headed, last: Clause): boolean {
  const act = actOf(last);
  if (part.head?.kind !== "pest" && part.head?.kind !== "seen") return false;
  if (part.before > 2 || nameIndex(part.items) < 0 || last.head?.kind === "base") return false;
  const lead = value(part.items[part.head.at - 1], "prep") ?? "";
  return act === "treat" ? lead === "for" : act === "lose" && ["to", "of", "from", "with"].includes(lead);
}

/** "lost two conophytums to rot and one to a snail": another number and another cause of the same loss. */
export const losesMore = (part: Headed, last: Clause): boolean =>
  actOf(last) === "lose" &&
  part.before <= 2 &&
  (part.head?.kind === "pest" || part.head?.kind === "seen") &&
  nameIndex(part.items) < 0 &&
  part.items[0]?.measure !== undefined &&
  !part.items[0].measure.article &&
  !part.items[0].measure.unit &&
  ["to", "from"].includes(value(part.items[1], "prep") ?? "");

/** "gave the orchids a feed and a good soak": another noun of the same light verb. */
export const givesMore = (part: Headed, last: Clause): boolean =>
  part.before <= 2 &&
  part.before > 0 &&
  nameIndex(part.items) < 0 &&
  last.head?.kind === "light" &&
  (last.head.at < 0 || GIVING.has(value(last.items[last.head.at], "light") ?? "")) &&
  givenNoun(part.items, last.head.act) !== undefined;

const GIVING: ReadonlySet<string> = new Set(["give", "get", "have"]);

/** Act of a bare noun phrase, "a feed", "a good soak", "a turn"; undefined where more is said. */
function givenNoun(items: readonly Item[], before: Act): { act: Act; at: number } | undefined {
  const at = items.findIndex((item) => item.token.kind === "word" && !is(item, "det") && !is(item, "degree"));
  const noun = items.findIndex(
    (item, i) =>
      i >= at && (is(item, "actnoun") || is(item, "dose") || is(item, "feedstuff") || isAct(item, "base")),
  );
  const item = items[noun];
  if (!item || !items.slice(0, noun).every(leadsIn)) return undefined;
  const lead = is(items[0], "det") || noun > 0;
  const act =
    (is(item, "feedstuff") ? "feed" : undefined) ??
    value(item, "actnoun") ??
    (lead ? actIn(item, "base")?.value : undefined) ??
    "water";
  return act === before ? undefined : { act: act as Act, at: noun };
}

/** "a", "good", "half strength": what may stand before the noun. */
const leadsIn = (item: Item): boolean =>
  is(item, "det") || is(item, "dose") || is(item, "filler") || item.measure?.strength !== undefined;

export const alsoGiven = (part: Headed, last: Clause): Head => {
  const noun = givenNoun(part.items, last.head?.act as Act) as { act: Act; at: number };
  return { act: noun.act, kind: "light", form: "past", at: -1, complement: noun.at };
};

/** "watered the aloes, just a sip": a noun of the same act adds a particular to it. */
export const particular = (part: Headed, last: Clause): boolean =>
  (part.head?.kind === "noun" ||
    (last.head?.act === "lose" && (part.head?.kind === "seen" || part.head?.kind === "pest"))) &&
  (last.head?.act === part.head?.act || last.head?.act === "lose") &&
  (last.head.kind !== "noun" || dosed(part, last)) &&
  nameIndex(part.items) < 0;

/** "first water of the year for the mammillarias, just a light one" */
const dosed = (part: Headed, last: Clause): boolean =>
  part.items.some((item) => is(item, "dose")) && !last.items.some((item) => is(item, "dose"));
