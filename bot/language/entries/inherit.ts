import { moment, stamp } from "../calendar/civil.js";
import type { Clause } from "../clauses/clause.js";
import type { Entry, Subject } from "../interpretation.js";
import { type Item, is, says, value } from "../item.js";
import { isPlantAct } from "./acts.js";
import type { Built } from "./build.js";
import type { Circumstances } from "./circumstances.js";
import { named } from "./named.js";
import { shareParty } from "./parties.js";
import { followingTime, precedingTime } from "./when.js";

/** "aloes watered, Bert did the watering": the second clause tells but who did what the first one tells. */
export function credit(built: Built[], clauses: readonly Clause[]): void {
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

/** What is done to plants wherever it is done: "seed gathered from the lithops and sown in the frame". */
const HANDLED: ReadonlySet<string> = new Set(["sow", "repot", "prick_out", "top_dress"]);

/** Hands down to every entry what its clause leaves out and the one before told. */
export function inherit(built: Built[], clauses: readonly Clause[], circumstances: Circumstances): void {
  for (let i = 1; i < built.length; i++) {
    const one = built[i] as Built;
    const before = built[i - 1] as Built;
    if (one.clause === before.clause) {
      if (one.entry.reading && before.entry.reading) sameBreath(one, before.entry);
      continue;
    }
    const { entry, draft } = one;
    const clause = clauses[one.clause] as Clause;
    const plants = isPlantAct(entry.act);
    // "aeoniums have scorched, so I put the shading up": the house is shaded.
    const housed = entry.act === "shade" && one.head?.kind === "equipment" && !draft.pronoun;
    // "swept up after him in the bay": what was swept is the place.
    const swept = entry.place !== undefined && one.head?.slots?.needs === "place";
    if (plants && !housed && !swept && !entry.subjects && (draft.pronoun || !named(clause.items))) {
      const those = clause.inherits === true && clause.items.some((item) => value(item, "det") === "these");
      // "skipping Tank, he's asleep": why it was left out.
      const stray = before.entry.act !== "skip" && strayNoun(one, clause);
      const source = stray ? undefined : lastSubjects(built, i);
      if (source?.subjects && (!entry.place || those || HANDLED.has(entry.act))) {
        const others = one.head?.kind === "state" && entry.count !== undefined && !named(clause.items);
        entry.subjects = source.subjects.map((subject) =>
          entry.act === "sow" || others ? withoutCount(subject) : { ...subject },
        );
        // "three of the mammillarias are flowering, two in bud": two plants.
        const [only, ...more] = entry.subjects;
        if (others && only && more.length === 0 && entry.outOf === undefined && entry.act !== "germinate") {
          entry.subjects = [{ ...only, count: entry.count as number }];
          delete entry.count;
        }
        if (source.except) entry.except = source.except;
      } else if (source?.subjects && draft.pronoun)
        entry.subjects = source.subjects.map((subject) => ({ ...subject }));
    }
    if (one.head?.slots?.exchanged) shareParty(before.entry, entry, clause.items);
    if (entry.act === "give_away") ofParent(entry, built.slice(0, i));
    const taken = takenUp(clause.items, entry, built.slice(0, i));
    if (plants && taken) entry.subjects = taken;
    countInherited(one, before.entry, clause);
    if (!entry.place && entry.act !== "move" && clause.items.some((item) => is(item, "there"))) {
      const there = before.entry.to ?? before.entry.place;
      if (there) entry.place = there;
    }
    const { time } = draft;
    if (draft.later !== undefined && before.entry.when) {
      const day = moment(before.entry.when.from).day + draft.later;
      if (day <= circumstances.now.day) entry.when = { from: stamp(day), to: stamp(day + 1), grain: "day" };
    }
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
      if (key === "person" && (draft.ownDoer || one.head?.kind === "state")) continue;
      if (key === "when" && clause.items.some(isNow)) continue;
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
      (entry as unknown as Record<string, unknown>)[key] = before.entry[key];
    }
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
function sameBreath({ entry, now }: Built, before: Entry): void {
  if (!entry.when && before.when && !now) entry.when = before.when;
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
      (i > head.at || says(clause.items[i - 1], "the others") || (i === 0 && head.at === 1)) &&
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

/** "the other six are still dormant": what is left of those spoken of before. */
export const ofOthers = ({ items }: Clause): boolean =>
  items.slice(0, 2).some((item) => says(item, "the others"));

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
export function shareDay(built: Built[], clauses: readonly Clause[], circumstances: Circumstances): void {
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
