import { type Item, is, says, value } from "../../item.js";
import { outer } from "../owners.js";
import { aheadIn, durationIn } from "./duration.js";
import {
  find,
  type InstructionRule,
  type InstructionView,
  keyOf,
  light,
  order,
  subjectsIn,
  whenIn,
} from "./view.js";

/** Whether nothing but the order and words without weight stand in the message. */
function alone(view: InstructionView, at: number, also: (item: Item) => boolean = () => false): boolean {
  return (
    at >= 0 &&
    view.items.every(
      (item, i) =>
        i === at ||
        (view.message.addressed && i < view.first) ||
        light(item) ||
        is(item, "order") ||
        also(item),
    )
  );
}

/** "scratch that last one", "that was a mistake, delete it": a verb that undoes, and nothing but what was entered. */
function undoes(view: InstructionView): boolean {
  const { message } = view;
  const mark = view.items.findIndex((item, i) => i > 1 && item.token.kind === "mark");
  // "bin that last entry will you, I was looking at the wrong pot"
  const items = mark < 0 ? view.items : view.items.slice(0, mark);
  const at = find(items, "undoverb");
  if (!message.addressed || at < 0 || at > view.first + 5 || items.length > 10) return false;
  const rest = items.slice(at + 1);
  const entered = rest.some((item) => is(item, "undonoun"));
  if (
    !entered &&
    !(value(items[at], "undoverb") === "sure" && rest.some((item) => is(item, "pron") || is(item, "det")))
  )
    return false;
  return items.every(
    (item, i) =>
      i === at ||
      light(item) ||
      ["undonoun", "correction", "be", "order"].some((cls) => is(item, cls)) ||
      // "take the last two entries out"
      (item.measure !== undefined && !item.measure.unit && is(items[i + 1], "undonoun")) ||
      // "..., will you"
      (i > at && i >= items.length - 2 && ["plan", "second", "modal"].some((cls) => is(item, cls))),
  );
}

export const undo: InstructionRule = (whole) => {
  if (undoes(whole)) return { do: "undo" };
  // "scrap that last one, wrong chat": the reason stands behind, and nothing that could be put right.
  const mark = whole.items.findIndex((item, i) => i > whole.first + 1 && item.token.text === ",");
  const reason = mark > 0 && whole.message.addressed ? whole.items.slice(mark) : [];
  const bare = !reason.some((item) => item.subject ?? item.time ?? item.measure ?? is(item, "place"));
  const cut = reason.some(outer) && bare && order(whole, "undo") < mark;
  const view = cut ? { ...whole, items: whole.items.slice(0, mark) } : whole;
  const at = order(view, "undo");
  if (at < 0) return undefined;
  const short = view.items.length - view.first <= 8;
  return short &&
    at <= view.first + 5 &&
    alone(
      view,
      at,
      (item) =>
        ["correction", "undonoun", "negation"].some((cls) => is(item, cls)) ||
        (view.message.addressed && (is(item, "second") || value(item, "ask") === "aux")) ||
        Boolean(item.time),
    ) &&
    !whenIn(view, "past")
    ? { do: "undo" }
    : undefined;
};

export const help: InstructionRule = (view) =>
  view.message.addressed && alone(view, order(view, "help")) ? { do: "help" } : undefined;

export const claim: InstructionRule = (view) => {
  if (!view.message.addressed) return undefined;
  const named = namedHelper(view);
  if (named) return { do: "claim", person: named };
  const at = Math.max(order(view, "claim"), offers(view));
  // "4 flowers on it": spoken of a plant.
  if (view.items.some((item) => item.subject && !item.subject.all)) return undefined;
  if (at < 0 || view.items.some((item) => item.token.text === "?")) return undefined;
  const unweighted = view.items.filter((item, i) => i !== at && !light(item) && !is(item, "order"));
  if (unweighted.length > 4) return undefined;
  if (unweighted.some((item) => is(item, "negation") || is(item, "condition"))) return undefined;
  return { do: "claim" };
};

