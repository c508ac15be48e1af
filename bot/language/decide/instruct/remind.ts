import type { Instruction } from "../../interpretation.js";
import { type Item, is, isAct, says, value } from "../../item.js";
import { outer } from "../owners.js";
import { find, type InstructionRule, type InstructionView, personIn, phrase, whenIn } from "./view.js";

/** "remind me to shut the vents at 7", "give oskar a nudge tomorrow to feed the orchids". */
export const remind: InstructionRule = (view) => {
  const told = view.message.addressed && tells(view);
  const at = told ? view.first : find(view.items, "remind");
  if (at < 0) return planned(view);
  const { items } = view;
  if (!view.message.addressed && !collection(view)) return undefined;
  if (items.slice(at + 1, at + 3).some((item) => is(item, "ask")) && !says(items[at + 1], "marks infinitive"))
    return undefined;
  const start = bodyStart(items, at);
  if (start < 0) return undefined;
  if (pointsBack(items, start)) {
    const when = whenIn(view, "future")?.when;
    return when ? { do: "snooze", when } : undefined;
  }
  const body = bodyWithoutTime(view, start);
  if (body === "") return undefined;
  const time = whenIn(view, "future");
  const person = personIn(items, 0, start) ?? (start > 0 ? stranger(view, at, start) : undefined);
  return result(body, time?.when, person?.person);
};

/** "tell Pete to drain the hose", "tell everyone on Friday to bring labels". */
function tells(view: InstructionView): boolean {
  const { items, first } = view;
  if (!says(items[first], "tells somebody")) return false;
  const next = is(items[first + 1], "det") ? first + 2 : first + 1;
  if (is(items[next], "member")) return true;
  return says(items[next], "whole group") && whenIn(view, "future") !== undefined;
}

const result = (
  text: string,
  when: ReturnType<typeof whenIn> extends infer T
    ? (T extends { when: infer W } ? W : never) | undefined
    : never,
  person: string | undefined,
): Instruction => ({
  do: "remind",
  text,
  ...(when && { when }),
  ...(person && { person }),
});

/** "remind me about that again tomorrow": what was reminded of before, put off. */
const pointsBack = (items: readonly Item[], start: number): boolean =>
  items.slice(start).some((item) => is(item, "pron") || is(item, "det")) &&
  items
    .slice(start)
    .every((item) => item.time || is(item, "pron") || is(item, "filler") || is(item, "det")) &&
  !items.slice(start).some((item) => item.subject);

const collection = (view: InstructionView): boolean =>
  view.items.some((item) => item.subject || is(item, "place") || is(item, "equipment"));

/** Where what is to be remembered begins: behind "to", "about" or "that". */
function bodyStart(items: readonly Item[], at: number): number {
  for (let i = at + 1; i < items.length; i++) {
    if (says(items[i], "marks infinitive") && is(items[i], "order")) return i;
    if (says(items[i], "leads to a task")) return i + 1;
    if (says(items[i], "says what it is")) return i;
    if (says(items[i], "leads to a span") && items[i + 1]?.time && i + 2 < items.length) continue;
    if (is(items[i], "plan") && says(items[i], "marks infinitive")) return i + 1;
    if (items[i]?.token.kind === "mark" && items[i]?.token.text === ":") return i + 1;
    if (isAct(items[i], "base") || isAct(items[i], "gerund")) return i;
  }
  // "don't let me forget the lithops on Friday"
  const thing = items.findIndex((item, i) => i > at && (item.subject !== undefined || is(item, "place")));
  if (thing < 0) return -1;
  return is(items[thing - 1], "det") ? thing - 1 : thing;
}

/** The words of the reminder with the phrase of time taken out, if it stands at an end. */
function bodyWithoutTime(view: InstructionView, start: number): string {
  const { items } = view;
  let from = start;
  let end = items.length;
  while (
    end > from &&
    ((items[end - 1]?.token.kind === "mark" && !items[end - 1]?.subject) || is(items[end - 1], "courtesy"))
  )
    end--;
  if (end > from && items[end - 1]?.time) {
    end--;
    // "bring the epiphyllums in on Saturday": the time has its own preposition.
    const led = says(items[end], "leads to a time");
    while (!led && end > from && is(items[end - 1], "prep") && says(items[end - 1], "leads to a time")) end--;
  }
  if (items[from]?.time && from < end) {
    from++;
    if (says(items[from], "marks infinitive")) from++;
  }
  // "to cover" is one phrase of which the first word only leads in.
  const lead = says(items[from], "marks infinitive") ? 1 : 0;
  return phrase(view, from, end, lead);
}

function stranger(view: InstructionView, at: number, start: number): { person: string } | undefined {
  const next = view.items[at + 1];
  if (!next || at + 1 >= start - 1) return undefined;
  const kin = value(next, "kin") ? phrase(view, at + 1, at + 2) : undefined;
  if (kin) return { person: kin };
  return next.token.kind === "word" && (next.token.capital || next.unknown) && next.senses.length === 0
    ? { person: next.token.text }
    : undefined;
}

/** "I need to water the aloes tomorrow", said to the bot: a plan is a reminder. */
function planned(view: InstructionView): Instruction | undefined {
  if (!view.message.addressed) return undefined;
  const { items } = view;
  if (items.some((item) => item.token.text === "?") || is(items[view.first], "ask")) return undefined;
  const plan = items.findIndex((item) => is(item, "plan") && says(item, "obliges") && !item.subject);
  if (
    plan < 0 ||
    plan > view.first + 2 ||
    !items.slice(view.first, plan + 1).some((item) => is(item, "self") || is(item, "plan"))
  )
    return undefined;
  const act = items.findIndex((item, i) => i > plan && isAct(item, "base"));
  if (!collection(view)) return undefined;
  const time = whenIn(view, "future");
  // "gotta plug in the heater tomorrow": work that is no act of the journal.
  if (act < 0 && time && ownDuty(view, plan))
    return result(bodyWithoutTime(view, plan + 1), time.when, personIn(items, 0, plan)?.person);
  if (act < 0 || act > plan + 3) return undefined;
  const person = personIn(items, 0, plan);
  return result(bodyWithoutTime(view, act), time?.when, person?.person);
}
/** "gotta plug in the heater": the writer has something to do to the equipment, in words that no table knows. */
const ownDuty = ({ items, first }: InstructionView, plan: number): boolean =>
  items.slice(first, plan).every((item) => is(item, "self")) &&
  outer(items[plan + 1]) &&
  items.slice(plan + 2).some((item) => is(item, "equipment"));
