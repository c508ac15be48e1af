import { settleIn } from "../../entries/circumstances.js";
import { temperature } from "../../entries/readings.js";
import type { Entry, Instruction, Subject } from "../../interpretation.js";
import { type Item, is, says, value } from "../../item.js";
import { kinOwned } from "../owners.js";
import { has } from "../view.js";
import { contrasts, facetOf, otherAct, slotValue } from "./contrast.js";
import { type InstructionRule, type InstructionView, light } from "./view.js";

type Change = Extract<Instruction, { do: "amend" }>["change"];

/**
 * "no, that was Tuesday", "I meant 6", "not the aloes, the agaves", "also the gasterias": a correction of what
 * was logged last. It is short, names what it replaces and has no verb of care of its own.
 */
export const amend: InstructionRule = (whole) => {
  const view = withoutCleft(whole);
  const { items } = view;
  if (items.length > 16 || items.some((item) => item.token.text === "?")) return undefined;
  if (view.first >= items.length) return undefined;
  // "hottest it's been this month": asked for, and nothing is put right.
  if (is(items[view.first], "stat") && !items.some((item) => item.measure)) return undefined;
  // "the frame was": what it was is still to come.
  if (is(items.at(-1), "be") && items.length > 1) return undefined;
  const also = is(items[view.first], "alsoword") || is(items[0], "alsoword") || endsWithToo(items);
  const cue =
    items.slice(view.first, view.first + 3).some((item) => is(item, "correction")) ||
    items.slice(0, view.first).some((item) => is(item, "correction"));
  const removed = withoutSubjects(view);
  if (removed.length > 0) return { do: "amend", change: { removeSubjects: removed } };
  const act = view.message.addressed ? otherAct(view, understandable) : undefined;
  if (act) return { do: "amend", change: { act } };
  const slot = view.message.addressed ? slotValue(view) : -1;
  const contrast = view.message.addressed && contrasts(items);
  if (!cue && !also && !contrast && slot < 0) return undefined;
  if (deniesAll(items, view.first) || items.some((item, i) => closes(items, i) || tellsOfNothing(item)))
    return undefined;
  if (!view.message.addressed && items.some((item, i) => admires(items, i) || doubts(item))) return undefined;
  if (kinOwned(items, view.message)) return undefined;
  if (items.some((item, i) => i >= slot && ownVerb(item, view))) return undefined;
  if (
    !firmly(items) &&
    view.message.built.some(
      (one) =>
        one.entry.act === "reading" &&
        (one.entry.place || one.entry.reading?.quantity !== "air_temperature" || one.stated),
    )
  )
    return undefined;
  if (has(items, "plan") && !items.some((item) => is(item, "correction") && is(item, "condition")))
    return undefined;
  if (items.some((item, i) => i >= slot && !understandable(item))) return undefined;
  const change: Change = cue || contrast || slot >= 0 ? changes(view, Math.max(slot, 0)) : {};
  const added = keptSubjects(items);
  if (
    also &&
    !cue &&
    added.length > 0 &&
    !items.some((item) => item.time || (item.measure && !item.measure.article))
  )
    change.addSubjects = added;
  if (Object.keys(change).length === 0) return undefined;
  if (!view.message.addressed && !sure(items, view.first) && !change.addSubjects) return undefined;
  return { do: "amend", change };
};

/** "it was A18 that I repotted": what is told behind the pronoun is known, only what stands before it is put right. */
function withoutCleft(view: InstructionView): InstructionView {
  const { items, first, message } = view;
  if (!message.addressed || !items.slice(first, first + 2).some((item) => is(item, "correction")))
    return view;
  const verb = items.findLastIndex((item) => ownVerb(item, view));
  const pronoun = items.findLastIndex(
    (item, i) => i < verb && (is(item, "whoword") || is(item, "self")) && facetOf(items[i - 1]) !== undefined,
  );
  // "it was the gasterias I watered, not the haworthias"
  const denied = items.slice(verb + 1).filter((item) => !is(item, "pron") && item.token.text !== ",");
  const ends = denied.length === 0 || denied.slice(0, 2).some((item) => is(item, "negation"));
  if (pronoun < 0 || !ends) return view;
  const end = is(items[pronoun], "whoword") || !is(items[pronoun - 1], "whoword") ? pronoun : pronoun - 1;
  return { ...view, items: [...items.slice(0, end), ...denied] };
}

