import { type Item, is, isAct, says, value } from "../item.js";
import { cutCuttings } from "./counted-parts.js";
import { splitExchange } from "./exchange.js";
import { cutGap } from "./gapped.js";
import { headOf } from "./head.js";
import { nextVerb } from "./next-verb.js";
import { type Headed, readsValue } from "./parts.js";
import type { Segment } from "./segment.js";
import { cutForecast, cutOther, cutRemedy, cutSkipped, cutThere } from "./sighted.js";

/** "... the aloes n agaves fed the hoyas": names before a verb that has its object behind it end the list before. */
export function splitLeadingNames(part: Segment): Segment[] {
  if (part.before !== 1) return [part];
  const { items } = part;
  const verb = items.findIndex((item) => isAct(item, "past"));
  let cut = verb;
  while (cut > 1 && (is(items[cut - 1], "member") || is(items[cut - 1], "self"))) cut--;
  const lead = items.slice(0, Math.max(cut, 0));
  const list = lead.every(
    (item) =>
      item.subject || item.measure || item.time || is(item, "det") || is(item, "place") || is(item, "prep"),
  );
  const taken = takes(items, verb) || (cut < verb && is(items[verb + 1], "place"));
  const passive = items.some((item, i) => i > verb && isAct(item, "past") && !takes(items, i));
  if (cut < 1 || !list || !taken || passive || !lead.some((item) => item.subject)) return [part];
  return [
    { ...part, items: lead },
    { items: items.slice(cut), before: 1, joint: "" },
  ];
}

/** Whether the verb has its object right behind it. */
function takes(items: readonly Item[], verb: number): boolean {
  const object = items.slice(verb + 1).find((item) => !is(item, "det") && !item.measure && !is(item, "head"));
  return object?.subject !== undefined || is(object, "pron");
}

/** Parts a segment that runs two acts together without a mark: "watered aloes repotted gasterias". */
export function splitRunOn(part: Segment): Headed[] {
  const exchange = splitExchange(part);
  if (exchange) return exchange;
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
        items[cut - 1]?.subject?.all ||
        is(items[cut - 1], "light") ||
        is(items[cut - 1], "self") ||
        says(items[cut - 1], "both of them"))
    )
      cut--;
    // "99 in the hoop with the door open": how it stood when the value was read.
    return value(items[cut - 1], "prep") === "with" ? -1 : cut;
  }
  const apart = earliest(
    cutReading(items),
    cutSightings(items),
    cutRemedy(items),
    cutSkipped(items),
    cutForecast(items),
    cutThere(items),
    cutOther(items),
    cutList(items),
    cutCuttings(items),
  );
  if (first < 0) return apart;
  const second = seen >= 0 ? verb : nextVerb(items, Math.max(first, equipmentVerb(items, first, verb)) + 1);
  const cut = second < 0 ? -1 : cutBetween(items, first, second);
  return earliest(cut > first ? cut : -1, apart);
}

const earliest = (...cuts: readonly number[]): number => {
  const found = cuts.filter((cut) => cut > 0);
  return found.length === 0 ? -1 : Math.min(...found);
};

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
    lead.some((item) => is(item, "place") || is(item, "stat")) &&
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
function cutList(items: readonly Item[]): number {
  if (items.filter((item) => item.subject).length < 2) return -1;
  return cutGap(items, 0, headOf(items)?.act);
}

/** "mealies on 12 scale on 20 neem on both": what sits on each, or was put on it, without a mark. */
function cutSightings(items: readonly Item[]): number {
  const sits = (i: number): boolean =>
    (is(items[i], "pest") || is(items[i], "product")) &&
    !items[i]?.subject &&
    ["on", "in"].includes(value(items[i + 1], "prep") ?? "");
  const first = items.findIndex((_, i) => sits(i));
  if (first < 0 || first > 1) return -1;
  return items.findIndex(
    (_, i) => i > first + 2 && sits(i) && items.slice(first + 2, i).some((item) => item.subject),
  );
}

/** "fed the hoyas hoop hit 98", "watered the aloes min was 4": where a value told behind an act begins. */
function cutReading(items: readonly Item[]): number {
  const acted = items.findIndex((item) => isAct(item, "past") || is(item, "equipment"));
  if (acted < 0) return -1;
  for (let i = acted + 2; i + 1 < items.length; i++) {
    const extreme = value(items[i], "stat") === "min" || value(items[i], "stat") === "max";
    const place = is(items[i], "place") && (is(items[i + 1], "reach") || is(items[i + 1], "stat"));
    if (!extreme && !place) continue;
    const number = items.slice(i + 1, i + 4).findIndex((item) => item.measure && !item.measure.article);
    const between = items.slice(i + 1, i + 1 + Math.max(number, 0));
    if (
      number < 0 ||
      !between.every((item) => is(item, "be") || is(item, "reach") || is(item, "stat") || is(item, "prep"))
    )
      continue;
    let cut = i;
    while (cut > acted + 1 && is(items[cut - 1], "det")) cut--;
    const before = items[cut - 1];
    const done = items.slice(0, cut).some((item) => item.subject || is(item, "place"));
    if (done && !is(before, "prep") && !is(before, "condition") && !because(before)) return cut;
  }
  return -1;
}

/** "... as the bay hit 30": the value is why it was done. */
const because = (item: Item | undefined): boolean =>
  item !== undefined && item.end - item.start === 1 && says(item, "gives cause");

/** "power died": the verb that belongs to the equipment before it. */
const equipmentVerb = (items: readonly Item[], equipment: number, verb: number): number =>
  verb > equipment &&
  is(items[equipment], "equipment") &&
  isAct(items[verb], "past") &&
  !items.slice(equipment, verb).some((item) => is(item, "polarity") || is(item, "openclose"))
    ? verb
    : -1;

function headedOf(part: Segment): Headed {
  const head = headOf(part.items);
  return { ...part, reading: !head && readsValue(part.items), ...(head && { head }) };
}

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