/** "I can": a phrase that begins with the writer. */
const writes = (view: InstructionView, item: Item): boolean =>
  view.message.vocabulary.layers.instruct.word(keyOf(item))?.some((sense) => sense.cls === "selfwill") ??
  false;

/** "I shall take care of it", "I can do that": the writer, a helping verb, and one of few verbs. */
function offers(view: InstructionView): number {
  const { items } = view;
  const at = items.findIndex((item) => is(item, "helpverb"));
  if (at < 0 || items.length > 11) return -1;
  const lead = items.slice(view.first, at);
  const me = items
    .slice(0, at)
    .some((item) => is(item, "self") || is(item, "selfwill") || writes(view, item));
  return me && lead.every((item) => is(item, "self") || is(item, "plan") || light(item)) ? at : -1;
}

/** "Tomasz will do it", "Ines has got that": somebody else of the household takes it on. */
function namedHelper(view: InstructionView): string | undefined {
  const { items } = view;
  const person = value(items[view.first], "member");
  const at = items.findIndex((item, i) => i > view.first && is(item, "helpverb"));
  if (!person || at < 0 || at > view.first + 3 || items.length > 8) return undefined;
  if (!items.slice(view.first + 1, at).some((item) => is(item, "plan") || is(item, "modal")))
    return undefined;
  return items.every((item, i) => i === at || item.senses.length > 0 || light(item)) &&
    !items.some((item) => item.subject || item.measure || item.token.text === "?" || is(item, "elsewhere"))
    ? person
    : undefined;
}

export const allWell: InstructionRule = (view) => {
  const at = order(view, "allwell");
  if (at < 0 || view.items.length > 9) return undefined;
  if (!view.message.addressed && !(view.place && plainly(view))) return undefined;
  return view.place ? { do: "all_well", place: view.place } : { do: "all_well" };
};

/** "snooze till tomorrow", "not today", "skip the lithops till March". */
export const snooze: InstructionRule = (view) => {
  const until = view.items.some((item) => item.time?.open === "until");
  const skips = (item: Item): boolean =>
    item.senses.some((one) => one.cls === "act" && one.value === "skip" && one.form === "base");
  // To people as well as to the bot: "skip the lithops till March".
  const told =
    until &&
    skips(view.items[view.first] as Item) &&
    subjectsIn(view.items).some((one) => !one.all) &&
    plainly(view);
  if (!view.message.addressed && !told) return undefined;
  const at = order(view, "snooze");
  const restful = until && subjectsIn(view.items).length > 0 && !view.items.some(biddenAct);
  const skip = view.items.findIndex(
    (item) =>
      value(item, "remindswitch") === "off" ||
      skips(item) ||
      (restful &&
        (is(item, "negation") || is(item, "leaveword") || value(item, "setting") === "quiet_hours")),
  );
  if (skip >= 0 && skip <= view.first + 1 && (until || whenIn(view, "future"))) {
    const subjects = subjectsIn(view.items);
    const time = whenIn(view, "future");
    return { do: "snooze", ...(time && { when: time.when }), ...(subjects.length > 0 && { subjects }) };
  }
  // "put the reminders off till Sunday", "put the reminder back an hour"
  const moved = says(view.items[view.first], "puts off") && whenIn(view, "future") !== undefined;
  // "remind me a week on Friday to feed the aloes" is a reminder of its own.
  const task =
    is(view.items[view.first], "remind") &&
    view.items.some((item, i) => i > view.first && says(item, "leads to a task"));
  if (at < 0 && !task && (until || durationIn(view) || moved) && view.items.some(theReminder)) {
    const time = whenIn(view, "future") ?? aheadIn(view);
    return { do: "snooze", ...(time && { when: time.when }) };
  }
  if (at < 0 || at > view.first + 2 || toWriter(view)) return undefined;
  if (
    view.items.some(
      (item) => item.measure && !item.time && !item.measure.article && item.measure.dimension !== "time",
    )
  )
    return undefined;
  const time = whenIn(view, "future", notNow(view.items[at] as Item) ? at + 1 : 0) ?? aheadIn(view);
  const weighty = view.items.filter(
    (item, i) =>
      i !== at &&
      !light(item) &&
      !item.time &&
      !is(item, "order") &&
      !item.measure &&
      !item.subject &&
      !is(item, "condition") &&
      !is(item, "plan"),
  );
  if (weighty.length > 3) return undefined;
  const subjects = subjectsIn(view.items).filter((one) => !one.all);
  return { do: "snooze", ...(time && { when: time.when }), ...(subjects.length > 0 && { subjects }) };
};
/** "the reminders", "the reminder": what the bot sends. */
const theReminder = (item: Item, at: number, items: readonly Item[]): boolean =>
  is(item, "reminderword") ||
  value(item, "setting") === "reminder_time" ||
  (is(item, "remind") && is(items[at - 1], "det"));

