import type { Act } from "../interpretation.js";
import { type Item, is, says, value } from "../item.js";
import { actOf, type Clause, COUNTED_ACTS, type Headed, nameIndex } from "./parts.js";

/** Acts that a list of plants, each with its own number or party, goes on with. */
const LISTED_ACTS: ReadonlySet<Act> = new Set<Act>([
  "give_away",
  "acquire",
  "order",
  "sow",
  "graft",
  "repot",
  "lose",
  "prick_out",
  "take_cutting",
]);

const TENDED: ReadonlySet<Act> = new Set<Act>(["water", "mist", "feed", "treat", "clean"]);

/** A part that has no act of its own but goes on with the one before: "... and 3 aloe pups", "Manny did the sunroom". */
export function continues(part: Headed, last: Clause): boolean {
  const act = actOf(last);
  if (!act || last.head?.kind === "base") return false;
  const name = nameIndex(part.items);
  if (part.head?.kind === "seen" && LISTED_ACTS.has(act) && name >= 0 && part.before <= 2) {
    return (
      part.items.slice(0, name).some((item) => item.measure && !item.measure.unit) &&
      !part.items.some((item) => ["in", "on"].includes(value(item, "prep") ?? ""))
    );
  }
  const did = part.items.findIndex((item) => value(item, "light") === "do");
  if (!part.head && did >= 0) return part.items.slice(did).some((item) => item.subject || is(item, "place"));
  if (part.head || part.reading) return false;
  if (name < 0 && anotherTime(part.items, last.items, last.head?.kind === "verb")) return true;
  // "gave 3 pups to my sister and 2 to my mum"
  if (name < 0 && part.before <= 2 && part.items.some(bareCount) && bothPartied(part.items, last.items, act))
    return true;
  if (
    part.items.some((item) => item.time) &&
    name < 0 &&
    part.items.some((item) => says(item, "done again")) &&
    last.items.some((item) => item.time)
  )
    return true;
  const place = part.items.some((item) => is(item, "place"));
  return (
    name < 0 &&
    place &&
    last.items.some((item) => is(item, "place")) &&
    (nameIndex(last.items) < 0 || (TENDED.has(act) && part.before === 1)) &&
    act !== "move"
  );
}

const bothPartied = (items: readonly Item[], before: readonly Item[], act: Act): boolean =>
  ownIn(items, act).has("party") && ownIn(before, act).has("party");

/** What an item of a list can have of its own. */
type Own =
  | "time"
  | "dose"
  | "amount"
  | "pot"
  | "dilution"
  | "place"
  | "product"
  | "pest"
  | "cause"
  | "substrate"
  | "party"
  | "stock"
  | "person"
  | "count";

/** Where a word after the name may say what the item has of its own, by the class that the word must have. */
const WORDS: readonly (readonly [Own, cls: string, acts: ReadonlySet<Act>])[] = [
  ["product", "product", new Set<Act>(["feed", "treat", "water", "mist", "clean"])],
  ["product", "feedstuff", new Set<Act>(["feed"])],
  ["pest", "pest", new Set<Act>(["treat", "pest", "clean"])],
  ["cause", "pest", new Set<Act>(["lose"])],
  ["cause", "cause", new Set<Act>(["lose"])],
  ["cause", "seen", new Set<Act>(["lose"])],
  ["substrate", "substrate", new Set<Act>(["sow", "repot", "prick_out", "top_dress", "take_cutting"])],
  ["pot", "material", new Set<Act>(["repot"])],
];

/** The prepositions behind which a party stands, by act. */
const PARTIES: Partial<Record<Act, readonly string[]>> = {
  acquire: ["from", "at"],
  order: ["from", "at"],
  give_away: ["to"],
};

/** "20 lithops seeds" that came: seeds are counted whatever is done with them. */
const counted = (items: readonly Item[], act: Act): boolean =>
  COUNTED_ACTS.has(act) || (act in PARTIES && items.some((item) => is(item, "seednoun")));

/** The particulars that a run of items holds, given the act it is about. */
function ownIn(items: readonly Item[], act: Act | undefined): Set<Own> {
  const found = new Set<Own>();
  items.forEach((item, i) => {
    const { measure } = item;
    const prep = value(item, "prep") ?? "";
    if (item.time && !item.weakTime) found.add("time");
    if (is(item, "dose") && (act === "water" || act === "feed") && !item.subject) found.add("dose");
    if (is(item, "place")) found.add("place");
    if (is(item, "member") || is(item, "kin")) found.add("person");
    if (says(item, "the writer alone") && is(item, "self")) found.add("person");
    if (measure?.ratio !== undefined || measure?.strength !== undefined || measure?.dimension?.includes("/"))
      found.add("dilution");
    else if (measure?.dimension === "length") found.add("pot");
    else if (measure?.unit) found.add("amount");
    else if (measure && !measure.article && !item.time && act && counted(items, act)) found.add("count");
    if (act && PARTIES[act]?.includes(prep) && items[i + 1]) found.add("party");
    if (act === "graft" && (prep === "on" || prep === "into")) found.add("stock");
    for (const [own, cls, acts] of WORDS)
      if (act && acts.has(act) && is(item, cls) && !item.subject) found.add(own);
  });
  return found;
}

