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
  /** The act that a clause without a verb goes on with. */
  carries?: Act;
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
  const plants =
    items.some((item) => item.subject) && !items.some((item) => is(item, "quantity") || is(item, "stat"));
  for (let i = 0; i < items.length; i++) {
    const item = items[i] as Item;
    const measure = item.measure;
    if (!measure || item.quoted || items[i + 1]?.subject || measure.article) continue;
    if (plants && !measure.dimension && !measure.signed) continue;
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
  const headed = joinExceptions(segments).flatMap(splitLeadingNames).flatMap(splitRunOn);
  const result: Clause[] = [];
  let pending: Headed[] = [];
  headed.forEach((part, index) => {
    const last = result.at(-1);
    const follow =
      nameIndex(part.items) < 0 && part.head?.kind !== "equipment"
        ? followUpHead(part.items, last?.head)
        : undefined;
    const repeats =
      last?.head &&
      last.head.kind !== "noun" &&
      part.head?.kind === "noun" &&
      part.head.act === last.head.act;
    if (repeats && part.before <= 2 && nameIndex(part.items) >= 0) delete part.head;
    if (follow) part.head = follow;
    else if (!part.head && last?.head?.act === "pest" && nameIndex(part.items) < 0) {
      const remedy = part.items.findIndex((item) => is(item, "product") && !is(item, "feedstuff"));
      if (remedy >= 0) part.head = { act: "treat", kind: "verb", form: "past", at: remedy };
    }
    if (last && continues(part, last)) {
      result.push(carried(part, last));
    } else if (last && part.head && particular(part, last)) append(last, part);
    else if (
      last?.head &&
      COUNTED_ACTS.has(last.head.act) &&
      part.reading &&
      !part.items.some((item) => item.measure?.unit || is(item, "stat") || is(item, "quantity"))
    )
      append(last, part);
    else if (
      part.head ||
      part.reading ||
      (valueOnly(part.items) &&
        ((last && !last.head) || pending.some((one) => one.items.some((item) => is(item, "place")))))
    ) {
      const clause: Clause = { items: part.items, before: part.before, joint: part.joint };
      if (part.head) clause.head = part.head;
      for (const earlier of pending.reverse()) prepend(clause, earlier);
      pending = [];
      result.push(clause);
    } else if (!last) pending.push(part);
    else if (pending.length > 0 || belongsForward(part, headed[index + 1], last)) pending.push(part);
    else if (otherVerb(part) || predicated(part))
      result.push({ items: part.items, before: part.before, joint: part.joint });
    else if (startsAnew(last, part)) {
      result.push(carried(part, last));
    } else append(last, part);
  });
  const last = result.at(-1);
  for (const part of pending) {
    if (last) append(last, part);
    else result.push({ items: part.items, before: part.before, joint: part.joint });
  }
  return result;
}

const actOf = (clause: Clause): Act | undefined => clause.head?.act ?? clause.carries;

function carried(part: Headed, last: Clause): Clause {
  const act = actOf(last);
  return {
    items: part.items,
    before: part.before,
    joint: part.joint,
    inherits: true,
    ...(act && { carries: act }),
  };
}

/** "everything but the cacti": the exception is part of the list before it, whatever else stands behind. */
function joinExceptions(segments: readonly Segment[]): Segment[] {
  const joined: Segment[] = [];
  for (const part of segments) {
    const before = joined.at(-1);
    const sweeping = before?.items
      .slice(-4)
      .some((item) => item.subject?.all || item.subject?.group || item.token.key === "all");
    if (before && part.joint === "but" && sweeping && nameIndex(part.items) >= 0 && !headOf(part.items)) {
      const first = part.items[0] as Item;
      before.items.push(
        { start: first.start, end: first.start, token: first.token, senses: EXCEPTING },
        ...part.items,
      );
    } else joined.push({ ...part, items: [...part.items] });
  }
  return joined;
}

/** "watered the aloes, just a sip": a noun of the same act adds a particular to it. */
const particular = (part: Headed, last: Clause): boolean =>
  (part.head?.kind === "noun" ||
    (last.head?.act === "lose" && (part.head?.kind === "seen" || part.head?.kind === "pest"))) &&
  (last.head?.act === part.head?.act || last.head?.act === "lose") &&
  last.head.kind !== "noun" &&
  nameIndex(part.items) < 0;

