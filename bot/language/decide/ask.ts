import type { Interpretation } from "../interpretation.js";
import { is, isAct, says, unread } from "../item.js";
import { calculateQuestion } from "./ask/calculate.js";
import { careQuestion, remedyQuestion, signQuestion, wholeCollection } from "./ask/care.js";
import {
  dueQuestion,
  historyQuestion,
  inventoryQuestion,
  lastQuestion,
  readingQuestion,
} from "./ask/journal.js";
import { nameQuestion } from "./ask/name.js";
import { toSomebody } from "./ask/people.js";
import { asks, mayAsk } from "./ask/posed.js";
import { type Asked, type QuestionRule, type QuestionView, viewQuestion } from "./ask/view.js";
import { outer } from "./owners.js";
import { has, type MessageView } from "./view.js";

/** In this order: the narrow ones first, care last, since it takes whatever names a plant and a topic. */
const RULES: readonly (readonly [name: string, rule: QuestionRule])[] = [
  ["calculate", calculateQuestion],
  ["name", nameQuestion],
  ["remedy", remedyQuestion],
  ["sign", signQuestion],
  ["whole collection", wholeCollection],
  ["history", historyQuestion],
  ["last", lastQuestion],
  ["due", dueQuestion],
  ["reading", readingQuestion],
  ["inventory", inventoryQuestion],
  ["care", careQuestion],
];

/** The question that a message asks the bot, or undefined. */
export function decideAsk(message: MessageView): Interpretation | undefined {
  if (!message.addressed && !mayAsk(message)) return undefined;
  const view = viewQuestion(message);
  if (isWhy(view)) return { kind: "ask", question: { about: "why" } };
  if (!asks(view)) return undefined;
  if (!message.addressed && (!ours(view) || toSomebody(view))) return undefined;
  for (const [, rule] of RULES) {
    const question = rule(view);
    if (question && (message.addressed || concerns(question, view))) return interpreted(question);
  }
  return undefined;
}

/** The sign or the value that a question of care is about stands beside it. */
function interpreted(asked: Asked): Interpretation {
  if (asked.about !== "care") return { kind: "ask", question: asked };
  const { sign, value: limit, ...question } = asked;
  const detail = { ...(sign && { sign }), ...(limit && { value: limit }) };
  return { kind: "ask", question, ...(Object.keys(detail).length > 0 && { detail }) };
}

const MOST_WHY_WORDS = 8;
/** Words of a phrase that asks why by itself. */
const LONG_WHY = 4;
const WITHOUT_WEIGHT = [
  "filler",
  "courtesy",
  "pron",
  "det",
  "prep",
  "ask",
  "second",
  "report",
  "tentative",
  "then",
];

/** "why?", "how do you know that", "what is that based on?": nothing else in the message. */
function isWhy(view: QuestionView): boolean {
  if (!view.message.addressed || view.subjects.length > 0) return false;
  // "what made you say that about the bay?"
  if (view.items.slice(0, 3).some((item) => is(item, "whycue") && item.end - item.start >= LONG_WHY))
    return true;
  if (view.place) return false;
  const words = view.items.filter((item) => item.token.kind === "word");
  return (
    words.length <= MOST_WHY_WORDS &&
    words.some((item) => is(item, "whycue")) &&
    words.every((item) => is(item, "whycue") || WITHOUT_WEIGHT.some((cls) => is(item, cls)))
  );
}

/** Something of this collection or this trade stands in the question. */
function ours(view: QuestionView): boolean {
  if (view.subjects.length > 0 || view.place) return true;
  if (has(view.items, "elsewhere")) return false;
  return (
    has(view.items, "calc") ||
    has(view.items, "duecue") ||
    has(view.items, "howstat") ||
    has(view.items, "stat") ||
    has(view.items, "seen") ||
    has(view.items, "pest") ||
    has(view.items, "product") ||
    view.items.some((item) => isAct(item, "state")) ||
    view.items.some((item) => item.subject)
  );
}

/** Sums that only this trade asks for. */
const ALONE: ReadonlySet<string> = new Set([
  "dew_point",
  "vapour_pressure_deficit",
  "heat_hold",
  "substrate_volume",
  "running_cost",
  "day_length",
]);

/** "what do I have to do to transfer my savings": the act has an object, and it is no plant of ours. */
const strangeObject = (view: QuestionView): boolean =>
  view.subjects.length === 0 &&
  !view.place &&
  view.items.some((item, i) => is(item, "act") && !item.subject && is(view.items[i + 1], "det"));

/** "where is my gas tank", "is K-12 education required": what looks like a plant's name is part of another word. */
function strangeName(view: QuestionView): boolean {
  const { plants } = view.message.circumstances.context;
  const known = (tag: string): boolean =>
    plants.some((plant) => plant.tag?.toLowerCase() === tag.toLowerCase());
  const named = view.items.filter((item) => item.subject?.tag ?? item.subject?.name);
  if (named.length === 0 || view.subjects.length > named.length) return false;
  return named.every((item) => {
    const at = view.items.indexOf(item);
    const beside = [view.items[at - 1], view.items[at + 1]];
    const strange = item.subject?.tag !== undefined && !known(item.subject.tag);
    return outer(beside[0]) || (strange && view.items.some(outer));
  });
}

/** An unaddressed question is the bot's only where it can hardly be meant for anybody else. */
function concerns(question: Asked, view: QuestionView): boolean {
  if (strangeObject(view) || strangeName(view)) return false;
  if (view.subjects.length > 0 || view.place) return true;
  const sum = question.about === "calculate" && ALONE.has(question.calculation);
  if (sum && Object.keys(question.inputs).length > 2) return true;
  // "how much neem do I need for 5 litres at 4 ml per litre?"
  const diluted = question.about === "calculate" && question.calculation === "dilution";
  if (diluted && view.items.some((item) => is(item, "product")))
    return Object.keys(question.inputs).length > 1;
  if (view.items.some(unread)) return false;
  switch (question.about) {
    case "calculate":
      return ALONE.has(question.calculation) && Object.keys(question.inputs).length > 0;
    case "due":
      return (
        question.act !== undefined || view.message.tokens.some((token) => says(token, "speaks of tasks"))
      );
    case "care":
      // A season, or a temperature to stay above, asked of all plants there are.
      return question.season !== undefined || question.value !== undefined;
    case "reading":
      // What it was outside stands in the journal; what it will be does not.
      return (
        question.quantity === "outdoor_temperature" &&
        question.when !== undefined &&
        question.when.to <= view.message.circumstances.context.now
      );
    case "inventory":
      return ["flower", "bud", "fruit", "pest", "dormant"].includes(question.state ?? "");
    default:
      return false;
  }
}
