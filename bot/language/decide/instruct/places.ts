import { textOf } from "../../entries/draft.js";
import { temperature } from "../../entries/readings.js";
import type { Instruction, Quantity } from "../../interpretation.js";
import { type Item, is, says, value } from "../../item.js";
import { find, type InstructionRule, type InstructionView, light, order } from "./view.js";

interface NewPlace {
  name: string;
  floor?: Quantity;
}

/** The name of a place from `from` up to the floor that was told with it. */
function nameFrom(view: InstructionView, from: number): { name: string; end: number } | undefined {
  const { items } = view;
  let start = from;
  while (
    start < items.length &&
    (says(items[start], "leads to a name") ||
      is(items[start], "courtesy") ||
      items[start]?.token.kind === "mark")
  )
    start++;
  let end = start;
  while (end < items.length) {
    const item = items[end] as Item;
    // "Bench Two, with a floor of 7"
    const next = items[end + 1];
    const closes = next === undefined || next.token.kind === "mark" || value(next, "prep") === "with";
    const numbered = item.token.kind === "word" && closes && !item.measure?.unit;
    if (item.measure && !item.measure.article && end > start && !numbered) break;
    // "remove the garage from the places"
    if (end > start && is(item, "order")) break;
    if (
      end > start &&
      (says(item, "ends a name") ||
        value(item, "prep") === "with" ||
        is(item, "hold") ||
        is(item, "courtesy") ||
        is(item, "setting"))
    )
      break;
    if (item.token.kind === "mark" && item.senses.length === 0) break;
    if (item.token.kind === "emoji") break;
    end++;
  }
  if (end === start) return undefined;
  return {
    name: textOf(view.message.tokens, (items[start] as Item).start, (items[end - 1] as Item).end),
    end,
  };
}

function floorAfter(view: InstructionView, from: number, end: number): Quantity | undefined {
  for (let i = from; i < end; i++) {
    const item = view.items[i] as Item;
    const { measure } = item;
    if (!measure || measure.article || (measure.dimension && measure.dimension !== "temperature")) continue;
    return temperature(measure, view.message.circumstances);
  }
  return undefined;
}

const instructionOf = (place: NewPlace): Instruction => ({
  do: "add_place",
  place: place.name,
  ...(place.floor && { value: place.floor }),
});

/** A word that belongs to a sentence and to no name of a place. */
const tells = (item: Item): boolean =>
  !is(item, "place") &&
  !is(item, "placeword") &&
  value(item, "equipment") !== "vent" &&
  ["equipment", "arrive", "self", "negation", "be"].some((cls) => is(item, cls));

/** "add a new place called garage", "new place: Top Shelf, floor 8". */
export const addPlace: InstructionRule = (view) => {
  if (!view.message.addressed) return undefined;
  const { items } = view;
  const add = order(view, "add");
  const called = find(items, "calledword");
  const noun = find(items, "placenoun");
  if (add < 0 && !(called >= 0 && noun >= 0)) return undefined;
  const wished = items.slice(0, view.first + 1).some((item) => says(item, "requests"));
  if (add > view.first + 3 || (!wished && items.some((item) => item.token.text === "?"))) return undefined;
  if (called < 0 && noun < 0 && !items.some((item) => is(item, "placeword") || is(item, "place")))
    return undefined;
  if (items.some((item) => item.subject?.genus)) return undefined;
  const from = called >= 0 ? called + 1 : add + 1;
  const named = nameFrom(view, from);
  // "until the new thermostat arrives we cannot set the frame"
  if (!named || items.slice(from, named.end).some(tells)) return undefined;
  const floor = floorAfter(view, named.end, items.length);
  return instructionOf({ name: named.name, ...(floor && { floor }) });
};

export const removePlace: InstructionRule = (view) => {
  if (!view.message.addressed) return undefined;
  const at = order(view, "remove");
  // "never let the lean-to drop under 3"
  if (view.items.some((item) => item.measure && !item.measure.article)) return undefined;
  // "take the garage off the list": a place that the household does not know as well.
  const listed = at > 0 && says(view.items[at], "takes a cover off");
  const placed = view.items.findIndex((item) => is(item, "place") || (listed && is(item, "placeword")));
  // "remove the tunnel", or behind it: "take the tunnel off the list", "the tunnel no longer exists".
  if (at < 0 || (at > view.first + 2 && !(placed >= 0 && placed < at && at <= placed + 2))) return undefined;
  if (view.place) {
    const mark = view.items.findIndex((item, i) => i > at && item.token.kind === "mark");
    const spoken = mark < 0 ? view.items : view.items.slice(0, mark);
    const rest = spoken.filter(
      (item, i) =>
        i !== at &&
        !is(item, "place") &&
        !light(item) &&
        !is(item, "placenoun") &&
        !is(item, "order") &&
        !is(item, "negation"),
    );
    return rest.length <= 3 && !spoken.some((item) => item.subject || is(item, "equipment"))
      ? { do: "remove_place", place: view.place }
      : undefined;
  }
  if (find(view.items, "placenoun") < 0 && find(view.items, "placeword") < 0) return undefined;
  const called = find(view.items, "calledword");
  const behind = called < 0 && placed >= 0 && placed < at;
  const named = behind
    ? nameFrom({ ...view, items: view.items.slice(0, at) }, placed)
    : nameFrom(view, called >= 0 ? called + 1 : at + 1);
  return named ? { do: "remove_place", place: named.name } : undefined;
};

/** "we have a long house kept above 5 and a warm bench at 12": each place with its floor. */
export const setUp: InstructionRule = (view) => {
  if (!view.message.addressed) return undefined;
  const { items } = view;
  const have = items.findIndex((item) => says(item, "tells what we have") || is(item, "self"));
  if (have < 0 || have > view.first + 2 || items.some((item) => item.token.text === "?")) return undefined;
  if (items.some((item) => item.subject?.genus || (item.time && !item.weakTime))) return undefined;
  const places: NewPlace[] = [];
  let at = have;
  while (at < items.length) {
    const article = items.findIndex((item, i) => i >= at && says(item, "begins a place"));
    if (article < 0) break;
    const named = nameFrom(view, article);
    if (!named) break;
    const next = items.findIndex(
      (item, i) =>
        i >= named.end &&
        says(item, "begins a place") &&
        (is(items[i - 1], "and") || items[i - 1]?.token.text === "," || says(items[i - 1], "and another")),
    );
    const floor = floorAfter(view, named.end, next < 0 ? items.length : next);
    const house =
      is(items[named.end - 1], "placenoun") ||
      is(items[named.end - 1], "placeword") ||
      is(items[named.end - 1], "place");
    if (house && (floor || places.length > 0))
      places.push({ name: canonical(view, named.name), ...(floor && { floor }) });
    at = next < 0 ? items.length : next;
  }
  return places.length > 0 ? places.map(instructionOf) : undefined;
};

const canonical = (view: InstructionView, name: string): string => {
  const known = view.items.find(
    (item) =>
      value(item, "place") !== undefined && textOf(view.message.tokens, item.start, item.end) === name,
  );
  return value(known, "place") ?? name;
};
