import { type Item, is, itemOf, says, unread, value } from "../item.js";
import { dilutedProduct } from "./diluted.js";
import { continues, ownedApart, startsAnew } from "./gapped.js";
import { alsoGiven, givesMore, givesReason, losesMore, particular } from "./given-more.js";
import { followUpHead, type Head, headOf } from "./head.js";
import { EXCEPTING, joinAsides, joinExceptions } from "./joined.js";
import { joinLongObjects } from "./long-object.js";
import { actOf, type Clause, COUNTED_ACTS, type Headed, nameIndex } from "./parts.js";
import { formerPot } from "./pot-exchange.js";
import { splitLeadingNames, splitRunOn } from "./run-on.js";
import type { Segment } from "./segment.js";
import { shareSwitch } from "./shared-switch.js";
import { joinFalling, remarksSeason } from "./sighted.js";

export { type Clause, COUNTED_ACTS, readsValue } from "./parts.js";

/**
 * Groups segments into clauses: each head with the names, times and places that belong to it; lists join
 * ("aloes, haworthias and gasterias"), a second set of particulars parts ("the aloes on Monday, the
 * gasterias on Tuesday").
 */
export function clauses(segments: readonly Segment[]): Clause[] {
  const headed = joinLongObjects(joinExceptions(joinFalling(joinAsides(shareSwitch(segments)))))
    .flatMap(splitLeadingNames)
    .flatMap(splitRunOn);
  const result: Clause[] = [];
  let pending: Headed[] = [];
  headed.forEach((part, index) => {
    const last = result.at(-1);
    const follow =
      nameIndex(part.items) < 0 && part.head?.kind !== "equipment"
        ? followUpHead(part.items, last?.head ?? switched(result))
        : undefined;
    const repeats =
      last?.head &&
      last.head.kind !== "noun" &&
      part.head?.kind === "noun" &&
      part.head.act === last.head.act;
    if (repeats && part.before <= 2 && nameIndex(part.items) >= 0) delete part.head;
    const more = last !== undefined && losesMore(part, last);
    if (more || (last && givesReason(part, last))) delete part.head;
    const exchanged = part.head?.slots?.exchanged !== undefined;
    if (last?.head?.kind === "verb" && part.before === 1 && !exchanged && part.items.every(listable))
      delete part.head;
    if (last && listsOn(part, last)) delete part.head;
    if (last && givesMore(part, last)) part.head = alsoGiven(part, last);
    if (follow) part.head = follow;
    else if (!part.head && last?.head?.act === "pest" && nameIndex(part.items) < 0) {
      const known = part.items.findIndex((item) => is(item, "product") && !is(item, "feedstuff"));
      const remedy = known < 0 ? (dilutedProduct(part.items)?.from ?? -1) : known;
      // "Maureen did them with soap"
      const did = part.items.findIndex((item, i) => i < remedy && value(item, "light") === "do");
      if (remedy >= 0)
        part.head =
          did < 0
            ? { act: "treat", kind: "verb", form: "past", at: remedy }
            : { act: "treat", kind: "light", form: "past", at: did, complement: remedy };
    }
    if (last && (more || continues(part, last))) {
      result.push(carried(part, last));
    } else if (last && part.head && particular(part, last)) append(last, part);
    else if (last && actOf(last) === "repot" && !part.head && formerPot(part.items)) append(last, part);
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
      (last?.head?.kind === "equipment" && valueThere(part.items)) ||
      (valueOnly(part.items) &&
        ((last && !last.head && !(last.carries && COUNTED_ACTS.has(last.carries))) ||
          pending.some((one) => one.items.some((item) => is(item, "place")))))
    ) {
      const clause: Clause = { items: part.items, before: part.before, joint: part.joint };
      if (part.head) clause.head = part.head;
      if (part.head && ownedApart([...pending, part], part.head.act))
        result.push(...pending.map((one) => lentTo(one, part.head as Head)));
      else if (!part.head && pending.length > 0 && pending.every(ofWeather))
        result.push(...pending.map(({ items, before, joint }) => ({ items, before, joint })));
      else if (pending.length > 0 && tellsApart(pending, part))
        result.push(...pending.map(({ items, before, joint }) => ({ items, before, joint })));
      else if (pending.length > 0) {
        for (const earlier of pending.reverse()) prepend(clause, earlier);
        if (clause.head?.kind === "noun") clause.head = verbOver(clause.items) ?? clause.head;
      }
      pending = [];
      result.push(clause);
    } else if (!last) pending.push(part);
    else if (pending.length > 0 || belongsForward(part, headed[index + 1], last)) pending.push(part);
    else if (otherVerb(part) || predicated(part) || startsAct(part) || besideThePoint(part))
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

/** "opened the vents, the bay was at 33, shut again": the equipment spoken of before the last clause. */
const switched = (result: readonly Clause[]): Head | undefined => {
  const head = result.at(-2)?.head;
  return head?.kind === "equipment" ? head : undefined;
};

/** "Bert got best in show with his agave and I've put the rebutias back": another doer, another matter. */
const tellsApart = (pending: readonly Headed[], part: Headed): boolean =>
  (is(part.items[0], "self") || is(part.items[0], "member")) &&
  pending.some(({ items }) => items.some((item) => is(item, "light")) && items.some((item) => item.subject));

/** "gave the aloes and S-007 half a pint": the verb of the whole list, where its last part seemed to have a noun only. */
const verbOver = (items: readonly Item[]): Head | undefined => {
  const head = headOf(items);
  return head?.kind === "light" ? head : undefined;
};

/** "snow on the roof and 3.4 in the lean-to": a word about the weather before what was read off. */
const ofWeather = ({ items, before }: Headed): boolean =>
  before === 0 &&
  (is(items[0], "occasion") || is(items[0], "cause")) &&
  items
    .slice(1)
    .every(
      (item) =>
        WEATHER.some((cls) => is(item, cls)) || item.time || (item.senses.length === 0 && !item.measure),
    );
const WEATHER = ["occasion", "cause", "fitting", "around", "det", "prep", "elsewhere", "placeword"];

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

/** An item of a list whose verb stands behind the last one. */
const lentTo = (part: Headed, head: Head): Clause => ({
  items: part.items,
  before: part.before,
  joint: part.joint,
  inherits: true,
  carries: head.act,
  lent: { act: head.act, kind: head.kind, form: head.form, at: -1 },
});

/** "ordered 4 conophytums and 2 titanopsis from Geoff": the end of the list, and no arrival of its own. */
const listsOn = (part: Headed, last: Clause): boolean =>
  part.before <= 2 &&
  part.head?.act === "acquire" &&
  part.head.kind === "noun" &&
  (last.head?.act === "order" || last.head?.act === "acquire") &&
  !part.items.some((item) => is(item, "arrive"));

/** "misted the seedlings and cuttings": a bare name at the end of a list is one of what the verb took. */
const listable = (item: Item): boolean => item.subject !== undefined || is(item, "det");

/** "all the cacti stay dry", "the agaves were fine": what is said of the names is no act of ours. */
const predicated = (part: Headed): boolean => {
  const name = part.items.findLastIndex((item) => item.subject);
  const next = part.items[name + 1];
  const said = part.items[name + 2];
  // "hoyas fed, cacti left dry"
  if (name >= 0 && says(next, "leaves as it is")) return true;
  if (name >= 0 && is(next, "be") && (is(said, "spared") || (said && unread(said)))) return true;
  if (name < 0 || next?.token.kind !== "word" || next.time || next.measure) return false;
  return (
    next.senses.length === 0 ||
    next.senses.every((sense) => sense.cls === "degree" || sense.cls === "insideword")
  );
};

/** "..., put 12 and 13 by the window": a verb in front has its own object, whatever it did to it. */
const startsAct = (part: Headed): boolean =>
  part.before === 2 &&
  says(part.items[0], "opens an act") &&
  part.items.some((item) => item.subject) &&
  !part.head;

/** "... supposed to freeze tonight", "... and it's April": the weather and the season are no part of what was done. */
const besideThePoint = ({ items }: Headed): boolean => says(items[0], "forecasts") || remarksSeason(items);

/** "... and left the summer growers alone": a verb that no table knows makes the names its own. */
const otherVerb = (part: Headed): boolean => {
  const [first, second] = part.items;
  return (
    first !== undefined &&
    (says(first, "leaves as it is") || (unread(first) && !first.unknown)) &&
    (is(second, "det") || is(second, "pron"))
  );
};

/** "vents open, 33 in there": a value where something was just switched or opened. */
const valueThere = (items: readonly Item[]): boolean =>
  items.some((item) => is(item, "there")) &&
  items.some((item) => item.measure && !item.measure.unit && !item.weakTime) &&
  items.every(
    (item) => item.measure || item.time || ["there", "filler", "det", "prep"].some((cls) => is(item, cls)),
  );

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
      at: head.at < 0 ? head.at : head.at + shift,
      ...(head.complement !== undefined && { complement: head.complement + shift }),
    };
  }
  clause.items = [...part.items, ...clause.items];
  clause.before = part.before;
  clause.joint = part.joint;
}

function append(clause: Clause, part: Segment): void {
  const first = part.items[0];
  const excepts = part.joint === "but" && first && nameIndex(part.items) >= 0;
  const lead: Item[] = excepts ? [itemOf(first.start, first.start, first.token, EXCEPTING)] : [];
  clause.items = [...clause.items, ...lead, ...part.items];
}

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