/** "without Spiral", "not the aloes": which plants are to be taken out again. */
function withoutSubjects({ items, first, message }: InstructionView): Subject[] {
  if (!message.addressed || !is(items[first], "withoutword")) return [];
  return items.slice(first + 1).every((item) => item.subject || light(item)) ? keptSubjects(items) : [];
}

/** "no mealybug on the haworthias", "not one of the 40": the word denies what stands behind it and corrects nothing. */
function deniesAll(items: readonly Item[], first: number): boolean {
  const at = items.findIndex((item, i) => i <= first && says(item, "denies all"));
  const next = items[at + 1];
  if (at < 0 || !next) return false;
  if (says(items[at], "denies") && next.measure && !next.measure.article)
    return next.measure.outOf !== undefined || says(items[at + 2], "one of");
  const contrasts = items.slice(at + 1).some((item) => item.token.text === "," || is(item, "but"));
  if (is(next, "det") && says(next, "article a")) return !contrasts;
  if (says(items[at], "denies")) return false;
  return !next.subject && (is(next, "pest") || is(next, "seen") || is(next, "pot")) && at + 2 < items.length;
}

/** "none of the copiapoas are up", "nothing to report": what is so, and no correction. */
const tellsOfNothing = (item: Item): boolean =>
  is(item, "negation") &&
  !is(item, "correction") &&
  (!says(item, "sets apart") || item.end > item.start + 1) &&
  !item.time;

/** "nice blooms": what is seen, unless it is counted ("12 buds"). */
const admires = (items: readonly Item[], at: number): boolean =>
  is(items[at], "seen") && !items[at - 1]?.measure && !items[at]?.subject;

const doubts = (item: Item): boolean => is(item, "condition") && !is(item, "correction");

/** "no", "sorry", "I meant": words that do nothing but correct; "it was" may also begin a reading. */
const firmly = (items: readonly Item[]): boolean =>
  items.some((item) => is(item, "correction") && !says(item, "takes up again"));

const endsWithToo = (items: readonly Item[]): boolean => {
  const words = items.filter((item) => item.token.kind === "word");
  return says(words.at(-1), "adds") || is(words.at(-1), "alsoword");
};

/** A message that nobody addressed must begin as a correction does. */
const sure = (items: readonly Item[], first: number): boolean => {
  return says(items[first], "opens a correction") || says(items[0], "opens with regret");
};

function ownVerb(item: Item, view: InstructionView): boolean {
  if (item.subject || is(item, "correction") || is(item, "alsoword") || is(item, "pot")) return false;
  void view;
  return item.senses.some(
    (one) => one.cls === "act" && (one.form === "past" || one.form === "base") && !is(item, "filler"),
  );
}

const understandable = (item: Item): boolean =>
  light(item) ||
  Boolean(item.subject || item.time || item.measure) ||
  is(item, "correction") ||
  is(item, "alsoword") ||
  says(item, "tells which") ||
  is(item, "seednoun") ||
  is(item, "seedling") ||
  is(item, "place") ||
  is(item, "member") ||
  is(item, "kin") ||
  is(item, "negation") ||
  is(item, "be") ||
  is(item, "pot") ||
  is(item, "material") ||
  is(item, "product") ||
  is(item, "pest") ||
  is(item, "substrate") ||
  is(item, "quantity") ||
  is(item, "stat") ||
  is(item, "but") ||
  is(item, "and") ||
  is(item, "except") ||
  is(item, "dose") ||
  is(item, "condition") ||
  is(item, "head") ||
  is(item, "placeword") ||
  is(item, "act") ||
  is(item, "light") ||
  is(item, "seen") ||
  is(item, "reach");

/** Where each thing that is denied ends: "not the aloes", "14 not 12". */
function denied(items: readonly Item[]): boolean[] {
  const flags = items.map(() => false);
  for (let i = 0; i < items.length; i++) {
    const negates = says(items[i], "sets apart") || (is(items[i], "correction") && says(items[i], "was not"));
    if (!negates) continue;
    for (let k = i; k < items.length; k++) {
      flags[k] = true;
      const done =
        k > i &&
        (items[k]?.subject ||
          items[k]?.time ||
          items[k]?.measure ||
          is(items[k], "place") ||
          is(items[k], "member") ||
          is(items[k], "material") ||
          is(items[k], "pest") ||
          is(items[k], "product"));
      if (done && !is(items[k + 1], "and")) break;
    }
  }
  // "that was not today but sunday", "not today": a time inside the correction word itself
  return flags;
}

