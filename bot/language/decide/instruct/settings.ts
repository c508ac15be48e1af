import { temperature } from "../../entries/readings.js";
import type { Instruction, Quantity, Setting } from "../../interpretation.js";
import { type Item, is, isAct, says, value } from "../../item.js";
import type { Measure } from "../../measure.js";
import { coordinatesIn, zoneIn } from "../../symbols.js";
import { heldAt } from "../reading.js";
import { find, type InstructionRule, type InstructionView, light, order, phrase } from "./view.js";

const number = (view: InstructionView, from = 0): { quantity: Quantity; at: number } | undefined => {
  for (let i = from; i < view.items.length; i++) {
    const item = view.items[i] as Item;
    const measure = item.measure;
    if (!measure || measure.article || (measure.dimension && measure.dimension !== "temperature")) continue;
    if (item.time && !item.weakTime) continue;
    return { quantity: temperature(measure, view.message.circumstances), at: i };
  }
  return undefined;
};

const setting = (view: InstructionView, wanted: Setting): number => find(view.items, "setting", wanted);

/** Words that command or state a setting, so that "quiet hours" in a story is none. */
const commands = (view: InstructionView): boolean =>
  order(view, "set") >= 0 || view.items.slice(view.first, view.first + 2).some((item) => is(item, "setting"));

/** "set lean-to min to 2": its index, or -1. */
function setMinimum(view: InstructionView): number {
  const set = order(view, "set");
  const told = view.message.addressed && view.place !== undefined && set >= 0 && set <= view.first + 1;
  return told ? find(view.items, "stat", "min") : -1;
}

const oneValue = ({ items }: InstructionView): boolean =>
  items.filter((item) => item.measure && !item.measure.article).length === 1;

/** "set the floor in the lean-to to 4", "the bay must not go below 11". */
export const floor: InstructionRule = (view) => {
  const at = Math.max(setting(view, "floor"), setMinimum(view));
  const hold = find(view.items, "hold");
  if (!view.place && at < 0) return undefined;
  if (
    view.items.some((item) => item.subject && !item.subject.all) ||
    view.items.some((item) => item.token.text === "?")
  )
    return undefined;
  // "min in the bay was 11": read off, not set
  if (order(view, "set") < 0 && view.items.some((item) => says(item, "was then"))) return undefined;
  const named =
    at >= 0 &&
    (order(view, "set") >= 0 || view.place !== undefined) &&
    !view.items.some((item) => item.time && !item.weakTime && item.time.span?.kind !== "ago");
  const must =
    hold >= 0 &&
    view.place !== undefined &&
    (view.items.some((item) => says(item, "holds") || says(item, "must")) ||
      (view.message.addressed && heldAt(view.items) && oneValue(view)));
  if (!named && !must) return undefined;
  const degrees = number(view);
  if (!degrees) return undefined;
  if (!commands(view) && !must && !view.items.some((item) => says(item, "names the floor"))) return undefined;
  return { do: "set", setting: "floor", ...(view.place && { place: view.place }), value: degrees.quantity };
};

const two = (n: number): string => String(n).padStart(2, "0");

/** "a quarter to seven", "a quarter past seven" */
function quarterHour(view: InstructionView): { text: string; half: boolean; hour: number } | undefined {
  const { items } = view;
  const at = items.findIndex((item) => item.measure?.value === 0.25);
  const hour = items[at + 2]?.measure?.value ?? items[at + 2]?.time?.clock?.hour;
  const word = items[at + 1];
  if (at < 0 || hour === undefined || hour < 1 || hour > 12) return undefined;
  if (value(word, "prep") === "to") return { text: `${two(hour - 1)}:45`, half: false, hour: hour - 1 };
  return is(word, "pastword") ? { text: `${two(hour)}:15`, half: false, hour } : undefined;
}

const HALF = 0.5;
const isHalf = (measure: Measure | undefined): boolean =>
  measure !== undefined && !measure.unit && (measure.to ?? measure.value) === HALF;

/** "10", "10 to 7", "half six": bare numbers that are hours here. */
function bareHours(items: readonly Item[], at: number): { text: string; half: boolean; hour: number }[] {
  const measure = items[at]?.measure;
  if (!measure || measure.unit || measure.article || measure.value < 0 || measure.value > 24) return [];
  const halved = isHalf(items[at - 1]?.measure);
  return [measure.value, measure.to].flatMap((value) => {
    if (value === undefined || value === HALF) return [];
    const hour = Math.floor(value);
    const minute = halved ? 30 : Math.round((value - hour) * 100);
    return minute < 60 ? [{ text: `${two(hour)}:${two(minute)}`, half: false, hour }] : [];
  });
}

