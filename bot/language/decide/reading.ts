import type { Built } from "../entries/build.js";
import type { Missing } from "../interpretation.js";
import { type Item, is, says, unread, value } from "../item.js";
import { known, understood } from "./familiar.js";
import { outer } from "./owners.js";
import { has, type MessageView } from "./view.js";

/** Most values that are taken from one clause; a table of numbers is no sentence. */
const MOST_READINGS = 16;

/** What an instrument of the house shows. */
const READ: ReadonlySet<string> = new Set(["temperature", "percent", "illuminance", "energy"]);

export function readingLacks(one: Built, view: MessageView): Missing | "reject" | undefined {
  if (view.built.length > MOST_READINGS) return "reject";
  const [opening, object] = view.items;
  if (!view.addressed && unread(opening) && !opening?.unknown && is(object, "det")) return "reject";
  const clause = view.clauses[one.clause];
  if (!clause) return "reject";
  const { items } = clause;
  if (!view.addressed && ofPeople(items)) return "reject";
  if (heldAt(items) && !items.some((item) => item.time && !item.weakTime)) return "reject";
  // "Jo did the hoop at 7": an hour.
  if (items.some((item) => value(item, "light") === "do") && items.some((item) => item.weakTime))
    return "reject";
  if (items.some((item, i) => item.measure?.dimension === "percent" && items[i + 1]?.subject))
    return "reject";
  const room =
    items.some((item) => value(item, "placeword") === "room") && !items.some((item) => is(item, "place"));
  const placed = one.entry.place !== undefined && (view.addressed || !room);
  const measure = items.some((item) => READ.has(item.measure?.dimension ?? ""));
  const worded = one.stated || has(items, "quantity") || has(items, "stat") || has(items, "reach");
  if (placed && (measure || worded)) return undefined;
  if (placed && (items.length <= 6 || known(items))) return undefined;
  if (one.stated && (measure || understood(view) || (has(items, "stat") && known(items)))) return undefined;
  if (one.entry.reading?.quantity !== "air_temperature" && worded && measure) return undefined;
  // "first frost, -2 outside": a sign says as much as a unit.
  const sure = measure || items.some((item) => item.measure?.signed);
  const quantity = one.entry.reading?.quantity;
  const beside = view.built.some((other) => other.entry.reading && other.entry.place !== undefined);
  if (quantity === "outdoor_temperature" && worded && (sure || beside || one.stated || known(items)))
    return undefined;
  if (quantity === "soil_temperature" && known(items)) return undefined;
  if (view.addressed && (measure || worded)) return undefined;
  return view.built.some(
    (other) => other !== one && other.clause < one.clause && other.entry.act === "reading",
  ) && measure
    ? undefined
    : "reject";
}

/** "the bay is kept at 12": what it is set to, and nothing that was read off. */
export const heldAt = (items: readonly Item[]): boolean =>
  items.some(
    (item, i) => says(item, "is held so") && is(items[i - 1], "be") && !says(items[i - 1], "was then"),
  );

/** "we met in the Club House at 7", "forty came to the Club House": an hour or a number of people, and no value. */
const ofPeople = (items: readonly Item[]): boolean =>
  items.some((item, i) => {
    if (!item.measure || item.measure.unit || item.measure.article) return false;
    const hour = item.weakTime === true && items.some(outer) && !valueOfPlace(items, i);
    return hour || (item.token.kind === "word" && is(items[i + 1], "light") && !is(items[i + 1], "be"));
  });

/** "the bay's at 9": the place itself is what stands at the value, and nothing in it. */
function valueOfPlace(items: readonly Item[], at: number): boolean {
  const place = is(items[at - 1], "be") || is(items[at - 1], "reach") ? at - 2 : at - 1;
  const before = is(items[place - 1], "det") ? place - 2 : place - 1;
  return is(items[place], "place") && !is(items[before], "prep");
}
