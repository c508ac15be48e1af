import { temperature } from "../../entries/readings.js";
import type { CareTopic } from "../../interpretation.js";
import { type Item, value } from "../../item.js";
import { monthOf, type QuestionRule, seasonOf, withKeys } from "./view.js";

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

export function topicOf(items: readonly Item[]): CareTopic | undefined {
  const found = new Set<string>();
  for (const item of items) {
    if (item.quoted) continue;
    if (item.subject && !item.subject.all && item.subject.group !== "seedlings") continue;
    for (const one of item.senses) if (one.cls === "topic") found.add(one.value);
    if (item.measure?.dimension === "temperature") found.add("temperature");
  }
  const degrees = items.some((item) => item.measure?.dimension === "temperature");
  if (degrees && !["hazard", "sow"].some((topic) => found.has(topic))) return "temperature";
  const coldest = items.some((item) => ["min", "max"].includes(value(item, "stat") ?? ""));
  return ORDER.find((topic) => found.has(topic)) ?? (coldest ? "temperature" : undefined);
}

/** "does gasteria need water in winter?", "how much light does haworthia cooperi need", "is euphorbia sap toxic". */
export const careQuestion: QuestionRule = (view) => {
  if (view.subjects.length === 0) return undefined;
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
export { value };
