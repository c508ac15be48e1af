import { settleIn } from "../../entries/circumstances.js";
import type { Act, ReadingQuantity, Statistic, When } from "../../interpretation.js";
import { type Item, is, value } from "../../item.js";
import { outer } from "../ours.js";
import { has } from "../view.js";
import { topicOf } from "./care.js";
import { type QuestionRule, type QuestionView, seasonOf, withKeys } from "./view.js";

export function whenOf(view: QuestionView, mode: "past" | "future"): When | undefined {
  for (const item of view.items) {
    if (!item.time || item.weakTime || (item.measure?.unit && item.measure.dimension !== "time")) continue;
    if (item.time.span?.kind === "ago" && item.time.span.count === 0) continue;
    const when = settleIn(item.time, view.message.circumstances, mode);
    if (when) return when;
  }
  return undefined;
}

const keyAt = (item: Item | undefined): string => item?.token.key ?? "";
const asked = (view: QuestionView, ...keys: string[]): boolean =>
  view.items.some(
    (item) =>
      is(item, "ask") &&
      keys.some((key) => item.senses.some((one) => one.cls === "ask" && one.value === key)),
  );

const DID = new Set(["did", "was", "were", "has", "have", "had"]);

/** "when did we last feed the orchids", "who watered the aloes last", "has anyone fed the cacti". */
export const lastQuestion: QuestionRule = (view) => {
  const { items, act } = view;
  const past = items.some((item) => item.senses.some((one) => one.cls === "act" && one.form === "past"));
  const cue = has(items, "lastcue") || items.some((item) => item.time?.span?.kind === "last");
  const did = view.message.tokens.some((token) => DID.has(token.key));
  const who = asked(view, "who");
  const howLong = items.some((item) => item.token.key === "how" && is(item, "ask"));
  const seen = !act ? seenAct(items) : undefined;
  const equipment = view.message.built.find((one) => one.head?.kind === "equipment")?.entry.act;
  const subjectAct = act ?? equipment ?? seen;
  if (!subjectAct) return undefined;
  const when = asked(view, "when") || howLong;
  const lastNoun = items.some(
    (item, i) =>
      is(item, "lastcue") &&
      keyAt(item) === "last" &&
      (is(items[i + 1], "actnoun") || is(items[i + 1], "act")),
  );
  const telling =
    lastNoun ||
    (cue && (did || when || who || past)) ||
    (who && (past || did)) ||
    (asked(view, "when") && past && did) ||
    (did && past && asked(view, "aux")) ||
    (has(items, "anyone") && Boolean(act ?? equipment));
  if (!telling) return undefined;
  if (has(items, "duecue") && !past && !cue) return undefined;
  return withKeys(
    { about: "last" as const },
    { act: subjectAct, subjects: view.subjects, place: view.place },
  );
};

const seenAct = (items: readonly Item[]): Act | undefined => {
  for (const item of items) {
    if (item.subject) continue;
    const state = item.senses.find((one) => one.cls === "act" && one.form === "state");
    if (state) return state.value as Act;
    const seen = value(item, "seen");
    if (seen) return seen as Act;
    if (is(item, "pest")) return "pest";
  }
  return undefined;
};

/** "what's due this weekend?", "what needs watering tomorrow?", "anything to do today". */
export const dueQuestion: QuestionRule = (view) => {
  const { items, act } = view;
  const named = view.subjects.length > 0;
  const when = whenOf(view, "future");
  if (!isDue(view, named, when)) return undefined;
  if (named && seasonOf(items)) return undefined;
  return withKeys({ about: "due" as const }, { act, subjects: view.subjects, place: view.place, when });
};

function isDue(view: QuestionView, named: boolean, when: When | undefined): boolean {
  const { items, act } = view;
  const heading = view.message.addressed && items.length <= 4 && view.ask < 0;
  if (heading && items.some((item) => /^(jobs|tasks|chores)$/.test(keyAt(item)))) return true;
  const sure = items.some((item) => /^(due|overdue|next|outstanding)$/.test(keyAt(item)));
  if (sure && (!named || act)) return true;
  if (asked(view, "how", "much", "why")) return false;
  const open =
    asked(view, "what", "who", "show") || items.some((item) => /^(anything|any|which)$/.test(keyAt(item)));
  const due = has(items, "duecue");
  const ought = items.some((item) => /^(should|shall)$/.test(keyAt(item)));
  const doing = items.some((item) => /^(do|doing)$/.test(keyAt(item)));
  if (!named && open && (due || (ought && (act || doing)))) return !(view.place && !act && !when && !due);
  if (!named && asked(view, "what") && when && items.filter((item) => item.token.kind === "word").length <= 3)
    return items.some((item) => keyAt(item) === "on");
  return named && due && gerundNeed(items) && (!open || asked(view, "what"));
}

