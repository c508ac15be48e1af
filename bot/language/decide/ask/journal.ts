import { isPlantAct } from "../../entries/acts.js";
import { settleIn } from "../../entries/circumstances.js";
import type { ReadingQuantity, Statistic, When } from "../../interpretation.js";
import { type Item, is, isAct, says, value } from "../../item.js";
import { outer } from "../owners.js";
import { has } from "../view.js";
import { asksLeave, topicOf } from "./care.js";
import { toSomebody } from "./people.js";
import {
  led,
  monthOf,
  type QuestionRule,
  type QuestionView,
  seasonOf,
  seenAct,
  spoken,
  withKeys,
} from "./view.js";

function whenOf(view: QuestionView, mode: "past" | "future"): When | undefined {
  for (const item of view.items) {
    if (!item.time || item.weakTime || (item.measure?.unit && item.measure.dimension !== "time")) continue;
    if (item.time.span?.kind === "ago" && item.time.span.count === 0) continue;
    const when = settleIn(item.time, view.message.circumstances, mode);
    if (when) return when;
  }
  return undefined;
}

const asked = (view: QuestionView, ...keys: string[]): boolean =>
  view.items.some(
    (item) =>
      is(item, "ask") &&
      keys.some((key) => item.senses.some((one) => one.cls === "ask" && one.value === key)),
  );

/** "when did we last feed the orchids", "who watered the aloes last", "has anyone fed the cacti". */
export const lastQuestion: QuestionRule = (view) => {
  const { items, act } = view;
  const past = items.some((item) => isAct(item, "past"));
  const cue = has(items, "lastcue") || items.some((item) => item.time?.span?.kind === "last");
  const did = spoken(view, "didverb");
  const who = asked(view, "who");
  const howLong = items.some((item) => says(item, "asks extent") && is(item, "ask"));
  const seen = !act ? seenAct(items) : undefined;
  const equipment = view.message.built.find(
    ({ head, entry }) =>
      head?.kind === "equipment" ||
      (head?.kind === "base" && !isPlantAct(entry.act) && (asked(view, "when") || spoken(view, "didverb"))),
  )?.entry.act;
  // "when was the heater last turned on": the heater was, and no plant.
  const subjectAct = act === "turn" && equipment ? equipment : (act ?? equipment ?? seen);
  if (!subjectAct) return undefined;
  const when = asked(view, "when") || howLong;
  const lastNoun = items.some(
    (item, i) =>
      is(item, "lastcue") &&
      says(item, "speaks of the last") &&
      (is(items[i + 1], "actnoun") || is(items[i + 1], "act")),
  );
  // "has Big Un ever flowered"
  const ever = says(items[view.ask], "asks since ever") && has(items, "ever");
  const telling =
    lastNoun ||
    ever ||
    // "have the vents been shut?"
    (says(items[view.ask], "asks since ever") && equipment !== undefined && has(items, "be")) ||
    (cue && (did || when || who || past)) ||
    (who && (past || did)) ||
    (asked(view, "when") && past && did) ||
    (asked(view, "when") && happened(view)) ||
    (did && past && asked(view, "aux")) ||
    (is(items[view.ask], "doverb") && is(items[view.ask], "didverb") && is(items[view.ask + 1], "member")) ||
    ((has(items, "anyone") || has(items, "anybody")) && Boolean(act ?? equipment));
  if (!telling) return undefined;
  if (has(items, "duecue") && !past && !cue) return undefined;
  return withKeys(
    { about: "last" as const },
    { act: subjectAct, subjects: view.subjects, place: view.place },
  );
};

/** "when did Jo feed the hoyas", "when did the agave flower": the auxiliary alone tells that it is past. */
const happened = ({ message, items, ask }: QuestionView): boolean => {
  const when = items[ask];
  return (
    when !== undefined &&
    message.tokens.slice(when.start, when.end + 1).some((token) => says(token, "then did"))
  );
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
  const words = items.filter((item) => item.token.kind === "word").length;
  const heading = view.message.addressed && items.length <= 4 && view.ask < 0;
  if (heading && has(items, "jobs")) return true;
  if (items.some((item) => led(view, item, "suredue")) && (!named || act || has(items, "openask")))
    return true;
  if (asked(view, "how", "much", "why")) return false;
  // "what about the long house": whatever there is to do there.
  if (!named && view.place && !act && words <= 6 && asked(view, "what") && has(items, "aboutword"))
    return true;
  const open = asked(view, "what", "who", "show") || has(items, "openask");
  const due = has(items, "duecue");
  const should = items.some((item) => led(view, item, "ought"));
  const ought = should && !named;
  if (!named && open && (due || (ought && (act || has(items, "doing")))))
    return !(view.place && !act && !when && !due);
  // "is there anything I should be doing for the lithops this month?"
  if (named && when && should && has(items, "doing") && has(items, "openask")) return true;
  if (!named && asked(view, "what") && when && words <= 3)
    return items.some((item) => led(view, item, "polarity"));
  if (!named || !due || monthOf(items) !== undefined) return false;
  return (
    (gerundNeed(items) && (particular(items) || when !== undefined) && (!open || asked(view, "what"))) ||
    (has(items, "needs") && when !== undefined && act !== undefined && particular(items)) ||
    (asked(view, "aux") && has(items, "plan") && when !== undefined && act !== undefined && particular(items))
  );
}

/** "the aloes", "L-014", not "lithops" as such: these plants and not their kind. */
const particular = (items: readonly Item[]): boolean =>
  items.some((item, i) => item.subject && (item.subject.tag ?? item.subject.name ?? is(items[i - 1], "det")));

/** "do the aloes need watering": a need for a thing to be done is about now, not about the taxon. */
const gerundNeed = (items: readonly Item[]): boolean => items.some((item) => isAct(item, "gerund"));

