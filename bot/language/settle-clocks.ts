import type { TimeExpr } from "./calendar/expression.js";
import { type Item, is, isAct, value } from "./item.js";

const CLOCK = /^(\d{1,2})\.([0-5]\d)$/;

/**
 * Settles what a number with two decimals is before a part of the day: "the bay reached 31, 4.20 this afternoon" gives
 * the hour of the value that stands beside it.
 */
export function settleClocks(items: readonly Item[]): Item[] {
  if (!items.some((item) => CLOCK.test(item.token.text))) return items as Item[];
  const settled: Item[] = [];
  for (let i = 0; i < items.length; i++) {
    const item = items[i] as Item;
    const time = clockAt(items, i);
    if (!time) {
      settled.push(item);
      continue;
    }
    const led = value(settled.at(-1), "prep") === "at" ? settled.pop() : undefined;
    const next = items[i + 1] as Item;
    settled.push({
      ...item,
      start: (led ?? item).start,
      end: next.end,
      senses: [],
      measure: undefined,
      time,
    });
    i++;
  }
  return settled;
}

function clockAt(items: readonly Item[], at: number): TimeExpr | undefined {
  const item = items[at] as Item;
  const [, hour, minute] = CLOCK.exec(item.token.text) ?? [];
  const next = items[at + 1]?.time;
  if (!hour || !minute || item.time || item.measure?.unit || !next?.part || next.clock) return undefined;
  if (Number(hour) < 1 || Number(hour) > 12) return undefined;
  if (!items.some((one, i) => i !== at && (valued(one) || (i < at && acted(one))))) return undefined;
  // "power off in the bay 4.20 this afternoon": with no mark before it the number goes on from what was done.
  const done = items.slice(0, at).some(acted) && !items.some((one, i) => i !== at && valued(one));
  const opens = items.slice(0, at).some((one) => one.token.kind === "mark" || is(one, "and"));
  if (done && !opens && (is(items[at - 1], "place") || !leadsTo(items[at - 1])))
    return { ...next, clock: { hour: Number(hour), minute: Number(minute), exact: true } };
  const before = items[at - 1];
  const lead = value(before, "prep") === "at" ? items[at - 2] : before;
  const owned = lead !== before ? !lead?.measure && !is(lead, "place") : leadsTo(before);
  return owned ? undefined : { ...next, clock: { hour: Number(hour), minute: Number(minute), exact: true } };
}

/** A value that was read off, and no second number of the same look. */
const valued = ({ measure, time, token }: Item): boolean =>
  measure !== undefined &&
  !measure.article &&
  !time &&
  ["", "temperature", "percent"].includes(measure.dimension ?? "") &&
  !CLOCK.test(token.text);

/** "fed the aloes 4.20 this afternoon": nothing is read off where plants were tended. */
const acted = (item: Item): boolean =>
  !item.subject && (isAct(item, "past") || value(item, "equipment") === "power");

/** What a value would stand behind: "the lean-to 3.55 this morning". */
const leadsTo = (item: Item | undefined): boolean =>
  ["place", "quantity", "stat", "reach", "be"].some((cls) => is(item, cls));
