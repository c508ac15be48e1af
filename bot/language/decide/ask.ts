import type { Interpretation, Question } from "../interpretation.js";
import { type Item, is, value } from "../item.js";
import { calculateQuestion, convert } from "./ask/calculate.js";
import { careQuestion, wholeCollection } from "./ask/care.js";
import {
  dueQuestion,
  historyQuestion,
  inventoryQuestion,
  lastQuestion,
  readingQuestion,
} from "./ask/journal.js";
import { nameQuestion } from "./ask/name.js";
import { type QuestionRule, type QuestionView, viewQuestion } from "./ask/view.js";
import { has, type MessageView } from "./view.js";

/** In this order: the narrow ones first, care last, since it takes whatever names a plant and a topic. */
const RULES: readonly (readonly [name: string, rule: QuestionRule])[] = [
  ["calculate", calculateQuestion],
  ["name", nameQuestion],
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
    if (question && (message.addressed || concerns(question, view))) return { kind: "ask", question };
  }
  return undefined;
}

/** A question has its mark, opens with a word that asks or sums up, or holds a word of the trade's sums. */
function mayAsk(message: MessageView): boolean {
  const { tokens, vocabulary, items } = message;
  const { asking } = vocabulary.signals;
  let words = 0;
  for (const token of tokens) {
    if (token.text === "?") return true;
    if (token.kind !== "word") continue;
    words++;
    if (words <= 5 && (vocabulary.opensQuestion(token.key) || asking.has(token.key))) return true;
    if (
      ["vpd", "dew", "dewpoint", "deficit", "convert", "rate", "cost", "much", "history", "journal"].includes(
        token.key,
      )
    )
      return true;
  }
  return items.slice(0, 4).some((item) => is(item, "stat") || is(item, "condition"));
}

/** Whether the message begins as a question does, so that it states nothing. */
export const opensAsking = (message: MessageView): boolean => {
  if (!mayAsk(message)) return false;
  const items = message.layered("ask");
  const first = items[lead(items)];
  if (!first || !is(first, "ask") || is(first, "act") || perfect(items, lead(items))) return false;
  if (value(first, "ask") === "aux") return inverted(items, lead(items));
  return (
    ["what", "much", "how", "who", "where", "why", "when"].includes(value(first, "ask") ?? "") &&
    value(items[lead(items) + 1], "prep") !== "with"
  );
};

/** What may stand before a question and says nothing. */
const OPENERS: ReadonlySet<string> = new Set([
  "btw",
  "fyi",
  "so",
  "k",
  "ok",
  "right",
  "oh",
  "well",
  "and",
  "but",
]);

const lead = (items: readonly Item[]): number => {
  let at = 0;
  while (
    at < items.length &&
    (is(items[at], "courtesy") ||
      items[at]?.token.kind === "mark" ||
      is(items[at], "member") ||
      OPENERS.has(items[at]?.token.key ?? "")) &&
    !is(items[at], "ask")
  )
    at++;
  return at;
};

/** "why?", "how do you know that": nothing else in the message. */
function isWhy(view: QuestionView): boolean {
  if (!view.message.addressed || view.subjects.length > 0) return false;
  const words = view.items.filter((item) => item.token.kind === "word");
  return (
    words.some((item) => is(item, "whycue")) &&
    words.every(
      (item) =>
        is(item, "whycue") ||
        is(item, "filler") ||
        is(item, "courtesy") ||
        is(item, "pron") ||
        is(item, "det") ||
        is(item, "prep"),
    ) &&
    words.length <= 5
  );
}