/** Clock times of the message in order, "07:30"; a bare hour is one of them here. */
function clocks(view: InstructionView): { text: string; half: boolean; hour: number }[] {
  const quarter = quarterHour(view);
  if (quarter) return [quarter];
  const found: { text: string; half: boolean; hour: number }[] = [];
  for (const item of view.items) {
    const { time } = item;
    for (const clock of [time?.clock, time?.clockTo]) {
      if (!clock) continue;
      const late = time?.part === "evening" && clock === time.clock && !clock.half && clock.hour < 12;
      const hour = late
        ? clock.hour + 12
        : clock.half
          ? (clock.hour % 12) + (clock.half === "pm" ? 12 : 0)
          : clock.hour;
      found.push({
        text: `${two(hour)}:${two(clock.minute)}`,
        half: late || clock.half !== undefined,
        hour,
      });
    }
    if (!time?.clock) found.push(...bareHours(view.items, view.items.indexOf(item)));
  }
  return found;
}

/** "remind us at 8 in the morning": nothing is said that is to be remembered. Its index, or -1. */
export const bareReminder = (view: InstructionView): number => {
  const at = find(view.items, "remind");
  const bare = view.items
    .slice(at + 1)
    .every(
      (item) =>
        item.time ||
        item.measure ||
        light(item) ||
        is(item, "everyword") ||
        is(item, "dayword") ||
        is(item, "and"),
    );
  return bare ? at : -1;
};

/** "the morning message", its morning read as a part of the day. */
const morningMessage = (items: readonly Item[]): number =>
  items.findIndex((item, i) => is(item, "reminderword") && items[i - 1]?.time?.part === "morning");

export const reminderTime: InstructionRule = (view) => {
  const at = Math.max(setting(view, "reminder_time"), bareReminder(view), morningMessage(view.items));
  if (at < 0 || !view.message.addressed) return undefined;
  // "no reminders after 9pm"
  if (view.items.some((item) => item.time?.open)) return undefined;
  // "at 7 instead of 8"
  const denied = view.items.findIndex((item, i) => i > view.first && says(item, "sets apart"));
  const times = clocks(denied < 0 ? view : { ...view, items: view.items.slice(0, denied) });
  if (times.length !== 1 || view.items.some((item, i) => i !== view.first && isAct(item, "base")))
    return undefined;
  return { do: "set", setting: "reminder_time", value: times[0]?.text };
};

export const quietHours: InstructionRule = (view) => {
  const at = setting(view, "quiet_hours");
  if (at < 0 || !view.message.addressed) return undefined;
  const times = clocks(view);
  const [from, to] = times;
  if (!from || !to) return undefined;
  const evening =
    !from.half && from.hour < 12 && from.hour >= 6 && to.hour <= 12
      ? `${two(from.hour + 12)}${from.text.slice(2)}`
      : from.text;
  return {
    do: "set",
    setting: "quiet_hours",
    value: { from: evening === "24:00" ? "00:00" : evening, to: to.text },
  };
};

/** "you may wake us at night", "don't wake us". */
export const dangerAtNight: InstructionRule = (view) => {
  const at = setting(view, "danger_at_night");
  if (at < 0 || !view.message.addressed || view.items.length > 10) return undefined;
  if (view.items.some((item) => item.time?.clock || (item.measure && !item.measure.article)))
    return undefined;
  const refused = view.items.slice(0, at + 1).some((item) => is(item, "negation"));
  return { do: "set", setting: "danger_at_night", value: !refused };
};

export const zone: InstructionRule = (view) => {
  const at = setting(view, "zone");
  if (!view.message.addressed) return undefined;
  const iana = zoneIn(view.message.text);
  if (at >= 0) {
    if (iana) return { do: "set", setting: "zone", value: iana };
    const words = valueWords(view, at);
    return words ? { do: "set", setting: "zone", value: words } : undefined;
  }
  const named = timeOf(view);
  if (named) return { do: "set", setting: "zone", value: named };
  const bare = iana?.includes("/") && view.items.length <= 7 ? iana : undefined;
  return bare ? { do: "set", setting: "zone", value: bare } : undefined;
};

