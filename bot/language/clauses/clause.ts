import type { Act } from "../interpretation.js";
import { type Item, is, value } from "../item.js";
import type { Sense } from "../sense.js";
import { followUpHead, type Head, headOf } from "./head.js";
import type { Segment, Strength } from "./segment.js";

/** A run of items about one act. */
export interface Clause {
  items: Item[];
  head?: Head;
  before: Strength;
  joint: string;
  /** The act was left out and is the clause before's: "... and the aloes a good soak". */
  inherits?: true;
}

/** Acts whose numbers count seeds, cuttings or buds and not whole plants: each count is an entry of its own. */
export const COUNTED_ACTS: ReadonlySet<Act> = new Set<Act>(["sow", "germinate", "take_cutting", "prick_out"]);

interface Headed extends Segment {
  head?: Head;
  reading: boolean;
}

/** Whether a run of items states a value that was read off an instrument. */
export function readsValue(items: readonly Item[]): boolean {
  const cue = items.some(
    (item) => is(item, "quantity") || is(item, "stat") || is(item, "reach") || is(item, "place"),
  );
  for (const item of items) {
    const measure = item.measure;
    if (!measure || item.quoted) continue;
    const dimension = measure.dimension;
    if (dimension === "temperature" || dimension === "percent" || dimension === "illuminance") return true;
    if (dimension === "energy") return true;
    if (
      !dimension &&
      measure.ratio === undefined &&
      measure.strength === undefined &&
      (cue || measure.signed)
    )
      return true;
  }
  return false;
}

/**
 * Groups segments into clauses: each head with the names, times and places that belong to it; lists join
 * ("aloes, haworthias and gasterias"), a second set of particulars parts ("the aloes on Monday, the
 * gasterias on Tuesday").
 */
export function clauses(segments: readonly Segment[]): Clause[] {
  const headed = segments.flatMap(splitRunOn);
  const result: Clause[] = [];
  let pending: Headed[] = [];
  headed.forEach((part, index) => {
    const follow =
      nameIndex(part.items) < 0 && part.head?.kind !== "equipment"
        ? followUpHead(part.items, result.at(-1)?.head)
        : undefined;
    if (follow) part.head = follow;
    if (part.head && particular(part, result.at(-1))) {
      append(result.at(-1) as Clause, part);
      return;
    }
    if (part.head || part.reading) {
      const clause: Clause = { items: part.items, before: part.before, joint: part.joint };
      if (part.head) clause.head = part.head;
      for (const earlier of pending.reverse()) prepend(clause, earlier);
      pending = [];
      result.push(clause);
      return;
    }
    const last = result.at(-1);
    if (last && !last.head && valueOnly(part.items)) {
      result.push({ items: part.items, before: part.before, joint: part.joint });
      return;
    }
    if (!last) pending.push(part);
    else if (pending.length > 0 || belongsForward(part, headed[index + 1], last)) pending.push(part);
    else if (startsAnew(last, part)) {
      result.push({ items: part.items, before: part.before, joint: part.joint, inherits: true });
    } else append(last, part);
  });
  const last = result.at(-1);
  for (const part of pending) {
    if (last) append(last, part);
    else result.push({ items: part.items, before: part.before, joint: part.joint });
  }
  return result;
}

/** "watered the aloes, just a sip": a noun of the same act adds a particular to it. */
const particular = (part: Headed, last: Clause | undefined): boolean =>
  part.head?.kind === "noun" &&
  last?.head?.act === part.head.act &&
  last.head.kind !== "noun" &&
  nameIndex(part.items) < 0;

/** "..., 19 at noon": a bare number behind a reading is another one. */
const valueOnly = (items: readonly Item[]): boolean =>
  items.some(
    (item) => item.measure && !item.weakTime && !item.measure.unit && item.measure.ratio === undefined,
  ) &&
  items.every(
    (item) =>
      item.measure ||
      item.time ||
      is(item, "prep") ||
      is(item, "filler") ||
      is(item, "stat") ||
      is(item, "reach") ||
      is(item, "be") ||
      is(item, "quantity") ||
      is(item, "det"),
  );

function prepend(clause: Clause, part: Segment): void {
  const { head } = clause;
  if (head) {
    const shift = part.items.length;
    clause.head = {
      ...head,
      at: head.at + shift,
      ...(head.complement !== undefined && { complement: head.complement + shift }),
    };
  }
  clause.items = [...part.items, ...clause.items];
  clause.before = part.before;
  clause.joint = part.joint;
}
/** "everything but the opuntias": what follows "but" without a verb of its own is excepted. */
const EXCEPTING: readonly Sense[] = [{ cls: "except", value: "except" }];