/** "don't water the lithops": an act that is bidden or forbidden, and no reminder put off. */
const biddenAct = (item: Item): boolean =>
  !item.subject &&
  item.senses.some((one) => one.cls === "act" && one.form === "base" && one.value !== "skip");

/** Whether every word has its place in the trade or carries nothing, so that nothing foreign is spoken of. */
export const plainly = (view: InstructionView): boolean =>
  !view.items.some((item) => outer(item) || is(item, "elsewhere")) &&
  !view.message.tokens.some((token) => token.text === "?");

/** "leave it with me": that is no delay. */
const toWriter = (view: InstructionView): boolean =>
  view.items.some(
    (item, i) => is(item, "objectself") && ["with", "to"].includes(value(view.items[i - 1], "prep") ?? ""),
  );

const notNow = (item: Item): boolean => says(item, "denies");

export const exportJournal: InstructionRule = (view) => {
  const at = order(view, "export");
  const format = view.items.findLastIndex((item) => is(item, "format"));
  if (!view.message.addressed || (at < 0 && (format < 0 || view.items.length > 10))) return undefined;
  if (order(view, "import") >= 0) return undefined;
  return { do: "export", ...(format >= 0 && { format: value(view.items[format], "format") as string }) };
};

export const importList: InstructionRule = (view) => {
  const at = order(view, "import");
  const lead = view.items.slice(view.first, Math.max(at, 0));
  const wish = lead.every(
    (item) => light(item) || is(item, "plan") || is(item, "likeword") || is(item, "ask"),
  );
  return at >= 0 && view.message.addressed && (at <= view.first + 3 || wish) ? { do: "import" } : undefined;
};

/** "chart the temperature in the long house this week". */
export const chart: InstructionRule = (view) => {
  const at = order(view, "chart");
  if (at < 0) return undefined;
  const quantities = view.items.map((item) => value(item, "quantity")).filter((one) => one !== undefined);
  const quantity =
    quantities.find((one) => one !== "air_temperature") ??
    quantities[0] ??
    (view.items.some((item) => is(item, "stat")) ? "air_temperature" : undefined);
  if (!view.message.addressed && !(view.place && (quantity || (at <= view.first + 1 && plainly(view)))))
    return undefined;
  const time = whenIn(view, "past");
  return {
    do: "chart",
    ...(quantity && { quantity: quantity as "air_temperature" }),
    ...(view.place && { place: view.place }),
    ...(time && { when: time.when }),
  };
};

export const forget: InstructionRule = (view) => {
  const at = Math.max(order(view, "forget"), find(view.items, "erase"));
  if (at < 0 || at > view.first + 1 || !view.message.addressed) return undefined;
  if (view.items.slice(0, at).some((item) => is(item, "negation"))) return undefined;
  const subjects = subjectsIn(view.items).filter((one) => !one.all);
  return subjects.length > 0 ? { do: "forget", subjects } : { do: "forget" };
};
