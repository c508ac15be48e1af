import type { TimeExpr } from "../calendar/expression.js";
import { COUNTED_ACTS } from "../clauses/clause.js";
import type { Head } from "../clauses/head.js";
import type { Act, Dose, Entry, Pot, Subject } from "../interpretation.js";
import { type Item, is, isName, says, value } from "../item.js";
import type { Token } from "../tokenise.js";
import type { Circumstances } from "./circumstances.js";
import { findDoer } from "./doer.js";
import { temperature } from "./readings.js";
import { fillTime } from "./when.js";

/** What a clause says, before anything is inherited. */
export interface Draft {
  entry: Entry;
  /** The clause names its doer, or says "I". */
  ownDoer: boolean;
  /** A pronoun stands for the subjects of the clause before. */
  pronoun: boolean;
  /** "the same day". */
  sameTime: boolean;
  /** The time that the clause itself tells, before it is settled. */
  time?: TimeExpr;
  /** Items that filled a slot. */
  used: Set<number>;
}

export interface ClauseView {
  items: readonly Item[];
  head: Head;
  tokens: readonly Token[];
}

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
  fillThings(view, draft);
  fillDoer(view, draft);
  if (draft.time?.about || items.some((_, i) => doubtful(items, i))) draft.entry.tentative = true;
  return draft;
}

/** "I think", "probably"; "about" only before a number. */
export const doubtful = (items: readonly Item[], at: number): boolean => {
  const doubt = value(items[at], "tentative");
  return (
    doubt === "think" ||
    (doubt === "near" && (items[at + 1]?.measure !== undefined || items[at + 2]?.measure !== undefined))
  );
};

const POT_ACTS: ReadonlySet<Act> = new Set<Act>(["sow", "repot", "acquire", "prick_out", "divide", "move"]);

