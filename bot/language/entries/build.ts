import { moment, stamp } from "../calendar/civil.js";
import type { TimeExpr } from "../calendar/expression.js";
import type { Clause } from "../clauses/clause.js";
import { readsValue } from "../clauses/clause.js";
import type { Head } from "../clauses/head.js";
import type { Entry, Subject, When } from "../interpretation.js";
import { type Item, is, says, value } from "../item.js";
import type { Token } from "../tokenise.js";
import { isPlantAct } from "./acts.js";
import { type Circumstances, settleIn } from "./circumstances.js";
import type { Draft } from "./draft.js";
import { named } from "./named.js";
import { shareParty } from "./parties.js";
import { readingEntry, readingsIn } from "./readings.js";
import { share } from "./share.js";
import { fillSlots } from "./slots.js";
import { followingTime, precedingTime } from "./when.js";

/** An entry with what is needed to judge it. */
export interface Built {
  entry: Entry;
  clause: number;
  head?: Head;
  draft: Draft;
  /** Its object stands behind the verb after it: "watered and fed the long house". */
  lent?: true;
  /** The reading's statistic was said in words. */
  stated?: boolean;
}

const READING_HEAD: Head = { act: "reading", kind: "reading", form: "none", at: -1 };

/** Builds the entries of every clause and hands down what a clause leaves out from the one before. */
export function buildEntries(
  clauses: readonly Clause[],
  tokens: readonly Token[],
  circumstances: Circumstances,
): Built[] {
  const told: Built[] = [];
  clauses.forEach((clause, index) => {
    const previous = told.at(-1);
    const head = clause.head ?? clause.lent ?? (clause.inherits ? inheritedHead(previous) : undefined);
    if (
      !head ||
      (head.kind === "base" && readsValue(clause.items) && !is(clause.items[head.at], "imperative")) ||
      (head.kind === "state" && readsValue(clause.items) && !named(clause.items) && !ofOthers(clause)) ||
      (head.kind === "noun" && readsValue(clause.items) && !named(clause.items))
    ) {
      told.push(...readingBuilt(clause, index, tokens, circumstances));
      return;
    }
    const draft = fillSlots({ items: clause.items, head, tokens }, circumstances);
    told.push({
      entry: draft.entry,
      clause: index,
      head,
      draft,
      ...(clause.inherits && { lent: true as const }),
    });
    if (head.act === "power_cut") told.push(...powerBack(clause, index, draft, circumstances));
    told.push(...besides(clause, index, draft, tokens, circumstances));
  });
  const built = told.filter((one, i) => !shadeDensity(one, told[i - 1], clauses[one.clause]));
  inherit(built, clauses, circumstances);
  credit(built, clauses);
  shareDay(built, clauses, circumstances);
  share(built, clauses);
  return built.filter(
    (one, i) =>
      !built
        .slice(0, i)
        .some((other) => other.clause !== one.clause && written(other.entry) === written(one.entry)),
  );
}

/** An entry as text, the same whatever order its keys were filled in. */
const written = (entry: Entry): string =>
  JSON.stringify(Object.entries(entry).sort(([one], [other]) => (one < other ? -1 : 1)));

/** "shade cloth went up, 50 %": how dense it is, and no humidity. */
const shadeDensity = (one: Built, before: Built | undefined, clause: Clause | undefined): boolean =>
  before?.entry.act === "shade" &&
  one.entry.reading?.unit === "%" &&
  !clause?.items.some((item) => is(item, "quantity") || (one.clause > before.clause && is(item, "place")));

const inheritedHead = (previous: Built | undefined): Head | undefined =>
  previous?.head && previous.head.kind !== "reading"
    ? ({ ...previous.head, at: -1, complement: undefined, slots: undefined } as Head)
    : undefined;

function readingBuilt(
  clause: Clause,
  index: number,
  tokens: readonly Token[],
  circumstances: Circumstances,
): Built[] {
  const found = readingsIn(clause.items, circumstances);
  if (found.length === 0) return [];
  const draft = fillSlots({ items: clause.items, head: READING_HEAD, tokens }, circumstances);
  delete draft.entry.subjects;
  delete draft.entry.tentative;
  return found.map((one) => {
    const entry: Entry = { ...readingEntry(one) };
    draft.used.add(one.at);
    const place = one.place ?? draft.entry.place;
    if (place && one.reading.quantity !== "outdoor_temperature") entry.place = place;
    if (one.reading.unit === "deg")
      entry.reading = { ...one.reading, unit: circumstances.imperial ? "[degF]" : "Cel" };
    const own = one.time && settleIn(one.time, circumstances, "past");
    if (own) entry.when = timeOfReading(own, one.reading.statistic);
    else if (draft.entry.when) entry.when = timeOfReading(draft.entry.when, one.reading.statistic);
    if (draft.time?.about) entry.tentative = true;
    if (draft.entry.person) entry.person = draft.entry.person;
    return { entry, clause: index, head: READING_HEAD, draft: { ...draft, entry }, stated: one.stated };
  });
}

