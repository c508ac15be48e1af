import { COUNTED_ACTS } from "../clauses/clause.js";
import type { Subject } from "../interpretation.js";
import { type Item, is, isAct, isName, says, unread, value } from "../item.js";
import type { ClauseView, Draft } from "./draft.js";

/** Number of whole plants or of parts that stands before a name: "3 of the rebutias", "40 copiapoa seeds". */
function countBefore(
  items: readonly Item[],
  at: number,
  used: Set<number>,
): { value: number; outOf?: number } | undefined {
  for (let i = at - 1; i >= 0 && i >= at - 5; i--) {
    const item = items[i] as Item;
    const { measure } = item;
    // "both A17 and Fanny Fan": the two are told.
    if (says(item, "both of them")) return joinsNext(items, at) ? undefined : { value: 2 };
    // "every one of the ceropegias"
    if (is(item, "collective") && says(items[i - 1], "each time")) return undefined;
    if (measure && !measure.unit && measure.ratio === undefined && !item.time) {
      if (measure.article || used.has(i)) return undefined;
      // "fed 13 and 20": two labels, and no thirteen of the second.
      if (item.subject?.tag && items[at]?.subject?.tag) return undefined;
      if (measure.fraction) {
        used.add(i);
        return { value: measure.fraction[0], outOf: measure.fraction[1] };
      }
      if (measure.value < 1 || !Number.isInteger(measure.value)) return undefined;
      used.add(i);
      return { value: measure.value, ...(measure.outOf !== undefined && { outOf: measure.outOf }) };
    }
    const passes =
      is(item, "det") ||
      is(item, "foreign") ||
      is(item, "head") ||
      is(item, "square") ||
      is(item, "seednoun") ||
      is(item, "seedling") ||
      is(item, "actnoun") ||
      is(item, "seen") ||
      is(item, "newness") ||
      says(item, "describes plants") ||
      isAct(item, "state") ||
      value(item, "prep") === "of" ||
      item.time ||
      unread(item);
    if (!passes || item.subject) return undefined;
  }
  return undefined;
}

/** Another name stands right behind: "A17 and the orchids". */
function joinsNext(items: readonly Item[], at: number): boolean {
  let next = at + 1;
  while (is(items[next], "and") || is(items[next], "det")) next++;
  return items[next]?.subject !== undefined;
}

/** Whom the clause is about, with their numbers; exceptions, stocks and pollen parents apart. */
export function fillSubjects(view: ClauseView, draft: Draft): void {
  const { items, head } = view;
  const subjects: Subject[] = [];
  let excepting = false;
  let target: "subjects" | "stock" | "pollen" = "subjects";
  for (let i = 0; i < items.length; i++) {
    const item = items[i] as Item;
    if (is(item, "except") && i > 0) excepting = true;
    if (head.act === "graft" && value(item, "prep") === "on") target = "stock";
    if (head.act === "graft" && value(item, "prep") === "into") target = "stock";
    if (head.act === "pollinate" && value(item, "prep") === "on") target = "subjects";
    if (head.act === "pollinate" && (value(item, "prep") === "with" || value(item, "prep") === "from"))
      target = "pollen";
    if (is(item, "pron") && i > head.at && !item.subject) draft.pronoun = true;
    if (is(item, "pron") && i < head.at && head.kind !== "verb" && !item.subject) draft.pronoun = true;
    if (!isName(item) || i === head.at || i === head.complement) continue;
    draft.used.add(i);
    if (
      item.subject?.group === "cuttings" &&
      (value(item, "actnoun") === "take_cutting" || value(items[i + 1], "prep") === "of") &&
      items.some((one) => one.subject?.genus)
    )
      continue;
    const juvenile = item.subject?.group === "seedlings" || item.subject?.group === "cuttings";
    if (juvenile && items[i - 1]?.subject?.genus) continue;
    const subject: Subject = { ...(item.subject as Subject) };
    if (target !== "subjects" && (subjects.length > 0 || target === "pollen")) {
      draft.entry[target] = subject;
      continue;
    }
    if (excepting) {
      draft.entry.except = [...(draft.entry.except ?? []), subject];
      continue;
    }
    // "gone all leggy": how much, not which.
    if (subject.all && i + 1 === head.at && (head.kind === "state" || head.kind === "seen")) continue;
    addCount(view, i, subject, draft);
    const thing = is(items[i + 1], "det") ? items[i + 2] : items[i + 1];
    const fitting = subject.all && (is(thing, "equipment") || is(thing, "fitting") || ofOthers(items, i));
    if (fitting) continue;
    if (subject.all && allOf(items, i, subjects, draft)) continue;
    if (subject.all && (subjects.length > 0 || ofWhom(items, i + 1) || ownWordAll(items, i))) continue;
    const twin = subjects.some(
      (one) => JSON.stringify({ ...one, as: 0 }) === JSON.stringify({ ...subject, as: 0 }),
    );
    if (!twin) subjects.push(subject);
  }
  if (subjects.length > 0) draft.entry.subjects = subjects;
  const loose = items[head.at - 1];
  const only = subjects.length === 1 ? subjects[0] : undefined;
  if (
    only &&
    head.kind === "verb" &&
    items.slice(0, Math.max(head.at - 1, 0)).some((item) => item.subject) &&
    only.count === undefined &&
    !only.all &&
    loose?.measure &&
    !loose.measure.unit &&
    !loose.measure.article &&
    !loose.time &&
    !COUNTED_ACTS.has(head.act) &&
    !draft.used.has(head.at - 1) &&
    Number.isInteger(loose.measure.value) &&
    loose.measure.ratio === undefined
  ) {
    only.count = loose.measure.value;
    draft.used.add(head.at - 1);
  }
  const kept = (draft.entry.except ?? []).filter((one) => excludes(one, subjects));
  if (kept.length > 0) draft.entry.except = kept;
  else delete draft.entry.except;
}

