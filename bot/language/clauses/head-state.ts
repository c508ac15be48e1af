import type { Act } from "../interpretation.js";
import { actIn, type Item, is, says, value } from "../item.js";
import { attributive } from "./head-verb.js";
import { type Head, has, isRemedy, some } from "./head-word.js";

/** "in flower", "rotting", "gone soft", "its leaves are falling off". */
export function stateHead(items: readonly Item[]): Head | undefined {
  const leaf = items.findIndex((item) => value(item, "nounleaf") === "leaf");
  const falling = leaf < 0 ? -1 : items.findIndex((item) => says(item, "falls"));
  if (falling >= 0) return { act: "leaf_drop", kind: "state", form: "state", at: falling };
  for (let i = 0; i < items.length; i++) {
    const found = actIn(items[i], "state");
    if (
      found &&
      !items[i]?.quoted &&
      !(found.value === "germinate" && items.slice(0, i).some(sprouts)) &&
      !(is(items[i], "cause") && undoes(items, i)) &&
      !(attributive(items, i) && i + 1 < items.length && items[i + 1]?.subject)
    ) {
      return { act: found.value as Act, kind: "state", form: "state", at: i };
    }
  }
  return undefined;
}

/** "buds coming through", "new leaves coming through": what comes is no seedling. */
const sprouts = (item: Item): boolean =>
  !item.subject && (is(item, "seen") || is(item, "nounleaf")) && !is(item, "seedling");

/** "damping off took 8": what is named did it. */
export const undoes = (items: readonly Item[], at: number): boolean =>
  items[at + 1]?.senses.some((one) => one.cls === "act" && one.value === "lose" && one.form === "past") ??
  false;

/** "pups all round S-007", "mealies on two of the echeverias", "first flower on the rebutia". */
export function seenHead(items: readonly Item[]): Head | undefined {
  if (!items.some((item) => item.subject)) {
    const pest = some(items, "pest");
    if (remedyAgainst(items, pest)) return undefined;
    const bare = items.every(
      (item) =>
        is(item, "pest") ||
        is(item, "seen") ||
        is(item, "det") ||
        is(item, "filler") ||
        is(item, "newness") ||
        item.measure !== undefined,
    );
    if (bare && pest >= 0) return { act: "pest", kind: "pest", form: "noun", at: pest };
    const seen = bare ? some(items, "seen") : -1;
    if (seen >= 0) return { act: value(items[seen], "seen") as Act, kind: "seen", form: "noun", at: seen };
    return pest >= 0 && (has(items, "prep") || has(items, "pron"))
      ? { act: "pest", kind: "pest", form: "noun", at: pest }
      : undefined;
  }
  for (let i = 0; i < items.length; i++) {
    if (items[i]?.quoted || items[i]?.subject) continue;
    // "neem on the hoyas for scale"
    const against = remedyAgainst(items, i);
    if (is(items[i], "pest") && !against) return { act: "pest", kind: "pest", form: "noun", at: i };
    const seen = value(items[i], "seen");
    if (seen) return { act: seen as Act, kind: "seen", form: "noun", at: i };
  }
  return undefined;
}

/** "neem for the scale": what the remedy before the pest is for. */
function remedyAgainst(items: readonly Item[], pest: number): boolean {
  const lead = is(items[pest - 1], "det") ? items[pest - 2] : items[pest - 1];
  return value(lead, "prep") === "for" && items.slice(0, pest).some(isRemedy);
}

/** "12 of 40 up", "the lithops seedlings are up". */
export function upHead(items: readonly Item[]): Head | undefined {
  for (let i = items.length - 1; i > 0; i--) {
    const item = items[i] as Item;
    if (!is(item, "uppredicate")) continue;
    const counted = items.slice(0, i).some((one) => one.measure && !one.measure.unit);
    const seeds = items.slice(0, i).some((one) => is(one, "seednoun") || is(one, "seedling"));
    const named = items.slice(0, i).some((one) => one.subject);
    const alone =
      items[i - 1]?.measure !== undefined && !items[i - 1]?.measure?.unit && items.length <= 5 && i <= 2;
    if (alone) return { act: "germinate", kind: "up", form: "state", at: i };
    const ofWhich =
      counted &&
      (says(items[i - 1], "counts up to now") ||
        items.slice(0, i).some((one) => says(one, "counts of which")));
    if (ofWhich) return { act: "germinate", kind: "up", form: "state", at: i };
    if (
      (named && (counted || seeds || is(items[i - 1], "be"))) ||
      (counted && items.some((one) => one.measure?.outOf))
    ) {
      return { act: "germinate", kind: "up", form: "state", at: i };
    }
  }
  return undefined;
}
