import { temperature } from "../../entries/readings.js";
import type { Act, Instruction, OwnRule, SeasonName } from "../../interpretation.js";
import { type Item, is, says, value } from "../../item.js";
import type { Token } from "../../tokenise.js";
import { durationIn } from "./duration.js";
import { bareReminder } from "./settings.js";
import { find, type InstructionRule, type InstructionView, light, subjectsIn } from "./view.js";

const baseAct = (items: readonly Item[], from = 0): { act: Act; at: number } | undefined => {
  for (let i = from; i < items.length; i++) {
    const found = items[i]?.senses.find(
      (one) => one.cls === "act" && (one.form === "base" || one.form === "third" || one.form === "gerund"),
    );
    if (found && !items[i]?.subject) return { act: found.value as Act, at: i };
  }
  return undefined;
};

const DAYS = { d: 1, wk: 7, mo: 30 } as const;

/** How many days a word lasts. */
const lasting = (token: Token | undefined): number | undefined =>
  LASTING.find(([cue]) => says(token, cue))?.[1];

const LASTING: readonly (readonly [cue: string, days: number])[] = [
  ["lasts a day", DAYS.d],
  ["lasts a week", DAYS.wk],
  ["lasts two weeks", 2 * DAYS.wk],
  ["lasts a month", DAYS.mo],
];

/** "every 10 days", "every 2 to 3 weeks", "once a fortnight". */
function interval(view: InstructionView): { from: number; to: number } | undefined {
  const at = find(view.items, "everyword");
  if (at < 0) return undefined;
  const { tokens } = view.message;
  for (let i = at; i < Math.min(view.items.length, at + 4); i++) {
    const measure = view.items[i]?.measure;
    if (measure?.dimension === "time" && measure.unit && measure.unit in DAYS) {
      const size = DAYS[measure.unit as keyof typeof DAYS];
      return { from: measure.value * size, to: (measure.to ?? measure.value) * size };
    }
    const first = tokens[(view.items[i] as Item).start];
    const days = lasting(first);
    if (days) return { from: days, to: days };
    const second = says(first, "every second") ? lasting(tokens[(view.items[i] as Item).end]) : undefined;
    if (second && second < DAYS.mo) return { from: 2 * second, to: 2 * second };
  }
  return undefined;
}

const SEASONS: readonly SeasonName[] = ["spring", "summer", "autumn", "winter"];

const seasonIn = (view: InstructionView): SeasonName | undefined => {
  for (const item of view.items) {
    if (item.time?.span?.kind === "season") return item.time.span.season;
    const season = SEASONS.find((one) => says(item, one));
    if (season) return season;
  }
  return undefined;
};

/** "we water the aloes every 10 days in summer", "never water the lithops", "our adeniums stay above 14". */
export const ownRule: InstructionRule = (view) => {
  if (!view.message.addressed) return undefined;
  const { items } = view;
  if (items.some((item) => item.token.text === "?")) return undefined;
  const subjects = subjectsIn(items);
  if (subjects.length === 0) return undefined;
  const season = seasonIn(view);
  const base: OwnRule = { subjects, ...(season && { season }) };
  const every = interval(view);
  const act = baseAct(items);
  const wet = act?.act === "water" || items.some((item) => value(item, "actnoun") === "water");
  if (every && wet) return { do: "rule", rule: { ...base, everyDays: every } };
  const never = items.findIndex(
    (item) => says(item, "rules out") || (is(item, "neverword") && items.indexOf(item) === view.first),
  );
  if (never >= 0 && act && act.at > never && act.at <= never + 3)
    return { do: "rule", rule: { ...base, never: act.act } };
  const hold = find(items, "hold");
  const stays = items.some((item) => says(item, "states a habit"));
  if (hold >= 0 && stays) {
    const degrees = items.find(
      (item, i) =>
        i >= hold &&
        item.measure &&
        !item.measure.article &&
        (!item.measure.dimension || item.measure.dimension === "temperature"),
    );
    if (degrees?.measure)
      return {
        do: "rule",
        rule: { ...base, least: temperature(degrees.measure, view.message.circumstances) },
      };
  }
  return undefined;
};

const isVerb = (item: Item | undefined): boolean =>
  item !== undefined && !item.time && !item.measure && !is(item, "det") && !is(item, "reminderword");

/** ISO numbers, Monday 1. */
const WORKDAYS = [1, 2, 3, 4, 5];
const WEEKEND = [6, 7];

