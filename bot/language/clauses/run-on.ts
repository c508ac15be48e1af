import type { Act } from "../interpretation.js";
import { type Item, is, value } from "../item.js";
import { cutGap } from "./gapped.js";
import { headOf } from "./head.js";
import { supported } from "./head-word.js";
import { type Headed, readsValue } from "./parts.js";
import type { Segment } from "./segment.js";

const ACTIVE: ReadonlySet<string> = new Set([
  "water",
  "feed",
  "mist",
  "repot",
  "treat",
  "skip",
  "move",
  "prune",
  "turn",
  "label",
  "sow",
]);

/** "... the aloes n agaves fed the hoyas": names before a verb that has its object behind it end the list before. */
export function splitLeadingNames(part: Segment): Segment[] {
  if (part.before !== 1) return [part];
  const verb = part.items.findIndex((item) =>
    item.senses.some((one) => one.cls === "act" && one.form === "past" && ACTIVE.has(one.value)),
  );
  const lead = part.items.slice(0, Math.max(verb, 0));
  const list =
    lead.every((item) => item.subject || is(item, "det") || item.measure) || is(part.items[verb + 1], "pron");
  if (verb < 1 || !lead.some((item) => item.subject) || !list) return [part];
  const refers = is(part.items[verb + 1], "pron");
  if (!part.items.at(-1)?.subject && !refers) return [part];
  return [
    { ...part, items: lead },
    { items: part.items.slice(verb), before: 1, joint: "" },
  ];
}

/** Parts a segment that runs two acts together without a mark: "watered aloes repotted gasterias". */
export function splitRunOn(part: Segment): Headed[] {
  const cut = cutRunOn(part.items);
  if (cut > 0 && cut < part.items.length) {
    const lead = headedOf({ ...part, items: part.items.slice(0, cut) });
    if (lead.head || lead.reading)
      return [lead, ...splitRunOn({ items: part.items.slice(cut), before: 1, joint: "" })];
  }
  return [headedOf(part)];
}

/** Where the second act of a run-on begins, or -1. */
function cutRunOn(items: readonly Item[]): number {
  const equipped = items.findIndex((item) => is(item, "equipment"));
  const verb = nextVerb(items, 0);
  const seen = sightingBefore(items, verb);
  const first = seen >= 0 ? seen : verb < 0 || (equipped >= 0 && equipped < verb) ? equipped : verb;
  if (equipped > 0 && readsBefore(items, equipped)) {
    let cut = equipped;
    while (
      cut > 1 &&
      !items[cut - 1]?.time &&
      !items[cut - 1]?.measure &&
      (is(items[cut - 1], "det") ||
        is(items[cut - 1], "openclose") ||
        is(items[cut - 1], "light") ||
        is(items[cut - 1], "self") ||
        items[cut - 1]?.token.key === "both")
    )
      cut--;
    return cut;
  }
  const listed = cutList(items, verb);
  if (first < 0) return listed;
  const second = seen >= 0 ? verb : nextVerb(items, Math.max(first, equipmentVerb(items, first, verb)) + 1);
  const cut = second < 0 ? -1 : cutBetween(items, first, second);
  return cut > first ? (listed > 0 ? Math.min(cut, listed) : cut) : listed;
}

/** "mealies on the hoyas treated em": what was seen comes first, what was done about it behind. */
function sightingBefore(items: readonly Item[], verb: number): number {
  if (verb < 2) return -1;
  const at = items.findIndex((item, i) => i < verb && is(item, "pest") && !item.subject);
  if (at < 0 || at > 2 || is(items[at - 1], "prep")) return -1;
  const between = items.slice(at + 1, verb);
  return between.some((item) => is(item, "prep")) && between.some((item) => item.subject) ? at : -1;
}

/** "hoop 36 heat kicked on": a value stands before the equipment. */
const readsBefore = (items: readonly Item[], equipment: number): boolean => {
  const lead = items.slice(0, equipment);
  return (
    lead.some((item) => is(item, "place")) &&
    lead.some(
      (item) =>
        item.measure &&
        ["", "percent", "temperature"].includes(item.measure.dimension ?? "") &&
        !item.measure.article &&
        !item.time,
    ) &&
    lead.length >= 2
  );
};

/** "sowed 10 pachypodium 10 adenium", "fatso 20oz tank 12oz": each plant with something of its own. */
const cutList = (items: readonly Item[], verb: number): number =>
  cutGap(items, 0, items[verb]?.senses.find((one) => one.cls === "act")?.value as Act | undefined);

