import { type Clause, COUNTED_ACTS } from "../clauses/clause.js";
import type { Entry } from "../interpretation.js";
import { is, value } from "../item.js";
import { isPlantAct } from "./acts.js";
import type { Built } from "./build.js";
import { named } from "./named.js";
import { isPart } from "./subjects.js";

/** What is said once and holds for several entries: the object, time, place or extreme of a list. */
export function share(built: Built[], clauses: readonly Clause[]): void {
  shareObject(built, clauses);
  shareTrailingWords(built, clauses);
  shareTrailingTime(built, clauses);
  shareTrailingPlace(built);
  sharePlaceOfPair(built, clauses);
  sharePairs(built);
  shareStatistics(built);
  settleAfter(built);
}

/** "opened the vents at nine and closed them at half past four": what undoes an act comes after it. */
function settleAfter(built: Built[]): void {
  for (let i = 1; i < built.length; i++) {
    const one = built[i] as Built;
    const start = built[i - 1]?.entry.when;
    const { when } = one.entry;
    if (one.head?.kind !== "equipment" || built[i - 1]?.head?.kind !== "equipment" || !when || !start)
      continue;
    if (when.from.slice(0, 10) !== start.from.slice(0, 10) || when.from >= start.from) continue;
    const hour = Number(when.from.slice(11, 13));
    if (!["hour", "moment"].includes(when.grain) || !["hour", "moment"].includes(start.grain) || hour >= 12)
      continue;
    one.entry.when = { ...when, from: later(when.from), to: later(when.to) };
  }
}

/** Twelve hours later; both lie on one day. */
const later = (at: string): string =>
  `${at.slice(0, 11)}${String(Number(at.slice(11, 13)) + 12).padStart(2, "0")}${at.slice(13)}`;

/** "15 and 62 % in the bay, 9 and 80 % in the lean-to": the place of a pair stands behind its second value. */
function sharePlaceOfPair(built: Built[], clauses: readonly Clause[]): void {
  for (let i = 0; i + 1 < built.length; i++) {
    const one = built[i] as Built;
    const next = built[i + 1] as Built;
    const own = (clauses[one.clause] as Clause).items.some((item) => is(item, "place"));
    const pair = (clauses[next.clause] as Clause).before === 1 && one.clause !== next.clause;
    const behind = (clauses[next.clause] as Clause).items.some((item) => is(item, "place"));
    if (own || !pair || !behind || (clauses[one.clause] as Clause).before < 2) continue;
    if (!one.entry.reading || !next.entry.reading || !next.entry.place) continue;
    if (one.entry.reading.quantity === next.entry.reading.quantity) continue;
    if (one.entry.reading.quantity !== "outdoor_temperature") one.entry.place = next.entry.place;
  }
}

/** "max in the bay 29, min 10.5; lean-to 24 and 3": two bare numbers of the next place go in the same order. */
function sharePairs(built: Built[]): void {
  for (let i = 3; i < built.length; i++) {
    const [first, second, third, fourth] = built.slice(i - 3, i + 1) as [Built, Built, Built, Built];
    const stats = [first, second].map((one) => one.entry.reading?.statistic);
    const paired =
      first.stated &&
      second.stated &&
      stats.includes("min") &&
      stats.includes("max") &&
      !third.stated &&
      !fourth.stated;
    const alike = [second, third, fourth].every(
      (one) => one.entry.reading?.quantity === first.entry.reading?.quantity,
    );
    if (!paired || !alike || third.entry.place === second.entry.place) continue;
    if (third.entry.place !== fourth.entry.place || first.entry.place !== second.entry.place) continue;
    for (const [one, like] of [
      [third, first],
      [fourth, second],
    ] as const) {
      if (!one.entry.reading || !like.entry.reading) continue;
      one.entry.reading = { ...one.entry.reading, statistic: like.entry.reading.statistic };
      one.stated = true;
    }
  }
}

/** What a verb may have been done to in place of plants. */
const OBJECTS = ["pron", "place", "substrate", "product", "pot"];

/** "cleaned and turned the aloes": the object behind the second verb is also that of the first. */
function shareObject(built: Built[], clauses: readonly Clause[]): void {
  for (let i = built.length - 1; i > 0; i--) {
    const one = built[i] as Built;
    const before = built[i - 1] as Built;
    const clause = clauses[one.clause] as Clause;
    const earlier = clauses[before.clause] as Clause;
    const chained = clause.before === 2 && one.lent === true && clause.items.length <= 2;
    if (one.clause === before.clause || !isPlantAct(before.entry.act)) continue;
    if (clause.before !== 1 && !chained) continue;
    if (before.entry.subjects || before.head?.kind !== "verb" || named(earlier.items)) continue;
    // "bought grit and repotted the aloes": what was bought is the grit.
    if (earlier.items.slice(before.head.at + 1).some((item) => OBJECTS.some((cls) => is(item, cls))))
      continue;
    before.lent = true;
    if (one.entry.subjects) before.entry.subjects = one.entry.subjects.map((subject) => ({ ...subject }));
    for (const key of ["except", "place", "when"] as const) {
      if (before.entry[key] === undefined && one.entry[key] !== undefined && one.entry.act !== "move") {
        (before.entry as unknown as Record<string, unknown>)[key] = one.entry[key];
      }
    }
  }
}