/** "how cold did the frame get last night?", "highest temp we had on the sill in july?", "what's the humidity". */
export const readingQuestion: QuestionRule = (view) => {
  const { items } = view;
  const how =
    items.map((item) => value(item, "howstat")).find((one) => one !== undefined) ??
    (view.subjects.length === 0 && asked(view, "aux")
      ? (items.map((item) => value(item, "froze")).find((one) => one !== undefined) ?? beyond(view))
      : undefined);
  const stands = asked(view, "what") && view.place && closing(items);
  const humid = has(items, "howhumid");
  const quantity = items
    .map((item) => (item.subject ? undefined : value(item, "quantity")))
    .filter((one) => one !== undefined);
  const stat = items.map((item) => value(item, "stat")).find((one) => one !== undefined && one !== "current");
  const current =
    has(items, "stat", "current") ||
    items.some((item) => item.time?.span?.kind === "ago" && item.time.span.count === 0);
  if (asked(view, "who") || (!how && !humid && !stands && quantity.length === 0 && !stat)) return undefined;
  if (view.subjects.length > 0 && (!view.place || has(items, "ought"))) return undefined;
  const past = items.some((item) => is(item, "wentverb"));
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

/** "did the bay go below 8 last night": asked of the extreme on that side. */
const beyond = ({ items, place }: QuestionView): string | undefined =>
  place && items.some((item) => is(item, "wentverb"))
    ? value(
        items.find((item, i) => is(item, "boundword") && items[i + 1]?.measure),
        "boundword",
      )
    : undefined;

/** "what's the bay at": the message ends on a word that a value would follow. */
const closing = (items: readonly Item[]): boolean => {
  const last = items.filter((item) => item.token.kind === "word" && !is(item, "stat")).at(-1);
  return is(last, "reach") && !is(last, "be");
};

/** "what's in flower", "how many aloes do we have", "which cacti have mealybug", "do we have any lithops". */
export const inventoryQuestion: QuestionRule = (view) => {
  const { items } = view;
  const many =
    items.some(
      (item) =>
        says(item, "asks extent") &&
        is(item, "ask") &&
        item.end - item.start > 1 &&
        says(view.message.tokens[item.start + 1], "asks number"),
    ) || has(items, "countcue");
  const state = seenAct(items) ?? (many && risen(items) ? "germinate" : troubled(items) ? "any" : undefined);
  // "any tips for growing lithops": how it is done, not what grows.
  if (state === "growth" && view.subjects.length > 0 && topicOf(items) === "any") return undefined;
  if (view.subjects.length > 0 && !many && asksLeave(items)) return undefined;
  // "should schlumbergeras be kept dry after flowering?"
  if (view.subjects.length > 0 && topicOf(items) && items.some((item) => led(view, item, "ought")))
    return undefined;
  // "is the adenium dormant in winter?": asked of its kind.
  if (state === "dormant" && view.subjects.length > 0 && seasonOf(items)) return undefined;
  const open = asked(view, "what", "show", "aux", "where") || many;
  const cue = has(items, "inventorycue") || asked(view, "where");
  if (!open && !cue) return undefined;
  // "where's the tunnel key"
  if (asked(view, "where") && view.subjects.length === 0) return undefined;
  if (asked(view, "how", "much") && !many) return undefined;
  // "are there any seedlings in the bay?"
  const present = has(items, "inventorycue") && view.place !== undefined;
  if (
    topicOf(items) &&
    view.subjects.length > 0 &&
    !(state || many || present || is(items[view.ask], "listword"))
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

/** "how many copiapoas are up?" */
const risen = (items: readonly Item[]): boolean =>
  items.some((item, i) => is(item, "uppredicate") && items.slice(0, i).some((one) => one.subject));

const troubled = (items: readonly Item[]): boolean => items.some((item) => is(item, "trouble"));

/** "how's Spotty?", "how are the aloes getting on": asked of the bot, what became of them. */
const asksState = (view: QuestionView): boolean =>
  view.message.addressed &&
  view.subjects.length > 0 &&
  !toSomebody(view) &&
  !view.items.some((item) => is(item, "member")) &&
  view.items.some((item) => says(item, "asks how") && is(item, "ask") && item.end - item.start === 1) &&
  (has(view.items, "statecue") || view.items.every((item) => item.subject ?? plain(item)));

/** "what did Priya do yesterday" */
const asksDoings = (view: QuestionView): boolean =>
  view.message.addressed &&
  asked(view, "what") &&
  view.subjects.length === 0 &&
  view.items.some(
    (item, i) => is(item, "member") && is(view.items[i + 1], "doverb") && whenOf(view, "past") !== undefined,
  );

/** A word that asks nothing particular. */
const plain = (item: Item): boolean =>
  item.token.kind === "mark" ||
  ["ask", "be", "det", "filler", "courtesy", "prep"].some((cls) => is(item, cls));

/** "tell me what happened in the lean-to in february", "full history of C-102". */
export const historyQuestion: QuestionRule = (view) => {
  if (asksState(view)) return withKeys({ about: "history" as const }, { subjects: view.subjects });
  if (!has(view.items, "historycue") && !asksDoings(view)) return undefined;
  // "the maximum recorded in the tunnel"
  const extreme = view.items.some((item) => ["min", "max", "mean"].includes(value(item, "stat") ?? ""));
  if (extreme && view.subjects.length === 0) return undefined;
  const about = view.items.every((item) => !is(item, "historycue") || is(item, "topic"));
  if (about && !view.place && view.subjects.some((one) => one.genus || one.group)) return undefined;
  const when = whenOf(view, "past");
  return withKeys({ about: "history" as const }, { subjects: view.subjects, place: view.place, when });
};
