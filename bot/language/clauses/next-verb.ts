import { type Item, is, isAct, says, value } from "../item.js";
import { germinated } from "./counted-parts.js";
import { headOf } from "./head.js";
import { undoes } from "./head-state.js";
import { readsValue } from "./parts.js";
import { leavesFall } from "./sighted.js";
import { supported } from "./support.js";

/** The next word from `from` on that carries a clause of its own. */
export function nextVerb(items: readonly Item[], from: number): number {
  for (let i = from; i < items.length; i++) {
    const item = items[i] as Item;
    if (item.quoted || item.subject) continue;
    const verb = item.senses.some(
      (one) =>
        (one.cls === "act" || one.cls === "mayact") &&
        (one.form === "past" || one.form === "state") &&
        supported(one, items, i),
    );
    const does = is(item, "cause") && undoes(items, i);
    if (verb && !does && germinated(items, i)) return i - 1;
    if (verb && !does && !is(items[i - 1], "det") && !completes(items, i)) return i;
    const set = value(item, "light") === "set" && is(items[i + 1], "prep") && items[i + 2]?.measure;
    if (set && items.slice(0, i).some((one) => is(one, "equipment"))) return i;
    if (is(item, "powerback") && (item.end - item.start > 1 || backAgain(items, i))) return i;
    if (is(item, "openclose") && opensBehindValue(items, i)) return i;
    if (
      is(item, "openclose") &&
      is(items[i + 1], "pron") &&
      items.slice(0, i).some((one) => is(one, "equipment"))
    )
      return i;
    const counted = items[i - 1]?.measure;
    if (i > 2 && says(item, "comes up") && counted && !counted.unit && !counted.article) return i - 1;
    if (value(item, "polarity") === "on" && says(item, "comes back") && i > 0) return i;
    if (
      is(item, "equipment") &&
      i > 0 &&
      items.slice(0, i).some((one) => is(one, "equipment")) &&
      items.slice(0, i).some((one) => is(one, "polarity") || is(one, "openclose"))
    )
      return i;
    if (leavesFall(items, i)) return i;
    if (
      value(item, "light") === "get" &&
      is(items[i + 1], "pron") &&
      is(items[i + 2], "powerback") &&
      backAgain(items, i + 2)
    )
      return i;
    if (says(item, "opens an act") && is(item, "light") && !auxiliary(items, i)) {
      if (says(item, "did likewise")) {
        if (items.slice(i + 1, i + 4).some((one) => is(one, "place") || one.subject)) return i;
      } else if (headOf(items.slice(i, nextPast(items, i + 1)))?.at === 0) return i;
    }
  }
  return -1;
}

/** "power went out at 1 am back at 4": what was lost is there again. */
const backAgain = (items: readonly Item[], at: number): boolean =>
  items[at + 1]?.time !== undefined &&
  items.slice(0, at).some((item) => value(item, "equipment") === "power") &&
  items.slice(0, at).some((item) => is(item, "powerlost"));

/** "the bay hit 41 today opened all the vents": a new clause behind what was read off. */
const opensBehindValue = (items: readonly Item[], at: number): boolean =>
  items.slice(at + 1, at + 4).some((item) => is(item, "equipment")) &&
  !items.slice(0, at).some((item) => is(item, "equipment")) &&
  readsValue(items.slice(0, at));

const nextPast = (items: readonly Item[], from: number): number => {
  const at = items.findIndex((item, i) => i >= from && isAct(item, "past"));
  return at < 0 ? items.length : at;
};

/** "have watered", "got the aloes watered": the light verb only helps the one behind it. */
function auxiliary(items: readonly Item[], at: number): boolean {
  for (let i = at + 1; i < items.length; i++) {
    const item = items[i] as Item;
    if (isAct(item, "past")) return true;
    if (!(item.subject || is(item, "det") || is(item, "filler") || is(item, "place") || is(item, "head")))
      return false;
  }
  return false;
}

/** "gone soft", "found scale": a state that another verb has already opened. */
const completes = (items: readonly Item[], at: number): boolean => {
  const before = items[at - 1];
  const state = isAct(items[at], "state");
  if (!state) return false;
  return items.slice(0, at).some((item) => isAct(item, "past")) && !before?.subject && !is(before, "be");
};