/** "humidity at 81% and the soil at 15.5 this morning": a time at the end of a pair is that of both. */
function shareTrailingTime(built: Built[], clauses: readonly Clause[]): void {
  const shared = new Set<Built>();
  for (let i = built.length - 1; i > 0; i--) {
    const one = built[i] as Built;
    const before = built[i - 1] as Built;
    const clause = clauses[one.clause] as Clause;
    const gapped = clause.inherits === true && one.entry.act === before.entry.act;
    const given = one.head?.kind === "light" && one.head.at < 0;
    const list =
      ((one.entry.act === "reading" && before.entry.act === "reading") || gapped || given) &&
      clause.before <= 2;
    if (one.clause === before.clause || (clause.before !== 1 && !list)) continue;
    // "mealies on the hoyas treated em last night": when they were treated.
    if (clause.joint === "" && before.entry.act === "pest" && one.entry.act === "treat") continue;
    if ((!ownTime(clause) && !shared.has(one)) || ownTime(clauses[before.clause] as Clause)) continue;
    // "at 7 and again at noon": each has its hour.
    if (gapped && before.draft.time?.clock && one.draft.time?.clock) continue;
    if (one.draft.ownDoer && one.entry.person && !gapped) continue;
    const moments = one.entry.when;
    if (!moments || (before.entry.act === "reading") !== (one.entry.act === "reading")) continue;
    before.entry.when = moments;
    shared.add(before);
  }
}
/**
 * "min 4 in the long house, 12 on the warm bench": an extreme said once holds for the same quantity at other
 * places of the list; a temperature of a night is its minimum.
 */
function shareStatistics(built: Built[]): void {
  for (let i = 0; i < built.length; i++) {
    const one = built[i] as Built;
    const reading = one.entry.reading;
    if (!reading || one.stated || !reading.quantity.endsWith("temperature")) continue;
    const source = [built[i - 1], built[i + 1]].find((other) => listed(other, one) && other?.stated);
    if (source?.entry.reading) {
      one.entry.reading = { ...reading, statistic: source.entry.reading.statistic };
      one.stated = true;
    } else if (one.entry.when?.grain === "night" && reading.quantity !== "soil_temperature") {
      one.entry.reading = { ...reading, statistic: "min" };
    }
  }
}

const listed = (other: Built | undefined, one: Built): boolean =>
  other?.entry.reading !== undefined &&
  other.clause !== one.clause &&
  other.entry.reading.quantity.endsWith("temperature") &&
  (other.entry.place !== one.entry.place) !==
    (JSON.stringify(other.entry.when) !== JSON.stringify(one.entry.when));

/** "low of 4 and high of 18 in the long house": a place named last is that of all the readings of the list. */
function shareTrailingPlace(built: Built[]): void {
  for (let i = built.length - 1; i > 0; i--) {
    const one = built[i] as Built;
    const before = built[i - 1] as Built;
    if (before.entry.place || !one.entry.place) continue;
    if (isPlantAct(before.entry.act) || isPlantAct(one.entry.act)) continue;
    if (before.entry.reading?.quantity === "outdoor_temperature" || before.draft.entry.place) continue;
    before.entry.place = one.entry.place;
  }
}

const ownTime = (clause: Clause): boolean => clause.items.some((item) => item.time && !item.weakTime);

/**
 * "sowed 10 pachypodium 10 adenium in the sunroom", "repotted Spotty (15cm) and S-007 (11cm) in pumice mix", "ten of
 * Sedum and six of Crassula by Aroha": what stands last holds for the whole list under one verb.
 */
function shareTrailingWords(built: Built[], clauses: readonly Clause[]): void {
  for (let i = built.length - 1; i > 0; i--) {
    const one = built[i] as Built;
    const before = built[i - 1] as Built;
    const clause = clauses[one.clause] as Clause;
    const earlier = clauses[before.clause] as Clause;
    if (one.entry.act !== before.entry.act || one.clause === before.clause || clause.before > 2) continue;
    const listed = clause.inherits === true || earlier.lent !== undefined;
    if (clause.before === 1 && !earlier.items.some(isPart)) ofSeed(before.entry, one.entry, earlier);
    if (listed && one.entry.origin && !before.entry.origin) before.entry.origin = one.entry.origin;
    if (listed && one.entry.substrate && !before.entry.substrate)
      before.entry.substrate = one.entry.substrate;
    const counted = COUNTED_ACTS.has(one.entry.act);
    const by = clause.items.some((item) => value(item, "prep") === "by");
    if ((listed || counted) && by && one.entry.person && !before.draft.ownDoer)
      before.entry.person = one.entry.person;
    if (listed && counted && before.entry.place === undefined && one.entry.place !== undefined)
      before.entry.place = one.entry.place;
  }
}

/** "ordered 50 adenium and 20 pachypodium seeds": so many of one kind, named as a kind, are seeds as well. */
function ofSeed(entry: Entry, after: Entry, clause: Clause): void {
  const [only, ...others] = entry.subjects ?? [];
  if (after.count === undefined || only?.count === undefined || others.length > 0) return;
  const kind = clause.items.some((item) => item.subject && item.token.key === only.genus?.toLowerCase());
  if (!kind || only.count < 2) return;
  entry.count = only.count;
  delete only.count;
}