/** "no pest reminders", "morning message only on saturdays and sundays", "we repot in March". */
export const reminderSwitch: InstructionRule = (view) => {
  if (!view.message.addressed) return undefined;
  const { items } = view;
  // "no reminders till Monday", "no reminders for the lithops till March" put off, they switch nothing.
  if (items.some((item) => item.time?.open === "until" || item.time?.open === "after")) return undefined;
  // "remind Dev on Thursday to bring the pots back"
  const task = items.some(
    (item, i) => i > view.first && says(item, "marks infinitive") && isVerb(items[i + 1]),
  );
  if (is(items[view.first], "remind") && task) return undefined;
  // "push that reminder to Monday"
  if (says(items[view.first], "puts off")) return undefined;
  if (durationIn(view) || subjectsIn(items).some((subject) => !subject.all)) return undefined;
  const reminders = items.findIndex(
    (item) => is(item, "reminderword") || value(item, "setting") === "reminder_time",
  );
  return reminders >= 0 ? (daysOf(view) ?? kindSwitch(view, reminders)) : taskMonth(view);
};

/** "reminders only at weekends", "remind us every day": the days of the morning message. */
function daysOf(view: InstructionView): Instruction | undefined {
  const { items } = view;
  if (items.some((item) => item.time?.clock && !item.weakTime)) return undefined;
  if (find(items, "remind") >= 0 && bareReminder(view) < 0 && !items.some((item) => is(item, "daysonly")))
    return undefined;
  const mark = items.findIndex((item) => item.token.text === ":");
  if (
    mark > 0 &&
    mark < items.length - 1 &&
    find(items, "remind") >= 0 &&
    !items.slice(mark + 1).every(dated)
  )
    return undefined;
  const days = items.flatMap((item) =>
    item.time?.day?.kind === "weekday"
      ? [item.time.day.weekday]
      : item.time?.span?.kind === "weekend" || value(item, "dayword") === "weekend"
        ? WEEKEND
        : value(item, "dayword") === "weekday"
          ? WORKDAYS
          : [],
  );
  const daily = items.some(
    (item, i) =>
      value(item, "dayword") === "daily" ||
      (is(item, "everyword") && value(items[i + 1], "dayword") === "day"),
  );
  const named = daily && days.length === 0 ? [...WORKDAYS, ...WEEKEND] : days;
  return named.length > 0 ? { do: "set", setting: "reminder_days", value: named } : undefined;
}
const dated = (item: Item): boolean => item.time !== undefined || light(item) || is(item, "dayword");

/** "vents", "vent" */
const singular = ({ message }: InstructionView, item: Item): string =>
  message.vocabulary.lexicon.language.singular(item.token.key);

/** "no pest reminders", "stop reminding us about shading", "feeding reminders on again". */
function kindSwitch(view: InstructionView, reminders: number): Instruction | undefined {
  const { items } = view;
  const off = find(items, "remindswitch");
  const first = off >= 0 && off <= view.first + 1 ? off : -1;
  const last = items.findIndex((item, i) => i > reminders && (is(item, "polarity") || is(item, "powerback")));
  if (first < 0 && last < 0) return undefined;
  const state = first >= 0 ? value(items[first], "remindswitch") : (value(items[last], "polarity") ?? "on");
  const kind = items.find(
    (item, i) =>
      i !== reminders &&
      i !== first &&
      i !== last &&
      !item.subject &&
      (["act", "actnoun", "pest", "seen", "equipment"].some((cls) => is(item, cls)) ||
        is(item, "remindkind")),
  );
  const named = kind
    ? (value(kind, "remindkind") ?? value(kind, "act") ?? value(kind, "actnoun") ?? singular(view, kind))
    : "all";
  return { do: "set", setting: "reminders", value: { [named]: state === "on" } };
}

/** "we always repot in March", "we do our sowing in February". */
function taskMonth(view: InstructionView): Instruction | undefined {
  const { items } = view;
  const act = baseAct(items);
  const month = items.find((item) => item.time?.span?.kind === "month")?.time?.span;
  if (!act || month?.kind !== "month" || month.year || !is(items[view.first], "self")) return undefined;
  const most = items.some((item) => value(item, "light") === "do" || is(item, "doword")) ? 4 : 2;
  return act.at <= view.first + most &&
    subjectsIn(items).length === 0 &&
    !items.some((item) => is(item, "plan"))
    ? { do: "set", setting: "task_month", value: { act: act.act, month: month.month } }
    : undefined;
}
