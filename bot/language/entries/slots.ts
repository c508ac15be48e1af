import { COUNTED_ACTS } from "../clauses/clause.js";
import type { Act, Dose } from "../interpretation.js";
import { type Item, is, says, value } from "../item.js";
import type { Circumstances } from "./circumstances.js";
import { type ClauseView, type Draft, doubtful, textOf } from "./draft.js";
import { fillDoer } from "./parties.js";
import { temperature } from "./readings.js";
import { fillSubjects, isPart } from "./subjects.js";
import { fillPot, fillThings } from "./things.js";
import { fillTime } from "./when.js";

/** Fills the slots of an entry from the words of its clause. */
export function fillSlots(view: ClauseView, circumstances: Circumstances): Draft {
  const { items, head } = view;
  const draft: Draft = {
    entry: { act: head.act, ...(head.slots?.dose && { amount: { dose: head.slots.dose as Dose } }) },
    ownDoer: false,
    pronoun: false,
    sameTime: false,
    used: new Set([head.at, ...(head.complement === undefined ? [] : [head.complement])]),
  };
  fillSubjects(view, draft);
  fillTime(view, draft, circumstances);
  fillPlaces(view, draft);
  fillMeasures(view, draft, circumstances);
  fillThings(view, draft, circumstances);
  fillDoer(view, draft, circumstances);
  const doubted = items.some(
    (item, i) => doubtful(items, i) || (i < head.at && value(item, "tentative") === "seem"),
  );
  if (draft.time?.about || doubted) draft.entry.tentative = true;
  return draft;
}

const POT_ACTS: ReadonlySet<Act> = new Set<Act>(["sow", "repot", "acquire", "prick_out", "divide", "move"]);

/** The name of a place as written, from "in the propagator", or undefined where no place word stands. */
function placeAt(view: ClauseView, at: number): string | undefined {
  const item = view.items[at];
  if (!item) return undefined;
  return (
    value(item, "place") ??
    (is(item, "placeword") && !item.subject
      ? (item.token.owner ?? textOf(view.tokens, item.start, item.end))
      : undefined)
  );
}

function fillPlaces(view: ClauseView, draft: Draft): void {
  const { items, head } = view;
  let direction = "";
  for (let i = 0; i < items.length; i++) {
    const item = items[i] as Item;
    const prep = value(item, "prep");
    if (prep) direction = prep;
    // "by the north wall", "under the bench"
    if (is(item, "locative")) direction = "at";
    const place = placeAt(view, i);
    if (!place || i === head.at || (head.kind !== "reading" && is(item, "vessel") && !is(item, "place")))
      continue;
    const party = head.act === "give_away" || head.act === "acquire" || head.act === "order";
    if (party && !is(item, "place") && !["in", "on"].includes(direction)) continue;
    if (
      is(item, "placeword") &&
      !is(item, "place") &&
      !(i <= 1 && (value(item, "placeword") === "named" || standsAt(view, i))) &&
      !["in", "into", "on", "at", "to", "from"].includes(direction)
    )
      continue;
    draft.used.add(i);
    if (head.act === "move") {
      const aimed = ["to", "into"].includes(direction);
      if (direction === "from") draft.entry.from = place;
      // "shifted Spotty into the bay, getting a bit parky on that sill"
      else if (draft.entry.to === undefined || aimed) draft.entry.to = place;
    } else if (!draft.entry.place && (direction !== "from" || head.act !== "acquire"))
      draft.entry.place = place;
  }
}

/** "the propagator's at 24", "greenhouse 31 degrees": what stands in front of a value is where it was read. */
function standsAt({ items, head }: ClauseView, at: number): boolean {
  const next = items[at + 1];
  if (head.kind !== "reading" || value(items[at], "placeword") !== "growing" || !next) return false;
  const named = items[at]?.token.owner !== undefined && next.measure !== undefined;
  return named || is(next, "be") || is(next, "reach") || next.measure?.unit !== undefined;
}

