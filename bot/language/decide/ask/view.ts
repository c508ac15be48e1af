import type { Act, CareDetail, Question, SeasonName, Subject } from "../../interpretation.js";
import { actIn, type Item, is, value } from "../../item.js";
import { indexOf, type MessageView, placeOf } from "../view.js";

/** A message seen as a question. */
export interface QuestionView {
  message: MessageView;
  items: readonly Item[];
  /** First word that asks, -1 where only a question mark does. */
  ask: number;
  subjects: Subject[];
  place?: string;
  /** The act that the question speaks of. */
  act?: Act;
}

/** A question with the particulars of care that are told beside it. */
export type Asked =
  | Exclude<Question, { about: "care" }>
  | (Extract<Question, { about: "care" }> & CareDetail);
/** A rule gives the question it reads, or nothing. */
export type QuestionRule = (view: QuestionView) => Asked | undefined;

const GROWERS: ReadonlySet<string> = new Set(["winter growers", "summer growers", "seedlings"]);

/** Subjects asked about, with "all" and the bare pronoun left out; numbers before a name are no count here. */
function askedSubjects(items: readonly Item[]): Subject[] {
  const subjects: Subject[] = [];
  for (const item of items) {
    if (!item.subject || item.quoted || item.subject.all) continue;
    if (
      item.subject.group &&
      GROWERS.has(item.subject.group) &&
      items.some((one) => one.subject?.genus || one.subject?.tag)
    )
      continue;
    const { ...subject } = item.subject;
    if (!subjects.some((one) => JSON.stringify({ ...one, as: 0 }) === JSON.stringify({ ...subject, as: 0 })))
      subjects.push(subject);
  }
  return subjects;
}

/** The act that any form of a verb or its noun names. */
function askedAct(items: readonly Item[]): Act | undefined {
  for (const item of items) {
    if (item.subject || item.quoted) continue;
    const found = item.senses.find((one) => one.cls === "act" && one.form !== "state");
    if (found && !(found.value === "clean" && is(item, "topic"))) return found.value as Act;
  }
  for (const item of items) {
    if (item.subject) continue;
    const noun = value(item, "actnoun");
    if (noun) return noun as Act;
  }
  return undefined;
}

/** Whether an item, or a phrase by its first word, is of a class: "should we" begins with "should". */
export const led = (view: QuestionView, item: Item, cls: string): boolean => {
  if (is(item, cls)) return true;
  const { layers, phrases } = view.message.vocabulary;
  const { key } = item.token;
  const long = item.end > item.start + 1;
  return long && ((layers.ask.word(key) ?? phrases.word(key))?.some((sense) => sense.cls === cls) ?? false);
};

/** Whether a word of the message, also inside a phrase, is of a class of the words that ask. */
export const spoken = (view: QuestionView, cls: string): boolean => {
  const { layers } = view.message.vocabulary;
  return view.message.tokens.some((token) => layers.ask.word(token.key)?.some((sense) => sense.cls === cls));
};

/** The state that a question speaks of. */
export const seenAct = (items: readonly Item[]): Act | undefined => {
  for (const item of items) {
    if (item.subject) continue;
    const state = actIn(item, "state");
    if (state) return state.value as Act;
    const seen = value(item, "seen");
    if (seen) return seen as Act;
    if (is(item, "pest")) return "pest";
  }
  return undefined;
};

export const seasonOf = (items: readonly Item[]): SeasonName | undefined => {
  for (const item of items) {
    const named = value(item, "season");
    if (named) return named as SeasonName;
    if (item.time?.span?.kind === "season") return item.time.span.season;
  }
  return undefined;
};

export const monthOf = (items: readonly Item[]): number | undefined => {
  for (const item of items) if (item.time?.span?.kind === "month") return item.time.span.month;
  return undefined;
};

export function viewQuestion(message: MessageView): QuestionView {
  const items = message.layered("ask");
  const place = placeOf(items);
  const act = askedAct(items);
  return {
    message,
    items,
    ask: indexOf(items, "ask"),
    subjects: askedSubjects(items),
    ...(place && { place }),
    ...(act && { act }),
  };
}

/** Adds the keys that have a value. */
export const withKeys = <T extends object>(base: T, keys: Record<string, unknown>): T => {
  const result = { ...base } as Record<string, unknown>;
  for (const [key, one] of Object.entries(keys)) {
    if (one !== undefined && !(Array.isArray(one) && one.length === 0)) result[key] = one;
  }
  return result as T;
};
