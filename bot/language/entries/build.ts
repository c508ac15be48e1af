import { moment, stamp } from "../calendar/civil.js";
import type { TimeExpr } from "../calendar/expression.js";
import type { Clause } from "../clauses/clause.js";
import { readsValue } from "../clauses/clause.js";
import type { Head } from "../clauses/head.js";
import type { Entry, When } from "../interpretation.js";
import { type Item, is, value } from "../item.js";
import type { Token } from "../tokenise.js";
import { type Circumstances, settleIn } from "./circumstances.js";
import type { Draft } from "./draft.js";
import { credit, inherit, ofOthers, shareDay } from "./inherit.js";
import { named } from "./named.js";
import { readingEntry, readingsIn } from "./readings.js";
import { share } from "./share.js";
import { fillSlots } from "./slots.js";

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
  /** Read at the moment of writing: no time of the values beside it is its own. */
  now?: true;
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
    else if (draft.entry.when && !one.now)
      entry.when = timeOfReading(draft.entry.when, one.reading.statistic);
    if (draft.time?.about) entry.tentative = true;
    if (draft.entry.person) entry.person = draft.entry.person;
    return {
      entry,
      clause: index,
      head: READING_HEAD,
      draft: { ...draft, entry },
      stated: one.stated,
      ...(one.now && { now: true as const }),
    };
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
