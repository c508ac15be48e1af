import { type Item, is, isAct, says, value } from "../../item.js";
import { has, type MessageView } from "../view.js";
import { convert } from "./convert.js";
import type { QuestionView } from "./view.js";

/** Words at the beginning among which one that asks is looked for. */
const OPENING_WORDS = 5;

const layerHas = (message: MessageView, key: string, cls: string): boolean =>
  message.vocabulary.layers.ask.word(key)?.some((sense) => sense.cls === cls) ?? false;

/** A question has its mark, opens with a word that asks or sums up, or holds a word of the trade's sums. */
export function mayAsk(message: MessageView): boolean {
  const { tokens, vocabulary, items } = message;
  const { asking } = vocabulary.signals;
  let words = 0;
  for (const token of tokens) {
    if (token.text === "?") return true;
    if (token.kind !== "word") continue;
    words++;
    if (words <= OPENING_WORDS && (vocabulary.opensQuestion(token.key) || asking.has(token.key))) return true;
    if (layerHas(message, token.key, "sumword")) return true;
  }
  return items.slice(0, 4).some((item) => is(item, "stat") || is(item, "condition"));
}

/** "how much mix", "what size pot": a phrase of the trade that begins with a word that asks. */
const phrasedAsking = (message: MessageView, item: Item | undefined): boolean =>
  item !== undefined && item.end > item.start + 1 && message.vocabulary.opensQuestion(item.token.key);

const STATING: ReadonlySet<string> = new Set(["what", "much", "how", "who", "where", "why", "when"]);

/** Whether the message begins as a question does, so that it states nothing. */
export const opensAsking = (message: MessageView): boolean => {
  if (!mayAsk(message)) return false;
  const items = message.layered("ask");
  const at = lead(items);
  const first = items[at];
  if (!first || !is(first, "ask") || is(first, "act") || perfect(items, at)) return false;
  if (value(first, "ask") === "aux") return inverted(items, at);
  // "when we got home the hoop was at 96": a clause of time, unless the verb comes first.
  if (value(first, "ask") === "when" && first.end === first.start + 1 && is(first, "condition"))
    return is(items[at + 1], "ask");
  return STATING.has(value(first, "ask") ?? "") && value(items[at + 1], "prep") !== "with";
};

/** Index of the first item behind what may stand before a question and says nothing. */
export const lead = (items: readonly Item[]): number => {
  let at = 0;
  while (at < items.length && opens(items[at] as Item) && !is(items[at], "ask") && !describes(items, at))
    at++;
  return at;
};
/** "Dev, who was passing, fed the orchids": the word tells of the member before it. */
const describes = (items: readonly Item[], at: number): boolean =>
  is(items[at], "member") &&
  items[at + 1]?.token.text === "," &&
  says(items[at + 2], "relates") &&
  items.some((item, i) => i > at + 2 && item.token.text === ",") &&
  !items.some((item) => item.token.text === "?");
const opens = (item: Item): boolean =>
  is(item, "courtesy") || item.token.kind === "mark" || is(item, "member") || is(item, "opener");

/** Whether the message is put as a question: a question mark, or a word that asks in front. */
export function asks(view: QuestionView): boolean {
  const { items } = view;
  const first = lead(items);
  const start = items[first];
  if (items.some((item) => item.token.text === "?" && !item.quoted)) {
    return view.message.addressed || !(has(items, "plan") && !has(items, "ask"));
  }
  if (unreal(items, first) || perfect(items, first)) return false;
  if (value(start, "ask") === "when" && start && start.end - start.start === 1 && is(start, "condition"))
    return is(items[first + 1], "ask");
  if (value(start, "ask") === "what" && value(items[first + 1], "prep") === "with") return false;
  if (is(start, "anybody") && start && start.end - start.start === 1) return is(items[first + 1], "act");
  if (start && is(start, "ask")) return !auxiliary(start) || inverted(items, first);
  return (
    supposed(items, first) ||
    is(start, "howstat") ||
    ((is(start, "topic") || is(start, "inventorycue")) && phrasedAsking(view.message, start)) ||
    sumUp(view, first) ||
    nominal(items, first) ||
    (view.message.addressed && (named(view, first) || trailing(items, first)))
  );
}