/** A dose is an amount said in a word: "the aloes 200 ml, the gasterias a sip". */
const KIN: readonly (readonly [Own, Own])[] = [
  ["dose", "amount"],
  ["amount", "dose"],
];

const shares = (mine: ReadonlySet<Own>, theirs: ReadonlySet<Own>): boolean =>
  [...mine].some((own) => theirs.has(own)) || KIN.some(([one, other]) => mine.has(one) && theirs.has(other));

/** "watered the aloes on Monday, the agaves on Tuesday": a name with something of its own where the one before has too. */
export function startsAnew(last: Clause, part: Headed): boolean {
  if (nameIndex(part.items) < 0 || nameIndex(last.items) < 0) return false;
  const act = actOf(last);
  const mine = ownIn(part.items, act);
  const theirs = ownIn(last.items, act);
  if (mine.has("person") && part.before <= 2) return true;
  if (shares(mine, theirs)) return true;
  return part.before === 3 || mine.has("count") || theirs.has("count");
}

/**
 * Names that stand before their verb, each with something of its own: "S-007 (9cm), Spotty (13cm) and C-101 (30cm)
 * repotted". The parts that become clauses of their own, or none.
 */
export const ownedApart = (parts: readonly Headed[], act: Act): boolean =>
  parts.length > 1 &&
  parts.some((part, i) => {
    const before = parts[i - 1];
    return (
      before !== undefined &&
      nameIndex(part.items) >= 0 &&
      nameIndex(before.items) >= 0 &&
      shares(ownIn(part.items, act), ownIn(before.items, act))
    );
  });

/** Acts that take a second name which is no item of a list. */
const TWO_NAMES: ReadonlySet<Act> = new Set<Act>(["pollinate", "graft"]);

const bareCount = (item: Item | undefined): boolean =>
  item?.measure !== undefined &&
  !item.measure.unit &&
  !item.measure.article &&
  !item.time &&
  item.measure.ratio === undefined &&
  item.measure.strength === undefined;

const leadsIn = (item: Item | undefined): boolean =>
  is(item, "det") ||
  (is(item, "filler") && !is(item, "uppredicate")) ||
  is(item, "head") ||
  is(item, "newness") ||
  bareCount(item) ||
  ["of", "off", "from", "to", "on"].includes(value(item, "prep") ?? "") ||
  says(item, "restricts");

/** "repotted 3 yuccas 6in 2 agaves 10in", "sowed 10 lithops 20 conos": where the next item of a list without a mark begins, or -1. */
export function cutGap(items: readonly Item[], from: number, act: Act | undefined): number {
  if (act && TWO_NAMES.has(act)) return -1;
  const loci = items.flatMap((item, i) => (i >= from && item.subject ? [i] : []));
  for (let k = 1; k < loci.length; k++) {
    const before = loci[k - 1] as number;
    const name = loci[k] as number;
    let cut = name;
    while (cut > before + 1 && leadsIn(items[cut - 1])) cut--;
    // A preposition right behind the name before leads to what that one has: "took 6 off the jade".
    const lead = items.slice(cut, name);
    const theirs = items.slice(before + 1, cut);
    const next = loci[k + 1] ?? items.length;
    const mine = items.slice(name + 1, next);
    const own = ownIn(mine, act);
    const fits = act !== undefined || [...own].some((one) => one === "amount" || one === "pot");
    if (fits && theirs.length > 0 && shares(own, ownIn(theirs, act))) return cut;
    const counted = act !== undefined && COUNTED_ACTS.has(act) && lead.some(bareCount);
    if (counted && items.slice(0, before).some(bareCount)) return cut;
  }
  return -1;
}

/** "on Monday and Wednesday", "at 7, noon and 5": the same done again at another time. */
function anotherTime(items: readonly Item[], before: readonly Item[], done: boolean): boolean {
  const by = value(items[0], "prep") === "by";
  const plain = (item: Item): boolean =>
    Boolean(item.time) ||
    ["prep", "det", "filler"].some((cls) => is(item, cls)) ||
    (by && (is(item, "member") || is(item, "kin")));
  if (!items.every(plain)) return false;
  const mine = items.find((item) => item.time)?.time;
  return before.some(
    (item) =>
      item.time &&
      mine &&
      (done || !item.weakTime) &&
      ((item.time.day && mine.day) || (item.time.clock && mine.clock)),
  );
}