/** "the parodias were repotted, all five": how many there were of the one kind named before. */
function allOf(items: readonly Item[], at: number, subjects: readonly Subject[], draft: Draft): boolean {
  const [only, ...others] = subjects;
  const count = items[at + 1]?.measure;
  const bare = count && !count.unit && !count.article && count.ratio === undefined && !items[at + 1]?.time;
  if (!only || others.length > 0 || only.count !== undefined || !bare || !Number.isInteger(count.value))
    return false;
  only.count = count.value;
  draft.used.add(at + 1);
  return true;
}

/** "all aloes", "the whole lot of the haworthias": the names stand behind. */
const ofWhom = (items: readonly Item[], from: number): boolean => {
  const counted = items[from]?.measure && !items[from]?.measure?.unit && !items[from]?.measure?.article;
  // "all 40 of the pediocactus"
  const at = counted && value(items[from + 1], "prep") === "of" ? from + 1 : from;
  if (value(items[at], "prep") !== "of") return items[at]?.subject !== undefined;
  return items[is(items[at + 1], "det") ? at + 2 : at + 1]?.subject !== undefined;
};

/** "all her fish", "all the tomatoes": a noun that no table knows is what they all are. */
function ofOthers(items: readonly Item[], at: number): boolean {
  const owner = items[at + 1];
  const thing = items[at + 2];
  const owned = is(owner, "det") || says(owner, "belongs to one") || is(owner, "foreign");
  return (
    owned &&
    thing?.token.kind === "word" &&
    (thing.senses.length === 0 || is(thing, "elsewhere")) &&
    !thing.subject &&
    !thing.time &&
    !thing.measure
  );
}

/** Only what the subjects would include is an exception: "the haworthias but not the aloes" excepts nothing. */
const excludes = (one: Subject, subjects: readonly Subject[]): boolean =>
  one.tag !== undefined ||
  one.name !== undefined ||
  subjects.length === 0 ||
  subjects.some((subject) => subject.all || subject.group !== undefined || subject.genus === one.genus);

/** "all the aloes": the names say it, "all" adds nothing. */
const ownWordAll = (items: readonly Item[], at: number): boolean => {
  if (!says(items[at], "sweeps")) return false;
  for (let i = at + 1; i < items.length && i <= at + 3; i++) {
    if (is(items[i], "except")) return false;
    if (items[i]?.subject) return true;
  }
  return false;
};

/** A number of seeds, cuttings, buds, offsets or seedlings is the entry's, a number of whole plants the subject's. */
function addCount(view: ClauseView, at: number, subject: Subject, draft: Draft): void {
  const { items, head } = view;
  const count = countBefore(items, at, draft.used);
  if (!count) return;
  if (!COUNTED_ACTS.has(head.act) && count.outOf === undefined && !partsAt(items, at)) {
    subject.count = count.value;
    return;
  }
  draft.entry.count = count.value;
  if (count.outOf !== undefined) draft.entry.outOf = count.outOf;
}

export const isPart = (item: Item | undefined): boolean =>
  is(item, "seednoun") ||
  is(item, "seedling") ||
  is(item, "propagule") ||
  value(item, "actnoun") === "take_cutting" ||
  item?.subject?.group === "cuttings" ||
  ["offset", "bud", "flower"].includes(value(item, "seen") ?? "");

/** "3 gasteria pups", "3 pups of the gasteria", "3 flowers on the rebutia": the number is of parts. */
function partsAt(items: readonly Item[], at: number): boolean {
  if (isPart(items[at + 1])) return true;
  for (let i = at - 1; i >= Math.max(0, at - 5); i--) {
    if (isPart(items[i])) return true;
    if (items[i]?.measure) return false;
  }
  return false;
}