/** "power died": the verb that belongs to the equipment before it. */
const equipmentVerb = (items: readonly Item[], equipment: number, verb: number): number =>
  verb > equipment &&
  is(items[equipment], "equipment") &&
  items[verb]?.senses.some((one) => one.cls === "act" && one.form === "past") === true &&
  !items.slice(equipment, verb).some((item) => is(item, "polarity") || is(item, "openclose"))
    ? verb
    : -1;

function headedOf(part: Segment): Headed {
  const head = headOf(part.items);
  return { ...part, reading: !head && readsValue(part.items), ...(head && { head }) };
}

const LIGHT_VERBS = new Set([
  "got",
  "gave",
  "took",
  "put",
  "went",
  "came",
  "found",
  "spotted",
  "noticed",
  "did",
  "saw",
]);

/** The next word from `from` on that carries a clause of its own. */
function nextVerb(items: readonly Item[], from: number): number {
  for (let i = from; i < items.length; i++) {
    const item = items[i] as Item;
    if (item.quoted || item.subject) continue;
    const verb = item.senses.some(
      (one) => one.cls === "act" && (one.form === "past" || one.form === "state") && supported(one, items, i),
    );
    if (verb && !is(items[i - 1], "det") && !completes(items, i)) return i;
    if (is(item, "powerback") && item.end - item.start > 1) return i;
    const counted = items[i - 1]?.measure;
    if (i > 2 && item.token.key === "up" && counted && !counted.unit && !counted.article) return i - 1;
    if (value(item, "polarity") === "on" && item.token.key === "back" && i > 0) return i;
    if (
      is(item, "equipment") &&
      i > 0 &&
      items.slice(0, i).some((one) => is(one, "equipment")) &&
      items.slice(0, i).some((one) => is(one, "polarity") || is(one, "openclose"))
    )
      return i;
    if (LIGHT_VERBS.has(item.token.key) && is(item, "light") && !auxiliary(items, i)) {
      if (item.token.key === "did") {
        if (items.slice(i + 1, i + 4).some((one) => is(one, "place") || one.subject)) return i;
      } else if (headOf(items.slice(i, nextPast(items, i + 1)))?.at === 0) return i;
    }
  }
  return -1;
}

const nextPast = (items: readonly Item[], from: number): number => {
  const at = items.findIndex(
    (item, i) => i >= from && item.senses.some((one) => one.cls === "act" && one.form === "past"),
  );
  return at < 0 ? items.length : at;
};

/** "have watered", "got the aloes watered": the light verb only helps the one behind it. */
function auxiliary(items: readonly Item[], at: number): boolean {
  for (let i = at + 1; i < items.length; i++) {
    const item = items[i] as Item;
    if (item.senses.some((one) => one.cls === "act" && one.form === "past")) return true;
    if (!(item.subject || is(item, "det") || is(item, "filler") || is(item, "place") || is(item, "head")))
      return false;
  }
  return false;
}

/** "gone soft", "found scale": a state that another verb has already opened. */
const completes = (items: readonly Item[], at: number): boolean => {
  const before = items[at - 1];
  const state = items[at]?.senses.some((one) => one.cls === "act" && one.form === "state") ?? false;
  if (!state) return false;
  return (
    items.slice(0, at).some((item) => item.senses.some((one) => one.cls === "act" && one.form === "past")) &&
    !before?.subject &&
    !is(before, "be")
  );
};

/** Where the second act's own words begin. */
function cutBetween(items: readonly Item[], first: number, second: number): number {
  const subjectFirst = items.slice(0, first).some((item) => item.subject);
  if (subjectFirst) {
    for (let i = first + 1; i < second; i++) {
      if (!items[i]?.subject) continue;
      let at = i;
      while (at > first + 1 && (is(items[at - 1], "det") || items[at - 1]?.measure)) at--;
      return at;
    }
  }
  let at = second;
  while (at > first + 1) {
    const before = items[at - 1] as Item;
    if (before.time && items.slice(0, at - 1).some((item) => item.time)) {
      at--;
      continue;
    }
    if (
      before.subject ||
      before.time ||
      before.measure ||
      is(before, "place") ||
      is(before, "pot") ||
      is(before, "material")
    )
      break;
    if (is(before, "openclose") || is(before, "polarity") || is(before, "powerlost")) break;
    if (is(before, "dose") || is(before, "actnoun") || is(before, "product") || is(before, "pest")) break;
    at--;
    if (is(before, "self") || is(before, "member")) break;
  }
  return at;
}