/** "power off from two until four": the end of the time is when it came back. */
function powerBack(clause: Clause, index: number, draft: Draft, circumstances: Circumstances): Built[] {
  const window = clause.items.find((item) => item.time?.clockTo)?.time ?? hoursIn(clause.items);
  if (!window?.clock || !window.clockTo || !draft.entry.place) return [];
  const { clockTo, ...rest } = window;
  const from = settleIn(rest, circumstances, "past");
  const back = settleIn({ ...rest, clock: clockTo }, circumstances, "past");
  if (!from || !back) return [];
  draft.entry.when = from;
  const entry: Entry = { act: "power_back", place: draft.entry.place, when: back };
  return [
    {
      entry,
      clause: index,
      head: { ...(clause.head as Head), act: "power_back" },
      draft: { ...draft, entry },
    },
  ];
}

/** "from two until four in the afternoon": two bare hours, with the day and the part of it that are said. */
function hoursIn(items: readonly Item[]): TimeExpr | undefined {
  const at = items.findIndex(
    (item, i) => value(item, "prep") === "from" && hour(items[i + 1]) && items[i + 2] && hour(items[i + 3]),
  );
  if (at < 0) return undefined;
  const clock = (item: Item | undefined) => ({ hour: item?.measure?.value ?? 0, minute: 0, exact: false });
  const said = items.flatMap((item) => (item.time && !item.weakTime ? [item.time] : []));
  return Object.assign({}, ...said, { clock: clock(items[at + 1]), clockTo: clock(items[at + 3]) });
}

const hour = (item: Item | undefined): boolean =>
  item?.measure !== undefined && !item.measure.unit && item.measure.value <= 24 && item.measure.value >= 0;

/** A minimum read "this morning" is that of the night just ended. */
function timeOfReading(when: When, statistic: string): When {
  const morning = when.grain === "part" && when.from.endsWith("T06:00");
  if (statistic !== "min" || !morning) return when;
  const { day } = moment(when.from);
  return { from: stamp(day - 1, 18 * 60), to: stamp(day, 8 * 60), grain: "night" };
}

/** A reading told in the same breath as an act: "opened the vents at noon as LH hit 30". */
function besides(
  clause: Clause,
  index: number,
  draft: Draft,
  tokens: readonly Token[],
  circumstances: Circumstances,
): Built[] {
  const free = clause.items.filter((item, i) => !(item.measure && draft.used.has(i)));
  const told = free.some((item) => item.measure && !item.measure.article && !item.time && !item.subject);
  const spoken =
    free.some((item) => is(item, "stat") || (is(item, "reach") && value(item, "reach") !== "current")) ||
    free.some((item) => item.measure?.dimension === "temperature" || item.measure?.dimension === "percent");
  if (!told || !spoken) return [];
  return readingBuilt({ ...clause, items: free }, index, tokens, circumstances).filter(
    (one) => one.stated || one.entry.reading?.unit === "%" || one.entry.place,
  );
}

/** "aloes watered, Bert did the watering": the second clause tells but who did what the first one tells. */
function credit(built: Built[], clauses: readonly Clause[]): void {
  for (let i = built.length - 1; i > 0; i--) {
    const { entry, clause } = built[i] as Built;
    const before = built[i - 1]?.entry as Entry;
    const { items } = clauses[clause] as Clause;
    const did = items.findIndex((item) => says(item, "did likewise"));
    const names = did > 0 && is(items[did + 1], "det") && !items.some((item) => item.subject || item.time);
    if (!names || entry.act !== before.act || !entry.person || before.person) continue;
    before.person = entry.person;
    built.splice(i, 1);
  }
}

const HANDED_DOWN = ["place", "when", "person"] as const;