/** "all the cacti stay dry": the word behind the names says something of them that is no act of ours. */
const predicated = (part: Headed): boolean => {
  const name = part.items.findLastIndex((item) => item.subject);
  const next = part.items[name + 1];
  if (name < 0 || next?.token.kind !== "word" || next.time || next.measure) return false;
  return (
    next.senses.length === 0 ||
    next.senses.every((sense) => sense.cls === "degree" || sense.cls === "insideword")
  );
};

/** "... and left the summer growers alone": a verb that no table knows makes the names its own. */
const otherVerb = (part: Headed): boolean => {
  const [first, second] = part.items;
  return (
    first?.token.kind === "word" &&
    first.senses.length === 0 &&
    !first.subject &&
    !first.time &&
    !first.measure &&
    !first.unknown &&
    (is(second, "det") || is(second, "pron"))
  );
};

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
function continues(part: Headed, last: Clause): boolean {
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
  if (name < 0 && anotherTime(part.items, last.items)) return true;
  if (
    part.items.some((item) => item.time) &&
    name < 0 &&
    part.items.some((item) => item.token.key === "again") &&
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

type Slot = "time" | "amount" | "place" | "measure" | "name" | "person" | "stock";
function slotsIn(items: readonly Item[], act: Act | undefined): Set<Slot> {
  const found = new Set<Slot>();
  for (const item of items) {
    if (item.time && !item.weakTime) found.add("time");
    if (is(item, "dose") && act === "water") found.add("amount");
    if (is(item, "place")) found.add("place");
    if (item.measure?.unit || item.measure?.ratio !== undefined || item.measure?.strength !== undefined)
      found.add("amount");
    else if (item.measure && act && COUNTED_ACTS.has(act)) found.add("measure");
    if (item.subject) found.add("name");
    if (is(item, "member") || is(item, "kin")) found.add("person");
    if (item.token.key === "i" && is(item, "self")) found.add("person");
    if ((act === "acquire" || act === "order") && ["from", "at"].includes(value(item, "prep") ?? ""))
      found.add("stock");
    if (act === "graft" && ["on", "into"].includes(value(item, "prep") ?? "")) found.add("stock");
  }
  return found;
}

function startsAnew(last: Clause, part: Headed): boolean {
  const act = actOf(last);
  const mine = slotsIn(part.items, act);
  if (!mine.has("name")) return false;
  const theirs = slotsIn(last.items, act);
  if (!theirs.has("name")) return false;
  if (mine.has("person") && part.before <= 2) return true;
  for (const slot of ["time", "amount", "place", "person", "stock"] as const)
    if (mine.has(slot) && theirs.has(slot)) return true;
  if (act && COUNTED_ACTS.has(act) && (mine.has("measure") || theirs.has("measure"))) return true;
  return part.before === 3 && theirs.has("name");
}

/** "on Monday and Wednesday", "at 7, noon and 5": the same done again at another time. */
function anotherTime(items: readonly Item[], before: readonly Item[]): boolean {
  if (!items.every((item) => item.time || is(item, "prep") || is(item, "det") || is(item, "filler")))
    return false;
  const mine = items.find((item) => item.time)?.time;
  return before.some(
    (item) =>
      item.time && mine && !item.weakTime && ((item.time.day && mine.day) || (item.time.clock && mine.clock)),
  );
}

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
function splitLeadingNames(part: Segment): Segment[] {
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
function splitRunOn(part: Segment): Headed[] {
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

/** "sowed 10 pachypodium 10 adenium", "fatso 20oz tank 12oz": each plant with a number of its own. */
function cutList(items: readonly Item[], verb: number): number {
  const act = items[verb]?.senses.find((one) => one.cls === "act")?.value as Act | undefined;
  const counted = act !== undefined && COUNTED_ACTS.has(act);
  for (let i = Math.max(verb, 0) + 2; i < items.length; i++) {
    const item = items[i] as Item;
    const named = items.slice(0, i).some((one) => one.subject);
    const volume = items[i - 1]?.measure?.dimension === "volume" || items[i - 1]?.measure?.unit === "[oz_av]";
    if (item.subject && named && volume && items.slice(i).some((one) => one.measure?.unit)) return i;
    const bare =
      item.measure &&
      !item.measure.unit &&
      !item.measure.article &&
      !item.time &&
      item.measure.ratio === undefined;
    const after = items[i - 1];
    if (
      counted &&
      bare &&
      named &&
      (after?.subject || is(after, "seednoun") || is(after, "seedling")) &&
      items.slice(i + 1, i + 3).some((one) => one.subject)
    )
      return i;
  }
  return -1;
}

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
      (one) => one.cls === "act" && (one.form === "past" || one.form === "state"),
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