/** "do the aloes need watering": a need for a thing to be done is about now, not about the taxon. */
const gerundNeed = (items: readonly Item[]): boolean =>
  items.some((item) => item.senses.some((one) => one.cls === "act" && one.form === "gerund"));

/** "how cold did the frame get last night?", "highest temp we had on the sill in july?", "what's the humidity". */
export const readingQuestion: QuestionRule = (view) => {
  const { items } = view;
  const how = items.map((item) => value(item, "howstat")).find((one) => one !== undefined);
  const humid = has(items, "howhumid");
  const quantity = items
    .map((item) => (item.subject ? undefined : value(item, "quantity")))
    .filter((one) => one !== undefined);
  const stat = items.map((item) => value(item, "stat")).find((one) => one !== undefined && one !== "current");
  const current =
    has(items, "stat", "current") ||
    items.some((item) => item.time?.span?.kind === "ago" && item.time.span.count === 0);
  if (asked(view, "who") || (!how && !humid && quantity.length === 0 && !stat)) return undefined;
  if (view.subjects.length > 0 && (!view.place || items.some((item) => keyAt(item) === "should")))
    return undefined;
  const past = items.some((item) =>
    /^(did|was|were|got|get|had|has|been|reached|reach|go|went|gone|fell|fall|drop|dropped|we)$/.test(
      keyAt(item),
    ),
  );
  const when = whenOf(view, "past");
  const sure = (quantity.find((one) => one !== "air_temperature") ?? quantity[0]) as
    | ReadingQuantity
    | undefined;
  const outdoor = quantity.includes("outdoor_temperature");
  const which: ReadingQuantity = humid
    ? "relative_humidity"
    : outdoor
      ? "outdoor_temperature"
      : (sure ?? "air_temperature");
  const statistic: Statistic =
    (stat as Statistic | undefined) ?? (how && (past || when) && !current ? (how as Statistic) : "current");
  return withKeys({ about: "reading" as const }, { quantity: which, statistic, place: view.place, when });
};

/** "what's in flower", "how many aloes do we have", "which cacti have mealybug", "do we have any lithops". */
export const inventoryQuestion: QuestionRule = (view) => {
  const { items } = view;
  const many =
    items.some(
      (item) =>
        item.token.key === "how" &&
        is(item, "ask") &&
        item.end - item.start > 1 &&
        view.message.tokens[item.start + 1]?.key === "many",
    ) || has(items, "countcue");
  const state = seenAct(items);
  const open = asked(view, "what", "show", "aux", "where") || many;
  const cue = has(items, "inventorycue") || items.some((item) => ["where", "wheres"].includes(keyAt(item)));
  if (!open && !cue) return undefined;
  if (asked(view, "how") && !many) return undefined;
  if (
    topicOf(items) &&
    view.subjects.length > 0 &&
    !state &&
    !many &&
    !/^(list|show)$/.test(keyAt(items[view.ask]))
  )
    return undefined;
  const listing =
    (asked(view, "show", "what") &&
      (Boolean(view.place) || (asked(view, "show") && view.subjects.length > 0))) ||
    has(items, "inventorylist");
  if (!state && !cue && (!listing || items.some(outer))) return undefined;
  if (
    !state &&
    view.subjects.length === 0 &&
    !view.place &&
    !items.some((item) => item.subject?.all) &&
    !has(items, "head")
  )
    return undefined;
  return withKeys(
    { about: "inventory" as const },
    { subjects: view.subjects, place: view.place, state, count: many ? true : undefined },
  );
};

/** "tell me what happened in the lean-to in february", "full history of C-102". */
export const historyQuestion: QuestionRule = (view) => {
  if (!has(view.items, "historycue")) return undefined;
  const about = view.items.every((item) => !is(item, "historycue") || /^tell$/.test(keyAt(item)));
  if (about && !view.place && view.subjects.some((one) => one.genus || one.group)) return undefined;
  const when = whenOf(view, "past");
  return withKeys({ about: "history" as const }, { subjects: view.subjects, place: view.place, when });
};