/** "if it drops to -12 will the heater hold 5": the question stands behind the condition. */
const supposed = (items: readonly Item[], first: number): boolean =>
  is(items[first], "condition") &&
  items.some((item, i) => i > first + 1 && is(item, "ask") && says(item, "inverts") && inverted(items, i));

/** Sums that are asked for by their name alone. */
const SUMS = new Set(["dew_point", "vapour_pressure_deficit", "day_length", "germination"]);

/** "dew point at 14 and 80 %", "1 tsp per gallon how much for 3 gallons", "1:200 in 5 litres". */
function sumUp(view: QuestionView, first: number): boolean {
  const { items, message } = view;
  const much = items.some((item, i) => i > first && value(item, "ask") === "much");
  const rated = items.some((item) => item.measure?.dimension?.includes("/"));
  if (much && rated) return true;
  if (items.some((item) => SUMS.has(value(item, "calc") ?? ""))) return true;
  if (items.some((item) => is(item, "calc") && phrasedAsking(message, item))) return true;
  const paid = items.some((item) => ["power", "price"].includes(item.measure?.dimension ?? ""));
  if (message.addressed && has(items, "calc", "running_cost") && paid) return true;
  const priced = items.some((item) => item.measure?.dimension === "price");
  if (priced && items.some((item) => item.measure?.dimension === "power")) return true;
  if (message.addressed && mixture(items)) return true;
  return convert(view) !== undefined;
}

/** "2 g per litre in 5 litres": a strength and a volume, and no plant that was given it. */
const mixture = (items: readonly Item[]): boolean => {
  const strength = items.some(
    ({ measure }) => measure?.ratio !== undefined || /^(volume|mass)\/volume$/.test(measure?.dimension ?? ""),
  );
  const volume = items.some((item) => item.measure?.dimension === "volume");
  return strength && volume && !items.some((item) => item.subject || is(item, "act") || is(item, "place"));
};

/** "Should the frame fall below 10, ...", "were it not for", "was all set to": supposed, with no question mark. */
function unreal(items: readonly Item[], first: number): boolean {
  const kind = value(items[first], "unreal");
  if (!kind) return false;
  const before = items.slice(first + 1, first + 4);
  if (kind === "was" || (kind === "were" && is(items[first + 1], "pron")))
    return before.some((item) => is(item, "plan") || is(item, "negation"));
  const comma = items.findIndex((item, i) => i > first && item.token.text === ",");
  if (kind === "should" && comma > first + 3 && items.length > comma + 3) return true;
  return (
    comma >= 0 && items.slice(comma).some((item) => is(item, "modal") || value(item, "condition") === "hard")
  );
}

const auxiliary = (item: Item): boolean =>
  item.senses.some((one) => one.cls === "ask" && one.value === "aux") && item.end - item.start === 1;

/** Whether a verb or noun of the trade stands from `from` on. */
const speaks = (items: readonly Item[], from: number, also: readonly string[] = []): boolean =>
  items
    .slice(from)
    .some((item) => ["act", "plan", "light", "actnoun", "topic", ...also].some((cls) => is(item, cls)));

