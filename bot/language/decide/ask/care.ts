import { temperature } from "../../entries/readings.js";
import type { Act, CareTopic, Question } from "../../interpretation.js";
import { type Item, is, isAct, says, value } from "../../item.js";
import { monthOf, type QuestionRule, type QuestionView, seasonOf, seenAct, withKeys } from "./view.js";

/** Topics that are certain where their word stands come before those whose words are common. */
const ORDER: readonly CareTopic[] = [
  "hazard",
  "sow",
  "rest",
  "feed",
  "repot",
  "water",
  "light",
  "temperature",
  "any",
];

/** Groups whose name is a topic as well, beside a plant that is asked about. */
const TOPICAL: ReadonlySet<string> = new Set(["seedlings", "winter growers", "summer growers"]);

export function topicOf(items: readonly Item[]): CareTopic | undefined {
  const found = new Set<string>();
  const beside = items.some(({ subject }) => subject?.genus ?? subject?.tag);
  for (const item of items) {
    if (item.quoted) continue;
    if (item.subject && !item.subject.all && !(beside && TOPICAL.has(item.subject.group ?? ""))) continue;
    for (const one of item.senses) if (one.cls === "topic") found.add(one.value);
    if (item.measure?.dimension === "temperature") found.add("temperature");
  }
  const degrees = items.some((item) => item.measure?.dimension === "temperature");
  if (degrees && !["hazard", "sow"].some((topic) => found.has(topic))) return "temperature";
  const coldest = items.some((item) => ["min", "max"].includes(value(item, "stat") ?? ""));
  const sure = ORDER.find((topic) => topic !== "any" && found.has(topic));
  return sure ?? (coldest ? "temperature" : found.has("any") ? "any" : undefined);
}

/** "is it alright to feed schlumbergeras while they're in bud?", "can I repot lithops when they split?" */
export const asksLeave = (items: readonly Item[]): boolean =>
  items.some(
    (item, i) =>
      !item.subject &&
      isAct(item, "base") &&
      items[i + 1] !== undefined &&
      (says(items[i - 1], "marks infinitive") ||
        asksInWords(items[i - 1]) ||
        is(items[i - 1], "plan") ||
        is(items[i - 1], "self")) &&
      items.slice(i + 1).some((one) => one.subject),
  );

/** "is it ok to", "should I": a phrase that asks. */
const asksInWords = (item: Item | undefined): boolean =>
  item !== undefined && is(item, "ask") && item.end - item.start > 1;

/** "is it normal for lithops to shrivel in summer", "why is my adenium dropping leaves": what was seen, and whether to worry. */
export const signQuestion: QuestionRule = (view) => {
  const { items, subjects } = view;
  if (subjects.length === 0 || asksLeave(items)) return undefined;
  const sign = items.map((item) => value(item, "sign")).find((one) => one !== undefined) ?? seenAct(items);
  const why = items.some((item) => value(item, "ask") === "why");
  const worried = items.some((item) => is(item, "worry"));
  const ought = items.some((item) => is(item, "ought")) && items.some((item) => is(item, "sign"));
  if (!sign || !(worried || why || ought)) return undefined;
  return withKeys(
    { about: "care" as const, topic: "any" as const },
    { subjects, sign: sign as Act, season: seasonOf(items), month: monthOf(items) },
  );
};

/** "what should I do about mealybug", "how do I get rid of scale on the hoyas": what is known of the care. */
export const remedyQuestion: QuestionRule = ({ items, subjects, place }) => {
  const cue = items.findIndex((item) => is(item, "remedycue"));
  const pest = items.findIndex((item) => is(item, "pest") && !item.subject);
  const asked = items.some((item) => ["what", "how", "show", "aux"].includes(value(item, "ask") ?? ""));
  if (cue < 0 || pest < cue || items.some((item) => is(item, "lastcue")) || !asked || place) return undefined;
  if (items.some((item) => isAct(item, "past"))) return undefined;
  return withKeys({ about: "care" as const, topic: "any" as const }, { subjects });
};

/** "does gasteria need water in winter?", "how much light does haworthia cooperi need", "is euphorbia sap toxic". */
export const careQuestion: QuestionRule = (view) => {
  if (view.subjects.length === 0) return wholeCollection(view);
  const topic =
    topicOf(view.items) ??
    sunned(view) ??
    (bounded(view) ? "temperature" : openNeed(view) ? "any" : undefined);
  if (!topic) return undefined;
  const measured =
    topic === "temperature"
      ? view.items.find(
          (item) =>
            item.measure &&
            !item.measure.article &&
            (!item.measure.dimension || item.measure.dimension === "temperature"),
        )
      : undefined;
  return withKeys(
    { about: "care" as const, topic },
    {
      subjects: view.subjects,
      season: seasonOf(view.items),
      month: monthOf(view.items),
      value: measured?.measure ? temperature(measured.measure, view.message.circumstances) : undefined,
    },
  );
};

/** "can the hoyas go below 50": a bare number behind a word that bounds it. */
const bounded = (view: QuestionView): boolean =>
  view.items.some(
    (item, i) =>
      item.measure !== undefined &&
      !item.measure.dimension &&
      !item.measure.article &&
      (is(view.items[i - 1], "boundword") || view.items.slice(0, i).some((one) => is(one, "survive"))),
  );

/** "do they want sun": no Sunday. */
const sunned = (view: QuestionView): CareTopic | undefined =>
  view.items.some(
    (item) =>
      item.time &&
      item.end === item.start + 1 &&
      view.message.vocabulary.layers.ask.word(item.token.key)?.some((sense) => sense.value === "light"),
  )
    ? "light"
    : undefined;

/** "what does a Frailea need?": anything there is to know. */
const openNeed = (view: QuestionView): boolean =>
  (view.items.some((item) => value(item, "ask") === "what" || says(item, "asks for anything")) &&
    view.items.some((item) => is(item, "needs"))) ||
  (view.items.some((item) => value(item, "ask") === "how") &&
    view.items.some((item) => is(item, "keepverb")));

/** "which of our plants want water in winter?", "what must not go below 10?": asked of all there is. */
export function wholeCollection(view: QuestionView): Question | undefined {
  const { items } = view;
  const listed = items.some(
    (item) => ["what", "who"].includes(value(item, "ask") ?? "") || is(item, "openask"),
  );
  if (view.subjects.length > 0 || !listed) return undefined;
  const all = { subjects: [{ all: true as const }], place: view.place };
  const season = seasonOf(items);
  if (season && (topicOf(items) === "water" || view.act === "water")) {
    return withKeys({ about: "care" as const, topic: "water" as const }, { ...all, season });
  }
  const bound = items.findIndex((item) => is(item, "boundword"));
  const degrees = items.slice(bound + 1).find((item) => item.measure && !item.measure.article)?.measure;
  const fits = degrees && (!degrees.dimension || degrees.dimension === "temperature");
  if (bound < 0 || !fits || !items.some((item) => is(item, "negation") || is(item, "bindingverb"))) {
    return undefined;
  }
  const value_ = temperature(degrees, view.message.circumstances);
  return withKeys({ about: "care" as const, topic: "temperature" as const }, { ...all, value: value_ });
}