function inherit(built: Built[], clauses: readonly Clause[], circumstances: Circumstances): void {
  for (let i = 1; i < built.length; i++) {
    const one = built[i] as Built;
    const before = built[i - 1] as Built;
    if (one.clause === before.clause) {
      if (one.entry.reading && before.entry.reading) sameBreath(one.entry, before.entry);
      continue;
    }
    const { entry, draft } = one;
    const plants = isPlantAct(entry.act);
    // "aeoniums have scorched, so I put the shading up": the house is shaded.
    const housed = entry.act === "shade" && one.head?.kind === "equipment" && !draft.pronoun;
    if (
      plants &&
      !housed &&
      !entry.subjects &&
      (draft.pronoun || !named((clauses[one.clause] as Clause).items))
    ) {
      const those =
        (clauses[one.clause] as Clause).inherits === true &&
        (clauses[one.clause] as Clause).items.some((item) => value(item, "det") === "these");
      const source = strayNoun(one, clauses[one.clause] as Clause) ? undefined : lastSubjects(built, i);
      if (source?.subjects && (!entry.place || those)) {
        entry.subjects = source.subjects.map((subject) =>
          entry.act === "sow" ? withoutCount(subject) : { ...subject },
        );
        if (source.except) entry.except = source.except;
      } else if (source?.subjects && draft.pronoun)
        entry.subjects = source.subjects.map((subject) => ({ ...subject }));
    }
    if (one.head?.slots?.exchanged) shareParty(before.entry, entry, (clauses[one.clause] as Clause).items);
    if (entry.act === "give_away") ofParent(entry, built.slice(0, i));
    const taken = takenUp((clauses[one.clause] as Clause).items, entry, built.slice(0, i));
    if (plants && taken) entry.subjects = taken;
    countInherited(one, before.entry, clauses[one.clause] as Clause);
    if (
      !entry.place &&
      entry.act !== "move" &&
      (clauses[one.clause] as Clause).items.some((item) => is(item, "there"))
    ) {
      const there = before.entry.to ?? before.entry.place;
      if (there) entry.place = there;
    }
    const { time } = draft;
    const follows =
      time && before.draft.time && before.entry.when
        ? followingTime(time, before.draft.time, before.entry.when, circumstances)
        : undefined;
    if (follows) {
      entry.when = follows.when;
      draft.time = follows.time;
    }
    for (const key of HANDED_DOWN) {
      if (entry[key] !== undefined) continue;
      if (key === "person" && draft.ownDoer) continue;
      if (key === "when" && (clauses[one.clause] as Clause).items.some(isNow)) continue;
      // "no water for the cacti till March, gave the gasterias a sip"
      if (key === "when" && before.draft.time?.open === "until") continue;
      if (
        key === "place" &&
        (entry.act === "move" ||
          before.entry.act === "move" ||
          entry.reading?.quantity === "outdoor_temperature")
      )
        continue;
      if (before.entry[key] === undefined) continue;
      if (key === "place" && !sharesPlace(entry, before.entry)) continue;
      (entry as unknown as Record<string, unknown>)[key] = before.entry[key];
    }
    if (entry.act === "reading" && before.entry.act !== "reading" && entry.place === undefined) continue;
  }
}
/** "... and sowed the rest of the seed": of the same kind, however many were spoken of before. */
function withoutCount({ count: _, ...subject }: Subject): Subject {
  return subject;
}

/** "pruned the jade and gave Bert six of the cuttings": they are of the plants spoken of before. */
function ofParent(entry: Entry, before: readonly Built[]): void {
  const [only, ...others] = entry.subjects ?? [];
  const parents = before.at(-1)?.entry.subjects;
  if (only?.group !== "cuttings" || others.length > 0 || !parents || parents.some(({ group }) => group))
    return;
  entry.subjects = parents.map((subject) => ({ ...subject }));
  if (only.count !== undefined) entry.count = only.count;
}

/** Two values of one clause have its place, time and doer alike. */
function sameBreath(entry: Entry, before: Entry): void {
  if (!entry.when && before.when) entry.when = before.when;
  if (!entry.person && before.person) entry.person = before.person;
  if (!entry.place && before.place && entry.reading?.quantity !== "outdoor_temperature")
    entry.place = before.place;
}

/**
 * "sprayed both", "labelled the lot", "repotted all three": the plants spoken of before, or undefined. "Both" is of
 * two that were told apart as well.
 */
