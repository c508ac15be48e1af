import type { Act } from "../interpretation.js";
import { actIn, type Item, is, isAct, says, unread, value } from "../item.js";
import type { Sense, VerbForm } from "../sense.js";
import { lightVerb } from "./head-light.js";
import { type Head, hasPot, isRemedy, poured, some } from "./head-word.js";
import { supported } from "./support.js";

/** "put pollen of the lithops on the conophytum". */
export function pollenHead(items: readonly Item[]): Head | undefined {
  const pollen = some(items, "pollenword");
  if (pollen < 0 || items.filter((item) => item.subject).length < 2) return undefined;
  const verb = items.findIndex((item) => is(item, "light") || isAct(item, "past"));
  return { act: "pollinate", kind: "verb", form: "past", at: verb >= 0 ? verb : pollen };
}

/** What a verb tells beside a certain word is tried first, then what it tells alone. */
function pastSenses(item: Item): readonly Sense[] {
  const conditional = item.senses.filter((one) => one.cls === "mayact");
  const plain = item.senses.filter((one) => one.cls === "act" && one.form === "past");
  return [...conditional, ...plain];
}

/** A lexical verb in a past form: "watered", "has been fed", "potted on". */
export function verbHead(items: readonly Item[]): Head | undefined {
  let weaker: Head | undefined;
  for (let i = 0; i < items.length; i++) {
    const item = items[i] as Item;
    if (item.quoted) continue;
    for (const one of pastSenses(item)) {
      if (!supported(one, items, i)) continue;
      if (one.value === "acquire" && bestowed(items, i)) continue;
      // "watering of the aloes was carried out"
      if (is(item, "done") && namesWork(items, i)) continue;
      if (attributive(items, i)) continue;
      if (
        says(item, "describes plants") &&
        item.end - item.start === 1 &&
        i + 1 < items.length &&
        !items[i - 1]?.subject &&
        !is(items[i - 1], "be") &&
        // "2 dead rebutias" tells of a loss, "the dead aloe" only which one.
        !(items[i + 1]?.subject && items[i - 1]?.measure)
      )
        continue;
      const head = refine(
        { act: one.value as Act, kind: "verb", form: "past", at: i, ...(one.slots && { slots: one.slots }) },
        items,
      );
      if (one.value === "clean" || one.value === "move" || one.value === "turn") weaker ??= head;
      else return head;
    }
  }
  return weaker;
}

/** Whether work is named before what says that it was done. */
const namesWork = (items: readonly Item[], end: number): boolean =>
  items.slice(0, end).some((item) => !item.subject && (is(item, "actnoun") || isAct(item, "gerund")));

/** "the grafted ones", "a treated bench": a participle that only describes. */
export function attributive(items: readonly Item[], at: number): boolean {
  const before = items[at - 1];
  return (
    is(before, "det") &&
    !says(before, "sweeps") &&
    items.length > at + 1 &&
    !is(before, "pron") &&
    !is(before, "self")
  );
}

/** "pricked the rebutias out", "cut the echeverias back": a verb whose particle stands apart. */
export function separableHead(items: readonly Item[]): Head | undefined {
  for (let i = 0; i < items.length; i++) {
    if (items[i]?.quoted) continue;
    for (const one of items[i]?.senses ?? []) {
      if (one.cls !== "sep") continue;
      const [act, particles = ""] = one.value.split(":");
      const wanted = particles.split(",");
      // "took a beating in the hail": a noun behind it makes it no particle.
      const at = items.findIndex(
        (item, k) =>
          k > i &&
          wanted.includes(item.token.key) &&
          !(
            is(item, "prep") &&
            item.end - item.start === 1 &&
            is(items[k + 1], "det") &&
            !items[k + 2]?.subject &&
            !is(items[k + 2], "place")
          ),
      );
      // "the gasterias got scorched in the sunroom"
      if (items.slice(i + 1, Math.max(at, i + 1)).some((item) => isAct(item, "state"))) continue;
      // "threw two out"
      const counted = items[i + 1]?.measure && at === i + 2;
      if (at > i && (counted || items.some((item) => item.subject || is(item, "pron"))))
        return { act: act as Act, kind: "light", form: "past", at: i, complement: at };
    }
  }
  return undefined;
}