/** Whether the message is put as a question: a question mark, or a word that asks in front. */
function asks(view: QuestionView): boolean {
  const { items } = view;
  const first = lead(items);
  if (items.some((item) => item.token.text === "?" && !item.quoted)) {
    return view.message.addressed || !(has(items, "plan") && !has(items, "ask"));
  }
  if (unreal(items, first)) return false;
  if (perfect(items, first) && !view.message.text.includes("?")) return false;
  const key = items[first]?.token.key ?? "";
  if (
    key === "when" &&
    is(items[first], "ask") &&
    (items[first] as Item).end - (items[first] as Item).start === 1
  )
    return is(items[first + 1], "ask");
  if (key === "what" && value(items[first + 1], "prep") === "with") return false;
  if (/^any(one|body)$/.test(key)) return items[first + 1]?.senses.some((one) => one.cls === "act") ?? false;
  if (is(items[first], "ask")) return !auxiliary(items[first] as Item) || inverted(items, first);
  const conditional =
    is(items[first], "condition") &&
    items.some((item, i) => i > first + 1 && is(item, "ask") && auxiliary(item) && inverted(items, i));
  if (conditional) return true;
  if (
    items.some(
      (item, i) => i > first && item.senses.some((one) => one.cls === "ask" && one.value === "much"),
    ) &&
    items.some((item) => item.measure?.dimension?.includes("/"))
  )
    return true;
  if (is(items[first], "howstat")) return true;
  if (is(items[first], "topic") && (key === "what" || key === "how")) return true;
  if (view.message.addressed && named(view, first)) return true;
  const sum = items.some((item) => SUMS.has(value(item, "calc") ?? ""));
  const how = items.some((item) => is(item, "calc") && item.token.key === "how");
  const cost =
    view.message.addressed &&
    has(items, "calc", "running_cost") &&
    items.some((item) => item.measure?.dimension === "power" || item.measure?.dimension === "price");
  return sum || how || cost || nominal(items, first) || convert(view) !== undefined;
}

/** "Should the frame fall below 10, ...", "were it not for", "was all set to": supposed, with no question mark. */
function unreal(items: readonly Item[], first: number): boolean {
  const key = items[first]?.token.key ?? "";
  if (!["should", "had", "were", "was"].includes(key)) return false;
  if (key === "was" || (key === "were" && items[first + 1]?.token.key === "it"))
    return items.slice(first + 1, first + 4).some((item) => is(item, "plan") || is(item, "negation"));
  const comma = items.findIndex((item, i) => i > first && item.token.text === ",");
  return (
    comma >= 0 &&
    items.slice(comma).some((item) => /^(will|would|shall|must|may|could|can|ll)$/.test(item.token.key))
  );
}

const auxiliary = (item: Item): boolean =>
  item.senses.some((one) => one.cls === "ask" && one.value === "aux") && item.end - item.start === 1;

/** "can i water", "does gasteria need", not "might give them a drink": after the auxiliary comes who or what. */
function inverted(items: readonly Item[], at: number): boolean {
  const next = items[at + 1];
  if (!next) return false;
  const before = items[at - 1];
  if (before && (is(before, "self") || is(before, "pron") || is(before, "member") || before.subject))
    return false;
  const key = items[at]?.token.key ?? "";
  if (key === "any" || key.startsWith("any")) return true;
  if (next.subject)
    return key !== "did" && key !== "do"
      ? true
      : items
          .slice(at + 2)
          .some(
            (item) =>
              is(item, "act") ||
              is(item, "plan") ||
              is(item, "light") ||
              is(item, "actnoun") ||
              is(item, "topic"),
          );
  if (
    is(next, "self") ||
    is(next, "pron") ||
    is(next, "member") ||
    is(next, "place") ||
    is(next, "anyone") ||
    is(next, "quantity") ||
    (is(next, "topic") && !is(next, "act")) ||
    next.measure !== undefined
  )
    return true;
  // "is the heater on", "are the vents open"
  if (is(next, "det") && is(items[at + 2], "equipment")) return true;
  if (is(next, "det"))
    return items
      .slice(at + 3)
      .some(
        (item) =>
          is(item, "act") ||
          is(item, "plan") ||
          is(item, "light") ||
          is(item, "actnoun") ||
          is(item, "topic") ||
          is(item, "seen") ||
          is(item, "equipment"),
      );
  return [
    "there",
    "you",
    "anything",
    "anyone",
    "someone",
    "he",
    "she",
    "everything",
    "all",
    "ok",
    "okay",
    "safe",
  ].includes(next.token.key);
}

/** "have watered the aloes": an auxiliary that states, its "I" left out. */
const perfect = (items: readonly Item[], at: number): boolean =>
  /^(have|has|had)$/.test(items[at]?.token.key ?? "") &&
  (items[at + 1]?.senses.some((one) => one.cls === "act" && one.form === "past") ?? false);

/** "care gasteria", "today's jobs": a heading, said to the bot. */
function named(view: QuestionView, first: number): boolean {
  const { items } = view;
  const words = items.filter((item) => item.token.kind === "word" && !is(item, "courtesy"));
  if (words.length > 3) return false;
  const care = items
    .slice(first)
    .some((item) => item.senses.some((one) => one.cls === "topic" && one.value === "any"));
  return (care && view.subjects.length > 0) || words.some((item) => JOBS.test(item.token.key));
}
const JOBS = /^(jobs|tasks|chores)$/;

