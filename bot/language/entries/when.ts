import { moment, stamp } from "../calendar/civil.js";
import type { TimeExpr } from "../calendar/expression.js";
import type { When } from "../interpretation.js";
import { type Item, is, isAct, says, value } from "../item.js";
import { type Circumstances, settleIn } from "./circumstances.js";
import type { ClauseView, Draft } from "./draft.js";

/** Fills when it was: the first phrase of time, with the day or the hour that another one adds to it. */
export function fillTime(view: ClauseView, draft: Draft, circumstances: Circumstances): void {
  const { items } = view;
  for (let i = 0; i < items.length; i++) {
    const { time } = items[i] as Item;
    if (!time || isValue(view, draft, i) || ratioOf(view, draft, i)) continue;
    if (time.later !== undefined) {
      draft.later = time.later;
      draft.used.add(i);
      continue;
    }
    if (time.same) {
      draft.sameTime = true;
      draft.used.add(i);
      continue;
    }
    if (tellsNoTime(view, i)) {
      draft.used.add(i);
      continue;
    }
    const joined = draft.time ? joinTimes(draft.time, time) : time;
    const when = joined && settleIn(joined, circumstances, "past");
    if (!joined || !when) continue;
    draft.time = joined;
    draft.entry.when = when;
    draft.used.add(i);
  }
  if (!draft.entry.when && (view.head.kind === "equipment" || view.head.act === "reading"))
    fillHour(view, draft, circumstances);
}

/** "back on by 6", "opened about 10": a bare hour behind the equipment. */
function fillHour({ items, head }: ClauseView, draft: Draft, circumstances: Circumstances): void {
  const at = items.findIndex(
    (item, i) =>
      (value(items[i - 1], "prep") === "by" ||
        (head.kind === "equipment" && value(items[i - 1], "tentative") === "near")) &&
      item.measure &&
      !item.measure.unit &&
      !item.time,
  );
  const hour = items[at]?.measure?.value ?? -1;
  if (!Number.isInteger(hour) || hour < 0 || hour > 24) return;
  const time: TimeExpr = { clock: { hour, minute: 0, exact: false } };
  const when = settleIn(time, circumstances, "past");
  if (!when) return;
  draft.time = time;
  draft.entry.when = when;
  draft.used.add(at);
}

/** "at 2" behind "the tunnel": the number is what was read and no hour. */
const isValue = (view: ClauseView, draft: Draft, at: number): boolean => {
  const item = view.items[at] as Item;
  return (
    item.measure !== undefined &&
    item.weakTime === true &&
    (draft.entry.act === "setpoint" || (draft.entry.act === "reading" && !valued(view.items, at)))
  );
};

const ratioOf = (view: ClauseView, draft: Draft, at: number): boolean =>
  view.items[at]?.measure?.ratio !== undefined && (draft.entry.act === "treat" || draft.entry.act === "feed");

/** "now", "the February sale", "the first drink since May", "today's post": words of time that date nothing. */
function tellsNoTime(view: ClauseView, at: number): boolean {
  const { items, tokens } = view;
  const item = items[at] as Item;
  const next = items[at + 1];
  if (item.time?.span?.kind === "ago" && item.time.span.count === 0) return true;
  // "been dry since November"
  if (item.time?.open === "since" && says(items[at - 1], "has been so")) return true;
  if (item.time?.open === "since" && items.slice(0, at).some((one) => says(one, "is the first"))) return true;
  if (
    is(items[at - 1], "firstsince") ||
    is(next, "event") ||
    // "spent Sunday repotting" is dated, "Sunday watering" is a name.
    (!is(items[at - 1], "carriedout") && isAct(next, "gerund"))
  )
    return true;
  // "turned it down to 9 for the night": how long it is to last.
  if (value(items[at - 1], "prep") === "for" && item.time?.part === "night") return true;
  const possessive = item.token.owner !== undefined || tokens[item.end - 1]?.owner !== undefined;
  return Boolean(
    possessive && next && !next.time && !next.measure && !is(next, "stat") && !is(next, "quantity"),
  );
}

/** Whether another number of the clause is the value, so that a bare hour is a time. */
const valued = (items: readonly Item[], at: number): boolean =>
  items.some(
    (item, i) =>
      i !== at && item.measure && !item.measure.article && !item.time && item.measure.dimension !== "length",
  );

/** "yesterday evening ... at ten past eight": a day and an hour said apart; undefined where both say the same. */
function joinTimes(a: TimeExpr, b: TimeExpr): TimeExpr | undefined {
  const plain = (one: TimeExpr): boolean => !one.span && !one.open && !one.to && !one.same && !one.later;
  if (!plain(a) || !plain(b)) return undefined;
  const dated = (one: TimeExpr): boolean => Boolean(one.day || one.part);
  if (a.clock && !dated(a) && dated(b) && !b.clock) return { ...b, ...a };
  if (b.clock && !dated(b) && dated(a) && !a.clock) return { ...a, ...b };
  return undefined;
}

/**
 * An hour that goes on from the clause before: it is of that clause's day, and later than what was told there
 * ("opened at nine this morning, closed again at half past four").
 */
export function followingTime(
  own: TimeExpr,
  before: TimeExpr,
  earlier: When,
  circumstances: Circumstances,
): { time: TimeExpr; when: When } | undefined {
  const { clock } = own;
  if (!clock || own.day || own.part || own.span || own.clockTo) return undefined;
  const joined = joinTimes(before, own);
  const when = joined && settleIn(joined, circumstances, "past");
  if (joined && when) return { time: joined, when };
  if (!before.clock) return undefined;
  const start = moment(earlier.from);
  const open = !clock.half && clock.hour > 0 && clock.hour < 12;
  const hour = clock.half ? (clock.hour % 12) + (clock.half === "pm" ? 12 : 0) : clock.hour;
  let minute = hour * 60 + clock.minute;
  while (minute < start.minute) minute += open ? 720 : 1440;
  const { now } = circumstances;
  if ((start.day - now.day) * 1440 + minute > now.minute) return undefined;
  const from = stamp(start.day, minute);
  const time = { ...before, clock };
  return clock.exact
    ? { time, when: { from, to: from, grain: "moment" } }
    : { time, when: { from, to: stamp(start.day, minute + 60), grain: "hour" } };
}

/** "at 7 am, noon and 5 pm yesterday": the day said with the last hour is that of the hours before. */
export function precedingTime(
  own: TimeExpr,
  after: TimeExpr,
  circumstances: Circumstances,
): { time: TimeExpr; when: When } | undefined {
  if (!after.clock || !after.day || own.day || own.part || !own.clock) return undefined;
  const { clock: _, clockTo: __, part: ___, ...dated } = after;
  const time = joinTimes(own, dated);
  const when = time && settleIn(time, circumstances, "past");
  return time && when && { time, when };
}