/** A verb's sense may be narrowed by what it takes: moved into a pot is repotted, wiped with alcohol is treated. */
function refine(head: Head, items: readonly Item[]): Head {
  const behind = items.slice(head.at);
  const placed = items.some((item) => is(item, "place") || is(item, "placeword"));
  switch (head.act) {
    case "move": {
      if (!placed && hasPot(behind)) return { ...head, act: "repot" };
      const given = behind.some(
        (item, i) =>
          value(item, "prep") === "from" && (is(behind[i + 1], "kin") || is(behind[i + 1], "member")),
      );
      return given && !items.some((item) => is(item, "place")) ? { ...head, act: "acquire" } : head;
    }
    case "acquire": {
      const passive =
        !says(items[head.at], "came to us") && items.slice(0, head.at).some((item) => item.subject);
      if (items.slice(0, head.at).some((item) => item.subject)) {
        if (poured(items, head.at)) return { ...head, act: "water" };
        if (behind.some((item) => is(item, "feedstuff") || item.measure?.strength !== undefined))
          return { ...head, act: "feed" };
        if (behind.some(isRemedy)) return { ...head, act: "treat" };
      }
      const work = passive ? undefined : workGiven(items, head.at);
      if (work) return { ...head, ...work };
      if (passive && givenOn(behind)) return { ...head, act: "give_away" };
      const given = passive ? lightVerb("give", items, head.at) : undefined;
      return given && given.act !== "give_away" ? given : head;
    }
    case "give_away":
      return says(items[head.at], "exchanges") && hasPot(behind) ? { ...head, act: "repot" } : head;
    case "lose": {
      // "the agave has thrown out 4 pups"
      const grown = says(items[head.at], "throws") ? behind.find((item) => is(item, "seen")) : undefined;
      const own = items.slice(0, head.at).some((item) => item.subject);
      if (grown && own && !behind.some((item) => item.subject))
        return { act: value(grown, "seen") as Act, kind: "seen", form: "past", at: head.at };
      return behind.some((item) => value(item, "nounleaf") === "leaf") ? { ...head, act: "leaf_drop" } : head;
    }
    case "divide": {
      // "four of the lithops have split": they did it themselves.
      const alone = says(items[head.at], "splits") && value(items[head.at - 1], "light") === "have";
      return alone && head.at > 1 && !behind.some((item) => item.subject) ? { ...head, act: "growth" } : head;
    }
    case "water":
      if (behind.some((item) => is(item, "pest")) && says(items[head.at], "drives off"))
        return { ...head, act: "treat" };
      return head.slots?.dose === "soak" && items.some(isRemedy)
        ? { act: "treat", kind: head.kind, form: head.form, at: head.at }
        : head;
    case "clean":
      return items.some(isRemedy) || items.some((item) => is(item, "pest"))
        ? { ...head, act: "treat" }
        : head;
    default:
      return head;
  }
}

/** "the agave was given pride of place": it was given something, and came from nobody. */
const bestowed = (items: readonly Item[], at: number): boolean => {
  const behind = items.slice(at + 1);
  const thing = is(behind[0], "det") ? behind[1] : behind[0];
  return (
    items.slice(0, at).some((item) => item.subject) &&
    unread(thing) &&
    !behind.some((item) => item.subject || ["from", "by", "at"].includes(value(item, "prep") ?? ""))
  );
};

/** "a second watering was given to the haworthias": what was given is work, and who got it are the plants. */
function workGiven(items: readonly Item[], at: number): { act: Act; complement: number } | undefined {
  if (value(items[at + 1], "prep") !== "to" || !items.slice(at + 2, at + 5).some((item) => item.subject))
    return undefined;
  for (let i = 0; i < at; i++) {
    const item = items[i];
    const gerund = actIn(item, "gerund")?.value;
    const act = value(item, "actnoun") ?? gerund;
    if (act) return { act: act as Act, complement: i };
  }
  const dose = some(items, "dose", 0, at);
  return dose < 0 ? undefined : { act: "water", complement: dose };
}

/** "given to Bert", "given away": the plants went, and did not come. */
const givenOn = (behind: readonly Item[]): boolean => {
  const next = behind[1];
  if (is(next, "removal")) return true;
  return value(next, "prep") === "to" && behind[2] !== undefined && !is(behind[2], "objectself");
};

/** "had to throw out two crassulas", "spent Sunday repotting": an infinitive or a gerund that tells what was done. */
export function carriedOutHead(items: readonly Item[]): Head | undefined {
  for (let i = 0; i < items.length; i++) {
    const form = value(items[i], "carriedout");
    if (!form || items[i]?.quoted) continue;
    let at = i + 1;
    while (items[at]?.time || is(items[at], "det") || is(items[at], "filler") || items[at]?.measure) at++;
    const found = items[at]?.senses.find((one) => one.cls === "act" && one.form === form);
    if (!found || !supported(found, items, at)) continue;
    return refine(
      { act: found.value as Act, kind: "verb", form: "past", at, ...(found.slots && { slots: found.slots }) },
      items,
    );
  }
  return undefined;
}

/** "in pumice and compost", "it is in a 17 cm pot": the word names what plants stand in. */
function namesThing(items: readonly Item[], at: number): boolean {
  const item = items[at];
  const sized = is(item, "pot") && items.slice(0, at).some(({ measure }) => measure?.dimension === "length");
  // "in separate punnets"
  const within =
    ["in", "into", "on"].includes(value(items[at - 1], "prep") ?? "") && is(items[at + 1], "vessel");
  if (within) return true;
  return sized || (is(item, "substrate") && at === 0 && (items.length === 1 || is(items[1], "prep")));
}

export function baseHead(items: readonly Item[]): Head | undefined {
  for (let i = 0; i < items.length; i++) {
    const found = items[i]?.senses.find(
      (one) => one.cls === "act" && (one.form === "base" || one.form === "third"),
    );
    if (found && !items[i]?.quoted && !namesThing(items, i)) {
      return {
        act: found.value as Act,
        kind: "base",
        form: found.form as VerbForm,
        at: i,
        ...(found.slots && { slots: found.slots }),
      };
    }
  }
  return undefined;
}