/** "can i water", "does gasteria need", not "might give them a drink": after the auxiliary comes who or what. */
function inverted(items: readonly Item[], at: number): boolean {
  const item = items[at];
  const next = items[at + 1];
  if (!item || !next) return false;
  const before = items[at - 1];
  if (
    before &&
    (is(before, "self") || is(before, "plan") || is(before, "pron") || is(before, "member") || before.subject)
  )
    return false;
  if (is(item, "openask")) return true;
  // "had the paintbrush out": told, unless a question mark ends it.
  if (
    says(item, "tells unless marked") &&
    (is(next, "det") || next.measure) &&
    !items.slice(at + 2, at + 6).some(isBe)
  )
    return false;
  // "did the gasterias, gave them a drink", "do the aloes": a verb that states.
  const states = is(item, "doverb");
  if (next.subject) return states ? !toldOn(items, at) && speaks(items, at + 2) : true;
  if (
    ["self", "pron", "member", "place", "anyone", "quantity", "openask", "inversion"].some((cls) =>
      is(next, cls),
    )
  )
    return true;
  if ((is(next, "topic") && !is(next, "act")) || next.measure !== undefined || next.time !== undefined)
    return true;
  if (!is(next, "det")) return false;
  // "is the heater on", "are the vents open"
  if (is(items[at + 2], "equipment")) return true;
  if (states && toldOn(items, at)) return false;
  return speaks(items, at + 3, ["seen", "equipment", "state", "froze", "worry", "boundword"]);
}

const isBe = (item: Item): boolean => is(item, "be");

/** "did the gasterias, ...", "did the aloes. ...": the object is followed by a new clause, so "did" is the verb. */
const toldOn = (items: readonly Item[], at: number): boolean => {
  const name = items.findIndex((item, i) => i > at && item.subject !== undefined);
  const mark = items[name + 1]?.token.text;
  return name >= 0 && (mark === "," || mark === ".");
};

/** "have watered the aloes": an auxiliary that states, its "I" left out. */
const perfect = (items: readonly Item[], at: number): boolean =>
  value(items[at], "light") === "have" && isAct(items[at + 1], "past");

/** Words that a heading has at most. */
const MOST_HEADING = 5;

/** "care gasteria", "tips for growing lithops", "today's jobs": a heading, said to the bot. */
function named(view: QuestionView, first: number): boolean {
  const { items } = view;
  const words = items.filter((item) => item.token.kind === "word" && !is(item, "courtesy"));
  const care = (item: Item): boolean => item.senses.some((one) => one.cls === "topic" && one.value === "any");
  if (view.subjects.length > 0 && care(items[first] as Item) && words.length <= MOST_HEADING) return true;
  // "everything for L-014"
  if (view.subjects.length > 0 && is(items[first], "historycue") && !speaks(items, first + 1))
    return words.length <= MOST_HEADING;
  if (words.length > 3) return false;
  return (
    (view.subjects.length > 0 && items.slice(first).some(care)) || words.some((item) => is(item, "jobs"))
  );
}

/** "my dog chewed the jade is it poisonous", "17 of 30 came up, what's that as a percentage". */
function trailing(items: readonly Item[], first: number): boolean {
  const end = items.length;
  return items.some((item, i) => {
    if (i <= first || !is(item, "ask")) return false;
    if (["what", "much"].includes(value(item, "ask") ?? ""))
      return has(items.slice(i), "calc") || has(items, "calc");
    const whole = value(item, "ask") === "aux" && item.end > item.start + 1;
    const asked = whole || (auxiliary(item) && (is(items[i + 1], "pron") || is(items[i + 1], "det")));
    return asked && end - i <= 5 && items.slice(i + 1).some((one) => is(one, "topic") || is(one, "worry"));
  });
}

/** Questions without a verb: "highest temp on the sill in july", "history of C-102", "coldest it got this week". */
function nominal(items: readonly Item[], first: number): boolean {
  if (items.some((item) => item.measure && !item.time && !item.subject)) return false;
  const head = items.findIndex((item, i) => i >= first && (is(item, "stat") || is(item, "heading")));
  return (
    head >= 0 &&
    head <= first + 2 &&
    items
      .slice(first, head)
      .every(
        (item) =>
          ["det", "filler", "topic", "newness"].some((cls) => is(item, cls)) ||
          (is(items[head], "heading") && (item.subject !== undefined || is(item, "place"))),
      )
  );
}