function takenUp(items: readonly Item[], entry: Entry, before: readonly Built[]): Subject[] | undefined {
  const own = items.some((item) => item.subject && !item.subject.all);
  if (own || before.length === 0) return undefined;
  const both = items.some((item) => value(item, "pron") === "both");
  const lot = items.some((item, i) => item.subject?.all && refersBack(item, items[i + 1]));
  if (!both && !lot) return undefined;
  if (entry.place && lot) return undefined;
  const told: Subject[] = [];
  for (const one of [...before].reverse()) {
    const more = (one.entry.subjects ?? []).filter((subject) => !told.some((other) => same(other, subject)));
    if (more.some((subject) => subject.all)) return undefined;
    told.unshift(...more.map((subject) => ({ ...subject })));
    if (both && (told.length > 1 || told.some((subject) => subject.count === 2))) break;
  }
  return told.length > 0 ? told : undefined;
}

/** "the lot" and "all three" are those spoken of; "everything" is all there is. */
const refersBack = (item: Item, next: Item | undefined): boolean =>
  value(item, "all") === "lot" ||
  (next?.measure !== undefined && !next.measure.unit && !next.measure.article);

const same = (one: Subject, other: Subject): boolean => JSON.stringify(one) === JSON.stringify(other);

/** "potted two of them", "potted one": a number that stands for some of the plants spoken of before. */
function countInherited(one: Built, before: Entry, clause: Clause): void {
  const { entry, head, draft } = one;
  if (!entry.subjects || named(clause.items) || entry.count !== undefined || !head) return;
  const at = clause.items.findIndex(
    (item, i) =>
      (i > head.at || says(clause.items[i - 1], "the others")) &&
      item.measure &&
      !item.measure.unit &&
      !item.measure.article &&
      !item.time &&
      !draft.used.has(i) &&
      !is(clause.items[i - 1], "prep") &&
      !clause.items[i + 1]?.measure &&
      !["substrate", "product", "pot", "material"].some((cls) => is(clause.items[i + 1], cls)),
  );
  const count = clause.items[at]?.measure?.value;
  if (count === undefined || !Number.isInteger(count) || count < 1) return;
  draft.used.add(at);
  if (before.count !== undefined && !ofOthers(clause)) entry.count = count;
  else entry.subjects = entry.subjects.map((subject) => ({ ...subject, count }));
}
const sharesPlace = (entry: Entry, before: Entry): boolean =>
  entry.place === undefined && before.place !== undefined;

/** "the other six are still dormant": what is left of those spoken of before. */
const ofOthers = ({ items }: Clause): boolean => items.slice(0, 2).some((item) => says(item, "the others"));

/** "but the hose was frozen": what is said to be so is something else than the plants before. */
function strayNoun(one: Built, clause: Clause): boolean {
  const { head } = one;
  if (!head || (head.kind !== "state" && head.kind !== "seen")) return false;
  if (ofOthers(clause)) return false;
  return clause.items
    .slice(0, Math.max(head.at, 0))
    .some(
      (item, i, lead) =>
        item.token.kind === "word" &&
        !item.time &&
        !item.measure &&
        !item.subject &&
        (item.senses.length === 0 ||
          (value(lead[i - 1], "det") === "the" && is(lead[i + 1], "be") && !ofPlant(item))),
    );
}

/** "the roots are rotten", "the rest was frozen": what stands for the plants spoken of before. */
const ofPlant = (item: Item): boolean =>
  ["part", "nounleaf", "seen", "seedling", "seednoun", "head", "collective", "pron", "uppredicate"].some(
    (cls) => is(item, cls),
  );

/** "now" is the moment of writing and ends an inherited time. */
const isNow = (item: Item): boolean =>
  value(item, "stat") === "current" || (item.time?.span?.kind === "ago" && item.time.span.count === 0);

/** The day of the last hour of a list for the hours before it. */
function shareDay(built: Built[], clauses: readonly Clause[], circumstances: Circumstances): void {
  for (let i = built.length - 1; i > 0; i--) {
    const one = built[i] as Built;
    const before = built[i - 1] as Built;
    if (one.clause === before.clause || clauses[one.clause]?.before === 3) continue;
    const { time } = before.draft;
    const found = time && one.draft.time ? precedingTime(time, one.draft.time, circumstances) : undefined;
    if (!found) continue;
    before.entry.when = found.when;
    before.draft.time = found.time;
  }
}

function lastSubjects(built: readonly Built[], before: number): Entry | undefined {
  for (let i = before - 1; i >= 0; i--) if (built[i]?.entry.subjects) return built[i]?.entry;
  return undefined;
}
