import type { CareTopic, Question, Subject } from "../language/interpretation.js";
import { plantsNamed } from "./holdings.js";
import type { Scope } from "./scope.js";
import { localMinute } from "./time.js";

const TOPICS: Readonly<Record<string, CareTopic>> = {
  water: "water",
  feed: "feed",
  repot: "repot",
  sow: "sow",
};

/**
 * A question about what is due that the table answers better: of plants that nobody has here ("when does gymnocalycium
 * want water next"), or of a month that has not begun ("what needs water in June").
 */
export function careInstead(
  scope: Scope,
  { subjects = [], act = "water", place, when }: Extract<Question, { about: "due" }>,
): Extract<Question, { about: "care" }> | null {
  const topic = TOPICS[act];
  if (!topic) return null;
  const named = subjects.length > 0 ? { subjects } : {};
  const where = place === undefined ? {} : { place };
  if (when?.grain === "month" && when.from > localMinute(scope.utterance.at, scope.zone))
    return { about: "care", topic, ...named, ...where, month: Number(when.from.slice(5, 7)) };
  const strange = (subject: Subject) =>
    subject.genus !== undefined && plantsNamed(scope.plants, subject).length === 0;
  return place === undefined && subjects.length > 0 && subjects.every(strange)
    ? { about: "care", topic, ...named }
    : null;
}