function fillMeasures(view: ClauseView, draft: Draft, circumstances: Circumstances): void {
  const { items, head } = view;
  const { entry } = draft;
  for (let i = 0; i < items.length; i++) {
    const item = items[i] as Item;
    const { measure } = item;
    if (!measure || draft.used.has(i)) continue;
    if (measure.ratio !== undefined) {
      if (head.act === "treat" || head.act === "feed" || head.act === "water" || head.act === "mist") {
        entry.dilution = { ratio: measure.ratio };
        draft.used.add(i);
      }
    } else if (measure.strength !== undefined) {
      entry.dilution = { strength: measure.strength };
      draft.used.add(i);
    } else if (measure.dimension === "volume/volume" || measure.dimension === "mass/volume") {
      entry.dilution = { value: measure.value, unit: measure.unit as string };
      draft.used.add(i);
    } else if (
      measure.dimension === "volume" ||
      (measure.dimension === "mass" && head.act !== "water" && head.act !== "mist")
    ) {
      if (["water", "feed", "mist", "treat"].includes(head.act)) {
        entry.amount = { value: measure.value, unit: measure.unit as string };
        draft.used.add(i);
      }
    } else if (measure.unit === "[oz_av]" && (head.act === "water" || head.act === "mist")) {
      const ounce = circumstances.context.locale.endsWith("-US") ? "[foz_us]" : "[foz_br]";
      entry.amount = { value: measure.value, unit: ounce };
      draft.used.add(i);
    } else if (head.act === "setpoint" && (measure.dimension === "temperature" || !measure.dimension)) {
      entry.value = temperature(measure, circumstances);
      draft.used.add(i);
    }
  }
  if (POT_ACTS.has(head.act)) fillPot(view, draft);
  if (!entry.amount && (head.act === "water" || head.act === "feed")) fillDose(view, draft);
  fillLooseCount(view, draft);
}

function fillDose(view: ClauseView, draft: Draft): void {
  for (let i = 0; i < view.items.length; i++) {
    const dose = value(view.items[i], "dose");
    if (!dose || view.items[i]?.subject || is(view.items[i], "place")) continue;
    draft.entry.amount = { dose: dose as Dose };
    draft.used.add(i);
    return;
  }
}

/** Counts that stand apart from the name: "took 3 cuttings of the crassula", "12 up of 40". */
function fillLooseCount(view: ClauseView, draft: Draft): void {
  const { items, head } = view;
  const { entry } = draft;
  if (entry.count !== undefined) {
    if (entry.outOf === undefined && !ofWhich(items, head.at, draft)) fillTotal(items, draft);
    return;
  }
  const counts =
    items.some(isPart) ||
    COUNTED_ACTS.has(head.act) ||
    head.act === "bud" ||
    head.act === "offset" ||
    head.act === "flower" ||
    head.act === "fruit" ||
    head.act === "harvest_seed" ||
    head.act === "divide";
  if (!counts) return;
  for (let i = 0; i < items.length; i++) {
    const item = items[i] as Item;
    if (
      !item.measure ||
      item.measure.unit ||
      item.time ||
      item.measure.article ||
      item.measure.ratio !== undefined ||
      draft.used.has(i) ||
      standsForOne(items, i) ||
      says(items[i - 1], "the others")
    )
      continue;
    if (item.measure.value < 1 || !Number.isInteger(item.measure.value)) continue;
    entry.count = item.measure.value;
    if (item.measure.outOf !== undefined) entry.outOf = item.measure.outOf;
    draft.used.add(i);
    if (entry.outOf === undefined) fillTotal(items, draft);
    return;
  }
}

/** "the poorly one", "a big one": it stands for a plant and counts none. */
const standsForOne = (items: readonly Item[], at: number): boolean => {
  const before = items[at - 1];
  const described =
    is(before, "head") ||
    is(before, "square") ||
    (before?.token.kind === "word" && before.senses.length === 0);
  return is(items[at], "collective") && described && is(items[at - 2], "det") && !before?.subject;
};

/** "of the 80 astrophytums, 52 have germinated": the number before the verb is of those named first. */
function ofWhich(items: readonly Item[], head: number, draft: Draft): boolean {
  const { entry, used } = draft;
  const first = items.findIndex((item) => item.measure?.value === entry.count);
  if (value(items[0], "prep") !== "of" || first < 0 || first > 2) return false;
  const at = items.findIndex(
    ({ measure, time }, i) => i > first && i < head && measure && !measure.unit && !measure.article && !time,
  );
  const part = items[at]?.measure?.value;
  if (part === undefined || used.has(at) || part > (entry.count ?? 0)) return false;
  entry.outOf = entry.count as number;
  entry.count = part;
  used.add(at);
  return true;
}

/** "12 up out of 40": the total that stands apart. */
function fillTotal(items: readonly Item[], draft: Draft): void {
  for (let i = 1; i < items.length; i++) {
    const measure = items[i]?.measure;
    const total = measure && !measure.unit && !draft.used.has(i) && measure.value > (draft.entry.count ?? 0);
    if (!total || !["of", "from"].includes(value(items[i - 1], "prep") ?? "")) continue;
    draft.entry.outOf = measure.value;
    draft.used.add(i);
    return;
  }
}
