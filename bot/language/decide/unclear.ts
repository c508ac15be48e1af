import type { Entry, Interpretation, Missing } from "../interpretation.js";
import { type Item, is, says, value } from "../item.js";
import { find, viewInstruction } from "./instruct/view.js";
import { has, type MessageView, placeOf, subjectsOf } from "./view.js";

const unclear = (missing: Missing, partial: Partial<Entry>): Interpretation => ({
  kind: "unclear",
  missing: [missing],
  partial,
});

/** What was surely meant for the journal but lacks one thing, where the message was spoken to the bot. */
export function decideUnclear(view: MessageView): Interpretation | undefined {
  if (!view.addressed || view.items.some((item) => item.token.text === "?")) return undefined;
  return (
    floorWithoutValue(view) ??
    thermostatWithoutValue(view) ??
    readingWithoutValue(view) ??
    amountWithoutUnit(view)
  );
}

/** "set the floor in the bay" */
function floorWithoutValue(view: MessageView): Interpretation | undefined {
  const seen = viewInstruction(view);
  if (find(seen.items, "setting", "floor") < 0 || find(seen.items, "order", "set") < 0) return undefined;
  return view.items.some((item) => item.measure && !item.measure.article) ? undefined : unclear("value", {});
}

/** "set the thermostat in the bay", "turned the heat up in the lean-to" */
function thermostatWithoutValue(view: MessageView): Interpretation | undefined {
  const { items } = view;
  const stat = items.findIndex((item) => value(item, "equipment") === "thermostat");
  const heat = items.findIndex((item) => value(item, "equipment") === "heat");
  const set = items.findIndex((item) => ["set", "turn", "put"].includes(value(item, "light") ?? ""));
  const moved = items.some((item) => says(item, "regulates"));
  const asked = stat >= 0 ? moved || value(items[set], "light") === "set" : heat >= 0 && moved;
  if (!asked || set < 0 || set > Math.max(stat, heat) || items.some((item) => is(item, "ask")))
    return undefined;
  if (items.some((item) => item.measure && !item.measure.article) || has(items, "polarity")) return undefined;
  const place = placeOf(items);
  return unclear("value", { act: "setpoint", ...(place && { place }) });
}

const ASKING: ReadonlySet<string> = new Set(["what", "how", "much", "when", "who", "where", "why"]);

/** "the minimum in the tunnel last night was" */
function readingWithoutValue(view: MessageView): Interpretation | undefined {
  const end = view.items.filter((item) => item.token.kind === "word" && !item.time).at(-1);
  const spoken =
    has(view.items, "stat") ||
    has(view.items, "quantity") ||
    (has(view.items, "place") && (is(end, "be") || is(end, "reach")));
  const numbered = view.items.some((item) => item.measure && !item.measure.article);
  // "what did the lean-to drop to last night"
  if (view.items.some((item) => ASKING.has(value(item, "ask") ?? ""))) return undefined;
  if (!spoken || numbered || view.items.some((item) => item.subject)) return undefined;
  const open = is(end, "be") || is(end, "reach") || is(end, "prep");
  const brief = view.items.every(
    (item) =>
      (item === end && is(item, "be")) ||
      is(item, "stat") ||
      is(item, "quantity") ||
      is(item, "place") ||
      item.time ||
      is(item, "det") ||
      is(item, "prep") ||
      is(item, "filler") ||
      item.token.kind === "mark",
  );
  const dated = view.items.some((item) => item.time);
  // "coldest it got this week", "average last week": asked for, not read off.
  const spanned = view.items.some(
    (item) =>
      is(item, "superlative") ||
      ["week", "month", "month-shift", "season", "year"].includes(item.time?.span?.kind ?? "") ||
      item.time?.open === "since",
  );
  // "max humidity in the lean-to yesterday"
  const asked = has(view.items, "stat") && has(view.items, "place") && dated;
  if (!open && (spanned || asked)) return undefined;
  if (!open && !(brief && !is(view.items[0], "ask"))) return undefined;
  const place = placeOf(view.items);
  return unclear("value", { act: "reading", ...(place && { place }) });
}

/** "gave the haworthias 2", "A17 got 250": a number that only an amount can be. */
function amountWithoutUnit(view: MessageView): Interpretation | undefined {
  const verb = view.items.findIndex(
    (item) => ["give", "get"].includes(value(item, "light") ?? "") && says(item, "handed over"),
  );
  const name = view.items.findIndex((item) => item.subject);
  if (verb < 0 || name < 0) return undefined;
  const last = view.items
    .filter((item) => item.token.kind !== "mark" && !(item.time && !item.measure))
    .at(-1) as Item;
  if (
    !last.measure ||
    last.measure.unit ||
    last.measure.article ||
    last.time ||
    view.items.indexOf(last) < Math.max(name, verb)
  )
    return undefined;
  return unclear("unit", { act: "water", subjects: subjectsOf(view.items) });
}
