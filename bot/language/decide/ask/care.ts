import { temperature } from "../../entries/readings.js";
import type { Act, CareTopic, Question } from "../../interpretation.js";
import { type Item, is, value } from "../../item.js";
import { monthOf, type QuestionRule, type QuestionView, seasonOf, withKeys } from "./view.js";

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
  for (const item of items) {
    if (item.quoted) continue;
    if (item.subject && !item.subject.all && !TOPICAL.has(item.subject.group ?? "")) continue;
    for (const one of item.senses) if (one.cls === "topic") found.add(one.value);
    if (item.measure?.dimension === "temperature") found.add("temperature");
  }
  const degrees = items.some((item) => item.measure?.dimension === "temperature");
  if (degrees && !["hazard", "sow"].some((topic) => found.has(topic))) return "temperature";
  const coldest = items.some((item) => ["min", "max"].includes(value(item, "stat") ?? ""));
  return ORDER.find((topic) => found.has(topic)) ?? (coldest ? "temperature" : undefined);
}

/** "is it normal that my euphorbia drops its leaves": what was seen, and whether it should worry anybody. */
function normality(view: QuestionView): Question | undefined {
  const sign = view.items.map((item) => value(item, "sign")).find((one) => one !== undefined);
  const worried = view.items.some((item) => /^(normal|worry|worried|alarming|natural)$/.test(item.token.key));
  if (!sign || !worried || view.subjects.length === 0) return undefined;
  return { about: "care", topic: "any", subjects: view.subjects, sign: sign as Act };
}

/** "does gasteria need water in winter?", "how much light does haworthia cooperi need", "is euphorbia sap toxic". */
export const careQuestion: QuestionRule = (view) => {
  const normal = normality(view);
  if (normal) return normal;
  if (view.subjects.length === 0) return wholeCollection(view);
  const topic = topicOf(view.items);
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
/** "which of our plants want water in winter?", "what must not go below 10?": asked of all there is. */
export function wholeCollection(view: QuestionView): Question | undefined {
  const { items } = view;
  const listed =
    items.some((item) => ["what", "who"].includes(value(item, "ask") ?? "")) ||
    items.some((item) => item.token.key === "which");
  if (view.subjects.length > 0 || !listed) return undefined;
  const all = { subjects: [{ all: true as const }], place: view.place };
  const season = seasonOf(items);
  if (season && (topicOf(items) === "water" || view.act === "water")) {
    return withKeys({ about: "care" as const, topic: "water" as const }, { ...all, season });
  }
  const bound = items.findIndex((item) => /^(below|under|above)$/.test(item.token.key));
  const degrees = items.slice(bound + 1).find((item) => item.measure && !item.measure.article)?.measure;
  const fits = degrees && (!degrees.dimension || degrees.dimension === "temperature");
  if (bound < 0 || !fits || !items.some((item) => is(item, "negation") || BOUND.test(item.token.key))) {
    return undefined;
  }
  const value_ = temperature(degrees, view.message.circumstances);
  return withKeys({ about: "care" as const, topic: "temperature" as const }, { ...all, value: value_ });
}
const BOUND = /^(must|mustn|can|cant|cannot|need|needs|should|stay|keep)/;

export { value };