/** "that's all for today": no plants, but the end of the matter. */
const closes = (items: readonly Item[], at: number): boolean =>
  says(items[at], "sweeps") && (is(items[at - 1], "correction") || is(items[at - 1], "filler"));

function keptSubjects(items: readonly Item[]): Subject[] {
  const no = denied(items);
  return items.flatMap((item, i) =>
    item.subject && !no[i] && !item.quoted && !closes(items, i) ? [{ ...item.subject }] : [],
  );
}

function changes(view: InstructionView, from: number): Change {
  const { items } = view;
  const { circumstances } = view.message;
  const no = denied(items);
  const change: Change = {};
  const subjects = keptSubjects(items);
  if (subjects.length > 0) change.subjects = withCounts(items, subjects);
  for (let i = 0; i < items.length; i++) {
    const item = items[i] as Item;
    if (no[i] || i < from) continue;
    if (item.time && !item.weakTime && !change.when) {
      const when = settleIn(item.time, circumstances, "past");
      if (when) change.when = when;
      continue;
    }
    const place = value(item, "place");
    if (place && change.place === undefined) change.place = place;
    const member = value(item, "member");
    if (member) change.person = change.person === undefined ? member : `${change.person} and ${member}`;
    for (const cls of ["product", "pest", "substrate"] as const) {
      const named = value(item, cls);
      if (named && !item.subject && change[cls] === undefined && !is(item, "place")) change[cls] = named;
    }
    const material = value(item, "material");
    if (material) change.pot = { ...change.pot, material };
    const dose = value(item, "dose");
    if (dose && !is(item, "filler") && !item.subject) change.amount = { dose: dose as "sip" };
    const parts =
      is(items[i + 1], "seednoun") ||
      is(items[i + 1], "seedling") ||
      is(items[i + 1], "seen") ||
      value(items[i + 1], "actnoun") === "take_cutting";
    if (
      item.measure &&
      !item.measure.unit &&
      !item.measure.article &&
      (parts || item.measure.outOf !== undefined)
    ) {
      change.count = item.measure.value;
      if (item.measure.outOf !== undefined) change.outOf = item.measure.outOf;
      if (parts && items[i + 1]?.subject?.group) delete change.subjects;
      continue;
    }
    if (item.measure && !item.subject && !items[i + 1]?.subject) measured(item, change, circumstances);
  }
  return change;
}

function withCounts(items: readonly Item[], subjects: Subject[]): Subject[] {
  return subjects.map((subject) => {
    const at = items.findIndex(
      (item) => item.subject && item.subject.genus === subject.genus && item.subject.tag === subject.tag,
    );
    const before = items[at - 1]?.measure ?? undefined;
    return before && !before.unit && !before.article ? { ...subject, count: before.value } : subject;
  });
}

function measured(
  item: Item,
  change: Partial<Entry>,
  circumstances: Parameters<typeof temperature>[1],
): void {
  const measure = item.measure;
  if (!measure || measure.article) return;
  const { dimension } = measure;
  if (measure.ratio !== undefined) change.dilution = { ratio: measure.ratio };
  else if (measure.strength !== undefined) change.dilution = { strength: measure.strength };
  else if (dimension === "length")
    change.pot = { ...change.pot, diameter: { value: measure.value, unit: measure.unit as string } };
  else if (measure.unit === "[oz_av]")
    change.amount = {
      value: measure.value,
      unit: circumstances.context.locale.endsWith("-US") ? "[foz_us]" : "[foz_br]",
    };
  else if (dimension === "volume") change.amount = { value: measure.value, unit: measure.unit as string };
  else if (dimension === "volume/volume" || dimension === "mass/volume")
    change.dilution = { value: measure.value, unit: measure.unit as string };
  else if (dimension === "percent") change.value = { value: measure.value, unit: "%" };
  else if (!dimension || dimension === "temperature") change.value = temperature(measure, circumstances);
}