/** Words that name a zone have at most so many. */
const MOST_ZONE = 3;

/** "we're on Dublin time now", "switch to mountain time": the words between the preposition and "time". */
function timeOf(view: InstructionView): string | undefined {
  const { items } = view;
  const end = items.findIndex((item) => says(item, "names a zone") && !item.time);
  const lead = items.slice(0, Math.max(end, 0)).findLastIndex((item) => is(item, "prep"));
  const words = items.slice(lead + 1, Math.max(end, 0));
  const ours = items
    .slice(0, Math.max(lead, 0))
    .some((item) => says(item, "speaks of us") || is(item, "order"));
  const plain = (item: Item): boolean =>
    item.token.kind === "word" && !item.subject && !item.measure && !item.time && !is(item, "det");
  if (lead < 0 || !ours || words.length === 0 || words.length > MOST_ZONE || !words.every(plain))
    return undefined;
  return phrase(view, lead + 1, end);
}

export const units: InstructionRule = (view) => {
  if (!view.message.addressed) return undefined;
  const system = find(view.items, "unitsystem");
  if (
    system < 0 ||
    view.items.some((item) => item.measure && !item.measure.article) ||
    view.items.some((item) => item.token.text === "?")
  )
    return undefined;
  const at = setting(view, "units");
  const said = at >= 0 || order(view, "set") >= 0 || says(view.items[view.first], "wants shown");
  if (!said || view.items.some((item) => item.subject && !item.subject.all)) return undefined;
  return { do: "set", setting: "units", value: value(view.items[system], "unitsystem") };
};

export const language: InstructionRule = (view) => {
  if (!view.message.addressed) return undefined;
  const named = find(view.items, "languagename");
  if (named < 0 || view.items.length > 10) return undefined;
  const at = setting(view, "language");
  if (at < 0 && order(view, "set") < 0 && !view.items.some((item) => says(item, "in a language")))
    return undefined;
  return { do: "set", setting: "language", value: phrase(view, named, named + 1) };
};

/** What stands behind "to", "is", "in", ":" after the setting's name, as written. */
function valueWords(view: InstructionView, at: number): string | undefined {
  const { items } = view;
  let from = at + 1;
  while (from < items.length && (says(items[from], "leads to a value") || items[from]?.token.kind === "mark"))
    from++;
  const words = phrase(view, from, items.length);
  return words === "" ? undefined : words;
}

/** "we're in Gdansk", "our glasshouse is at 54.4 N 18.6 E", "location: Leeds". */
export const location: InstructionRule = (view) => {
  if (!view.message.addressed) return undefined;
  const { items } = view;
  if (items.some((item) => item.token.text === "?")) return undefined;
  // "I'm in Leeds till Friday": where one is for a while.
  if (items.some((item) => item.time?.open ?? item.time?.to)) return undefined;
  const at = setting(view, "location");
  if (at >= 0 && at <= view.first + 4) {
    const words = valueWords(view, at);
    return words && (find(items, "order", "set") >= 0 || !items.some((item) => item.subject))
      ? { do: "set", setting: "location", value: words }
      : undefined;
  }
  const coordinates = coordinatesIn(view.message.text);
  if (coordinates) return { do: "set", setting: "location", value: coordinates };
  return residence(view);
};

/** "we are in <Town>", "the glasshouse is in <Town>": a capitalised place that is none of ours. */
function residence(view: InstructionView): Instruction | undefined {
  const { items } = view;
  if (!says(items[view.first], "speaks of us") || view.place) return undefined;
  const at = items.findIndex((item) => says(item, "leads to a town"));
  if (at < 0 || at > view.first + 4 || at + 1 >= items.length) return undefined;
  if (items.slice(view.first, at).some((item) => item.subject || isAct(item, "past"))) return undefined;
  const town = items[at + 1] as Item;
  const proper = town.token.capital || town.unknown;
  if (!proper || town.subject || town.time || is(town, "placeword") || is(town, "languagename"))
    return undefined;
  const linking = items
    .slice(view.first, at)
    .every(
      (item) =>
        says(item, "says where we live") ||
        is(item, "placenoun") ||
        is(item, "placeword") ||
        is(item, "self") ||
        is(item, "be"),
    );
  if (!linking) return undefined;
  const words = phrase(view, at + 1, items.length);
  return words ? { do: "set", setting: "location", value: words } : undefined;
}