/** Number of whole plants or of parts that stands before a name: "3 of the rebutias", "40 copiapoa seeds". */
function countBefore(
  items: readonly Item[],
  at: number,
  used: Set<number>,
): { value: number; outOf?: number } | undefined {
  for (let i = at - 1; i >= 0 && i >= at - 5; i--) {
    const item = items[i] as Item;
    const { measure } = item;
    if (item.token.key === "both") return { value: 2 };
    if (measure && !measure.unit && measure.ratio === undefined && !item.time) {
      if (measure.article || used.has(i)) return undefined;
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
      is(item, "head") ||
      is(item, "square") ||
      is(item, "seednoun") ||
      is(item, "seedling") ||
      is(item, "actnoun") ||
      is(item, "seen") ||
      is(item, "newness") ||
      says(item, "describes plants") ||
      item.senses.some((one) => one.cls === "act" && one.form === "state") ||
      value(item, "prep") === "of" ||
      item.time ||
      (item.token.kind === "word" && item.senses.length === 0);
    if (!passes || item.subject) return undefined;
  }
  return undefined;
}

function fillSubjects(view: ClauseView, draft: Draft): void {
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
      value(item, "actnoun") === "take_cutting" &&
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
    addCount(view, i, subject, draft);
    const thing = is(items[i + 1], "det") ? items[i + 2] : items[i + 1];
    const fitting = subject.all && (is(thing, "equipment") || is(thing, "fitting"));
    if (fitting) continue;
    if (subject.all && (subjects.length > 0 || items[i + 1]?.subject || ownWordAll(items, i))) continue;
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

/** Only what the subjects would include is an exception: "the haworthias but not the aloes" excepts nothing. */
const excludes = (one: Subject, subjects: readonly Subject[]): boolean =>
  one.tag !== undefined ||
  one.name !== undefined ||
  subjects.length === 0 ||
  subjects.some((subject) => subject.all || subject.group !== undefined || subject.genus === one.genus);

/** "all the aloes": the names say it, "all" adds nothing. */
const ownWordAll = (items: readonly Item[], at: number): boolean => {
  if (items[at]?.token.key !== "all") return false;
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

const isPart = (item: Item | undefined): boolean =>
  is(item, "seednoun") ||
  is(item, "seedling") ||
  value(item, "actnoun") === "take_cutting" ||
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

/** The name of a place as written, from "in the propagator", or undefined where no place word stands. */
function placeAt(view: ClauseView, at: number): string | undefined {
  const item = view.items[at];
  if (!item) return undefined;
  return (
    value(item, "place") ??
    (is(item, "placeword") && !item.subject ? textOf(view.tokens, item.start, item.end) : undefined)
  );
}

export const textOf = (tokens: readonly Token[], from: number, end: number): string => {
  let text = "";
  for (let i = from; i < end; i++) {
    const token = tokens[i] as Token;
    text += (i > from ? (token.hyphen ? "-" : token.glued ? "" : " ") : "") + token.text;
  }
  return text;
};

function fillPlaces(view: ClauseView, draft: Draft): void {
  const { items, head } = view;
  let direction = "";
  for (let i = 0; i < items.length; i++) {
    const item = items[i] as Item;
    const prep = value(item, "prep");
    if (prep) direction = prep;
    const place = placeAt(view, i);
    if (!place || i === head.at) continue;
    const party = head.act === "give_away" || head.act === "acquire" || head.act === "order";
    if (party && !is(item, "place") && !["in", "on"].includes(direction)) continue;
    if (
      is(item, "placeword") &&
      !is(item, "place") &&
      !(i <= 1 && value(item, "placeword") === "named") &&
      !["in", "into", "on", "at", "to", "from"].includes(direction)
    )
      continue;
    draft.used.add(i);
    if (head.act === "move") {
      if (direction === "from") draft.entry.from = place;
      else draft.entry.to = place;
    } else if (!draft.entry.place && (direction !== "from" || head.act !== "acquire"))
      draft.entry.place = place;
  }
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
    if (entry.outOf === undefined) fillTotal(items, draft);
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
      draft.used.has(i)
    )
      continue;
    if (item.measure.value < 1 || !Number.isInteger(item.measure.value)) continue;
    entry.count = item.measure.value;
    if (item.measure.outOf !== undefined) entry.outOf = item.measure.outOf;
    draft.used.add(i);
    return;
  }
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

function fillPot(view: ClauseView, draft: Draft): void {
  const { items } = view;
  const pot: Pot = {};
  const previous: Pot = {};
  let into: "pot" | "previous" = "pot";
  for (let i = 0; i < items.length; i++) {
    const item = items[i] as Item;
    const prep = value(item, "prep");
    if (prep === "from" || /^(formerly|previously)$/.test(item.token.key)) into = "previous";
    else if (prep === "to" || prep === "into" || (prep === "in" && into !== "previous")) into = "pot";
    if (is(item, "be") && i > view.head.at && (pot.diameter || value(items[i + 1], "prep") === "in"))
      into = "previous";
    const aim = into === "pot" ? pot : previous;
    const { measure } = item;
    if (measure && !draft.used.has(i) && !item.time && !aim.diameter) {
      const bare = !measure.unit && (into === "previous" || pot.diameter !== undefined) && !measure.article;
      const fitting =
        bare ||
        (!measure.unit &&
          (is(items[i + 1], "pot") || is(items[i + 1], "material") || is(items[i + 1], "square")));
      if (measure.dimension === "length" && measure.to !== undefined && !previous.diameter) {
        previous.diameter = { value: measure.value, unit: measure.unit as string };
        pot.diameter = { value: measure.to, unit: measure.unit as string };
        into = "pot";
        draft.used.add(i);
      } else if (measure.dimension === "length") {
        aim.diameter = { value: measure.value, unit: measure.unit as string };
        draft.used.add(i);
      } else if (fitting && !measure.dimension && measure.value > 1) {
        const unit = pot.diameter?.unit ?? previous.diameter?.unit;
        aim.diameter = { value: measure.value, unit: unit ?? "cm" };
        draft.used.add(i);
      }
    }
    const material = value(item, "material");
    const holder = into === "pot" ? pot : previous;
    if (material && !holder.material) {
      holder.material = material;
      draft.used.add(i);
    }
    if (is(item, "pot")) draft.used.add(i);
  }
  if (pot.diameter && previous.diameter && !unitSaid(items)) previous.diameter.unit = pot.diameter.unit;
  if (Object.keys(previous).length > 0) pot.previous = previous;
  if (Object.keys(pot).length > 0 && (draft.entry.act === "repot" || pot.diameter)) draft.entry.pot = pot;
}
const unitSaid = (items: readonly Item[]): boolean =>
  items.filter((item) => item.measure?.dimension === "length").length > 1;

const SUBSTRATE_ACTS: ReadonlySet<Act> = new Set<Act>([
  "repot",
  "sow",
  "top_dress",
  "prick_out",
  "divide",
  "take_cutting",
  "acquire",
]);
const PRODUCT_ACTS: ReadonlySet<Act> = new Set<Act>(["feed", "treat", "clean", "mist", "water"]);

function fillThings(view: ClauseView, draft: Draft): void {
  const { items, head } = view;
  const { entry } = draft;
  if (head.act === "feed" || head.act === "treat") fillProduct(view, draft);
  for (let i = 0; i < items.length; i++) {
    const item = items[i] as Item;
    if (i === head.at && head.kind !== "pest" && head.kind !== "noun") continue;
    if (item.subject || is(item, "place")) continue;
    if (draft.used.has(i) && i !== head.at && i !== head.complement) continue;
    const pest = value(item, "pest");
    if (
      pest &&
      !entry.pest &&
      (head.act === "pest" || head.act === "treat" || head.act === "clean" || head.act === "lose")
    ) {
      if (head.act === "lose") entry.cause = pest;
      else entry.pest = pest;
      draft.used.add(i);
      continue;
    }
    const substrate = value(item, "substrate");
    if (substrate && SUBSTRATE_ACTS.has(head.act)) {
      const before = items[i - 1];
      const kind =
        before?.token.kind === "word" && before.senses.length === 0 && !before.subject && !before.time
          ? `${before.token.lower} ${substrate}`
          : substrate;
      entry.substrate = entry.substrate ? `${entry.substrate} and ${kind}` : kind;
      draft.used.add(i);
    }
    const product = value(item, "product");
    if (product && !entry.product && PRODUCT_ACTS.has(head.act)) {
      const more = items[i + 1];
      const longer =
        more &&
        more.token.kind === "word" &&
        more.senses.length === 0 &&
        !/ed$/.test(more.token.key) &&
        !more.subject &&
        !more.time &&
        !more.measure &&
        (i + 2 >= items.length || is(items[i + 2], "prep") || items[i + 2]?.measure || items[i + 2]?.time);
      entry.product = longer ? `${product} ${more.token.lower}` : product;
      draft.used.add(i);
    }
    const cause = value(item, "cause") ?? (value(item, "seen") === "rot" ? "rot" : undefined);
    if (cause && !entry.cause && head.act === "lose") {
      entry.cause = cause;
      draft.used.add(i);
    }
  }
  if (head.act === "acquire" || head.act === "order" || head.act === "give_away") fillParties(view, draft);
}

/** "fed with rose feed", "1 g per litre of tea": a product that no table knows, as it was written. */
function fillProduct(view: ClauseView, draft: Draft): void {
  const { items, tokens } = view;
  for (let i = 0; i + 1 < items.length; i++) {
    const prep = value(items[i], "prep");
    const diluted = prep === "of" && items[i - 1]?.measure?.dimension?.includes("/");
    if (prep !== "with" && !diluted) continue;
    let start = i + 1;
    while (is(items[start], "det") || items[start]?.measure || value(items[start], "prep") === "of") start++;
    let end = start;
    while (end < items.length && !stopsProduct(items[end] as Item)) end++;
    if (end === start) continue;
    const written = textOf(tokens, (items[start] as Item).start, (items[end - 1] as Item).end).toLowerCase();
    draft.entry.product = written.replace(/(pellet|trap|nematode|granule|tablet|stick|spike)s$/, "$1");
    for (let k = start; k < end; k++) draft.used.add(k);
    return;
  }
}
const stopsProduct = (item: Item): boolean =>
  Boolean(item.time || item.measure || item.subject) ||
  is(item, "prep") ||
  is(item, "place") ||
  is(item, "member") ||
  is(item, "courtesy") ||
  item.token.kind !== "word" ||
  is(item, "pron") ||
  (is(item, "filler") && !is(item, "actnoun"));

/** From whom it came, to whom it went: the words behind "from" or "to". */
function fillParties(view: ClauseView, draft: Draft): void {
  const { items, tokens, head } = view;
  const wanted = head.act === "give_away" ? "to" : "from";
  for (let i = 0; i < items.length; i++) {
    const item = items[i] as Item;
    const opens = value(item, "prep") === wanted || (wanted === "from" && value(item, "prep") === "at");
    if (!opens || i + 1 >= items.length) continue;
    let end = i + 1;
    while (
      end < items.length &&
      !items[end]?.time &&
      !(items[end]?.measure && !items[end]?.measure?.article) &&
      !(
        end > i + 1 &&
        is(items[end], "prep") &&
        value(items[end], "prep") !== "of" &&
        !(items[end + 1]?.token.capital || items[end + 1]?.unknown)
      ) &&
      items[end]?.token.kind !== "emoji"
    )
      end++;
    const start =
      items[i + 1]?.token.key === "the" || (items[i + 1]?.measure?.article && end > i + 2) ? i + 2 : i + 1;
    if (start >= end) continue;
    // "to Pete" is Pete, whatever follows; "to Pete's neighbour" is not.
    const member = items[start]?.token.lower.endsWith("'s") ? undefined : value(items[start], "member");
    if (member) end = start + 1;
    const who = member ?? textOf(tokens, (items[start] as Item).start, (items[end - 1] as Item).end);
    if (wanted === "to") draft.entry.recipient = who;
    else draft.entry.origin = who;
    for (let k = i; k < end; k++) {
      draft.used.add(k);
      if (items[k]?.subject && draft.entry.subjects) dropSubject(draft, items[k] as Item);
    }
    return;
  }
  if (head.act === "give_away" && head.kind === "light") {
    const next = items[head.at + 1];
    const person =
      value(next, "member") ??
      (is(next, "kin") ? textOf(tokens, (next as Item).start, (next as Item).end) : undefined);
    if (person) {
      draft.entry.recipient = person;
      draft.used.add(head.at + 1);
    }
  }
}

function dropSubject(draft: Draft, item: Item): void {
  const kept = (draft.entry.subjects ?? []).filter(
    (one) => one.genus !== item.subject?.genus || one.group !== item.subject?.group,
  );
  if (kept.length > 0) draft.entry.subjects = kept;
}

function fillDoer(view: ClauseView, draft: Draft): void {
  const doer =
    findDoer(view) ?? (view.head.at < 0 && view.head.act !== "give_away" ? leadingDoer(view) : undefined);
  if (!doer) return;
  draft.ownDoer = true;
  for (const i of doer.used) draft.used.add(i);
  const giver =
    view.head.act === "acquire" &&
    (givesMe(view) || view.items.some((item, i) => doer.used.includes(i) && value(item, "prep") === "by"));
  if (doer.person && giver) draft.entry.origin ??= doer.person;
  else if (doer.person) draft.entry.person = doer.person;
}

/** "... and I the gasterias", "... and Aroha the cymbidiums": the doer of an act that was said before. */
function leadingDoer(view: ClauseView): { person?: string; used: number[] } | undefined {
  const name = view.items.findIndex((item) => item.subject !== undefined || is(item, "place"));
  for (let i = 0; i < name; i++) {
    if (is(view.items[i], "self")) return { used: [i] };
    const member = value(view.items[i], "member");
    if (member) return { person: member, used: [i] };
  }
  return undefined;
}

/** "Bert gave me three astrophytums": the doer is where they came from. */
const givesMe = (view: ClauseView): boolean => value(view.items[view.head.at], "light") === "give";