/** Sums that are asked for by their name alone. */
const SUMS = new Set(["dew_point", "vapour_pressure_deficit", "day_length", "germination"]);

/** Questions without a verb: "highest temp on the sill in july", "history of C-102", "coldest it got this week". */
function nominal(items: readonly Item[], first: number): boolean {
  const number = items.some((item) => item.measure && !item.time && !item.subject);
  if (number) return false;
  return items
    .slice(first, first + 3)
    .some(
      (item) =>
        is(item, "stat") ||
        (is(item, "historycue") && /^(history|journal|records?|everything|timeline)$/.test(item.token.key)) ||
        (is(item, "duecue") && item.token.key === "due") ||
        (is(item, "namecue") && /^(new|current|accepted|correct|right|valid)$/.test(item.token.key)) ||
        (is(item, "lastcue") && item.token.key.startsWith("last")),
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
    view.items.some((item) => item.senses.some((one) => one.cls === "act" && one.form === "state")) ||
    view.items.some((item) => item.subject)
  );
}

/** "..., Bert?", "... yet have they?", "... thoughts?": the end of the question says that people are asked. */
function endsOnPeople(items: readonly Item[]): boolean {
  const words = items.filter((item) => item.token.kind === "word");
  const last = words.at(-1);
  const key = last?.token.key ?? "";
  if (items.at(-1)?.token.text !== "?" || words.length < 4) return false;
  if (is(last, "member") || key === "thoughts") return true;
  const before = words.at(-2)?.token.key ?? "";
  return (
    /^(they|he|she|we|you)$/.test(key) &&
    /^(have|has|had|did|do|does|are|is|will|would|arent|havent|dont)$/.test(before)
  );
}

const REQUESTS = new Set([
  "has",
  "is",
  "did",
  "could",
  "can",
  "will",
  "would",
  "are",
  "have",
  "were",
  "was",
  "should",
]);

/** "shall we water them tonight?", "who's watering while we're away?": what people settle among themselves. */
function proposes(items: readonly Item[]): boolean {
  const first = items.findIndex((item) => is(item, "ask"));
  const start = items[first];
  if (!start) return false;
  const next = items[first + 1];
  if (value(start, "proposal") && (is(next, "self") || start.end > start.start + 1)) return true;
  return (
    value(start, "ask") === "who" &&
    items
      .slice(first + 1, first + 3)
      .some((item) => item.senses.some((one) => one.cls === "act" && one.form === "gerund"))
  );
}

/** "Lachlan, have the Frailea come up?": somebody of the household is called by name. */
const askedByName = (items: readonly Item[]): boolean =>
  is(items[0], "member") && items[1]?.token.text === ",";

/** "did you water the aloes?", "would anyone like a pup?": asked of people, not of the journal. */
function toSomebody(view: QuestionView): boolean {
  const { items } = view;
  if (endsOnPeople(items) || proposes(items) || askedByName(items)) return true;
  if (items.some((item, i) => item.token.key === "your" && items[i + 1]?.subject)) return true;
  return items.some((item, i) => {
    const before = items[i - 1]?.token.key ?? "";
    if (is(item, "second")) return i === 0 || REQUESTS.has(before) || is(items[i - 1], "member");
    return (
      /^any(one|body)$/.test(item.token.key) && items.slice(i + 1, i + 3).some((one) => is(one, "willing"))
    );
  });
}

/** An unaddressed question is the bot's only where it can hardly be meant for anybody else. */
function concerns(question: Question, view: QuestionView): boolean {
  if (view.subjects.length > 0 || view.place) return true;
  if (
    view.items.some(
      (item) => item.token.kind === "word" && item.senses.length === 0 && !item.time && !item.measure,
    )
  )
    return false;
  switch (question.about) {
    case "calculate":
      return ["dew_point", "vapour_pressure_deficit", "heat_hold", "substrate_volume"].includes(
        question.calculation,
      );
    case "due":
      return (
        question.act !== undefined ||
        view.message.tokens.some((token) => token.key === "due" || token.key === "doing")
      );
    case "care":
      // A season, or a temperature to stay above, asked of all plants there are.
      return question.season !== undefined || question.value !== undefined;
    case "inventory":
      return ["flower", "bud", "fruit", "pest", "dormant"].includes(question.state ?? "");
    default:
      return false;
  }
}