function append(clause: Clause, part: Segment): void {
  const first = part.items[0];
  const excepts = part.joint === "but" && first && nameIndex(part.items) >= 0;
  const lead: Item[] = excepts
    ? [{ start: first.start, end: first.start, token: first.token, senses: EXCEPTING }]
    : [];
  clause.items = [...clause.items, ...lead, ...part.items];
}

const nameIndex = (items: readonly Item[]): number => items.findIndex((item) => item.subject);

/** "watered the aloes, the haworthias and gasterias were fed": the list belongs to the verb behind it. */
function belongsForward(part: Headed, next: Headed | undefined, last: Clause): boolean {
  if (nameIndex(part.items) < 0 || !next?.head)
    return (
      part.before === 3 &&
      Boolean(next?.head || next?.reading) &&
      nameIndex(part.items) < 0 &&
      onlyTime(part.items)
    );
  const passive = nameIndex(next.items) >= 0 && nameIndex(next.items) < next.head.at;
  if (!passive) return false;
  if (part.before >= 2 && next.before === 1) return true;
  return part.before === 3 || nameIndex(last.items) < 0;
}
const onlyTime = (items: readonly Item[]): boolean =>
  items.every((item) => item.time || item.senses.length > 0);

type Slot = "time" | "amount" | "place" | "measure" | "name" | "person";
function slotsIn(items: readonly Item[], act: Act | undefined): Set<Slot> {
  const found = new Set<Slot>();
  for (const item of items) {
    if (item.time && !item.weakTime) found.add("time");
    if (is(item, "dose") && act === "water") found.add("amount");
    if (is(item, "place")) found.add("place");
    if (item.measure?.unit) found.add("amount");
    else if (item.measure && act && COUNTED_ACTS.has(act)) found.add("measure");
    if (item.subject) found.add("name");
    if (is(item, "member") || is(item, "kin")) found.add("person");
  }
  return found;
}

function startsAnew(last: Clause, part: Headed): boolean {
  const act = last.head?.act;
  const mine = slotsIn(part.items, act);
  if (!mine.has("name")) return false;
  const theirs = slotsIn(last.items, act);
  if (!theirs.has("name")) return false;
  for (const slot of ["time", "amount", "place", "measure", "person"] as const)
    if (mine.has(slot) && theirs.has(slot)) return true;
  return part.before === 3 && theirs.has("name");
}

/** Parts a segment that runs two acts together without a mark: "watered aloes repotted gasterias". */
function splitRunOn(part: Segment): Headed[] {
  const head = headOf(part.items);
  const whole: Headed = { ...part, reading: !head && readsValue(part.items) };
  if (head) whole.head = head;
  if (
    !head ||
    (head.kind !== "verb" && head.kind !== "light" && head.kind !== "state" && head.kind !== "equipment")
  )
    return [whole];
  const edge = Math.max(head.at, head.complement ?? 0);
  const next = nextVerb(part.items, edge + 1);
  if (next < 0) return [whole];
  const cut = cutBetween(part.items, head.at, next);
  if (cut <= edge || cut >= part.items.length) return [whole];
  return [
    ...splitRunOn({ ...part, items: part.items.slice(0, cut) }),
    ...splitRunOn({ items: part.items.slice(cut), before: 1, joint: "" }),
  ];
}

function nextVerb(items: readonly Item[], from: number): number {
  for (let i = from; i < items.length; i++) {
    const item = items[i] as Item;
    if (item.quoted) continue;
    const past = item.senses.some((one) => one.cls === "act" && one.form === "past");
    if (past && !is(items[i - 1], "det")) return i;
    if (is(item, "powerback") && item.end - item.start > 1) return i;
    const light = value(item, "light");
    if (
      light &&
      ["got", "gave", "took", "put", "went", "came"].includes(item.token.key) &&
      headOf(items.slice(i))?.kind === "light"
    )
      return i;
  }
  return -1;
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
    if (
      before.subject ||
      before.time ||
      before.measure ||
      is(before, "place") ||
      is(before, "pot") ||
      is(before, "material")
    )
      break;
    if (is(before, "dose") || is(before, "actnoun") || is(before, "product") || is(before, "pest")) break;
    at--;
    if (is(before, "self") || is(before, "member")) break;
  }
  return at;
}
