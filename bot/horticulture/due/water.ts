import type { Temporal } from "temporal-polyfill";
import type { Range } from "../care.js";
import type { CareKnowledge } from "../knowledge.js";
import type { FoundRules } from "../lookup.js";
import type { CareNow } from "../own-rules.js";
import { epochDay, isBefore, laterOf } from "./days.js";
import { careOn, daysToRest, type Ground, groundOf, restEndedDaysAgo } from "./ground.js";
import type { CareHistory } from "./history.js";
import { holdOf, ownInterval } from "./holds.js";
import { habitOf, type Pace, paceOf } from "./pace.js";
import type { DuePlant, DueSetting, DueStatus, Pull, WaterDue, WaterState } from "./types.js";

/** First waterings after a dry rest are sips: roots have to grow again (common practice). */
const SIPS_AFTER_REST = 2;
/** Days after the end of a dry rest at which the first sip is due. */
const FIRST_SIP_DAYS: Range = [3, 7];
/** Days after a rest in which a watering still counts as one of the first. */
const WAKING_DAYS = 75;
/** How long ahead a rest without water is told. */
export const REST_TOLD_DAYS = 14;
/** "Every 10 days" said by the household: late after a fifth more. */
const OWN_LATE_SHARE = 0.2;

export type Knowledge = Pick<CareKnowledge, "lookup" | "inGroup">;

const taxonName = (plant: DuePlant): string =>
  plant.species === null ? plant.genus : `${plant.genus} ${plant.species}`;

/** The rules that speak for a plant; null if none do. */
export const rulesOf = (plant: DuePlant, knowledge: Knowledge): FoundRules | null =>
  knowledge.lookup.find(taxonName(plant));

/**
 * How a plant stands with its water on a day: in its dry rest, not yet due, or with an open window (early, due or
 * overdue), and whether something holds it back. Pure: the same inputs give the same answer.
 */
export function waterState(
  plant: DuePlant,
  setting: DueSetting,
  history: CareHistory,
  knowledge: Knowledge,
): WaterState {
  const found = rulesOf(plant, knowledge);
  if (!found) return { state: "no rule", plant };
  const ground = groundOf(plant, setting);
  const care = careOn(found, plant, ground, setting, knowledge.inGroup);
  if (care.mode === "none" || care.days === null) {
    return { state: "dry rest", plant, care, at: ground.at, last: history.lastOn(plant.id, "water") };
  }
  const item = windowOf(plant, found, ground, care, care.days, setting, history);
  const toRest = daysToRest(found, ground);
  const resting = toRest !== null && toRest <= REST_TOLD_DAYS && !plant.young && !ownInterval(care);
  const restFrom = resting ? setting.date.add({ days: toRest }) : null;
  if (isBefore(setting.date, item.window[0])) return { state: "not yet", item, restFrom };
  const held = holdOf({ plant, ground, care, setting, history, inGroup: knowledge.inGroup, toRest });
  return { state: "open", item: held === null ? item : { ...item, held }, restFrom };
}

function windowOf(
  plant: DuePlant,
  found: FoundRules,
  ground: Ground,
  care: CareNow,
  days: Range,
  setting: DueSetting,
  history: CareHistory,
): WaterDue {
  const { date } = setting;
  const last = history.last(plant.id, "water");
  const restEnded = plant.young || ownInterval(care) ? null : restEndedDaysAgo(found, ground);
  const restEnd = restEnded === null ? null : date.subtract({ days: restEnded });
  const pace = pacing(plant, ground, care, days, setting, history, found);
  const { window, dueOn, pulls } = placed(plant, last?.to ?? null, restEnd, pace);
  const afterRest = restEnd !== null && wakes(plant, restEnd, date, history);
  return {
    kind: "water",
    act: "water",
    plant,
    by: found.by.name,
    care,
    at: ground.at,
    last: last?.to ?? null,
    lastBy: last?.person ?? null,
    window,
    dueOn,
    status: statusOn(date, window, dueOn),
    mode: afterRest ? "sips" : care.mode,
    days,
    pulls,
    held: null,
    afterRest,
    neverNoted: last === null && !restedHere(plant, restEnd),
  };
}

/** Whether the household had the plant through the end of its rest: then no watering noted means none given. */
const restedHere = (plant: DuePlant, restEnd: Temporal.PlainDate | null): boolean =>
  restEnd !== null && !isBefore(restEnd, plant.knownSince);

/** Whether the next watering is one of the first after the rest. */
function wakes(
  plant: DuePlant,
  restEnd: Temporal.PlainDate,
  date: Temporal.PlainDate,
  history: CareHistory,
): boolean {
  const from = epochDay(restEnd);
  if (epochDay(date) - from > WAKING_DAYS) return false;
  const since = history.days(plant.id, "water").filter((day) => day >= from).length;
  return since < SIPS_AFTER_REST;
}

/** The pace by the household's own words, its habit, or the book's range moved by pot and air. */
function pacing(
  plant: DuePlant,
  ground: Ground,
  care: CareNow,
  days: Range,
  setting: DueSetting,
  history: CareHistory,
  found: FoundRules,
): Pace {
  if (ownInterval(care)) {
    const late = Math.max(days[1], days[0] + Math.max(1, Math.round(days[0] * OWN_LATE_SHARE)));
    return { interval: Math.round((days[0] + days[1]) / 2), window: [days[0], late], pulls: [] };
  }
  const habit = habitOf(history, plant.id, ground.at, setting.date, days);
  const pace = paceOf(plant, ground.place, days, habit, ground.at.season);
  if (plant.young) pace.pulls.push({ by: "young", days: 0 });
  return habit ? pace : withinCalendar(pace, ground, found);
}

/**
 * Where the season of the place differs from the calendar's, or one season's interval grows into the next one's, the
 * day is kept inside the range of the calendar's own row as far as the window allows.
 */
function withinCalendar(pace: Pace, { calendar }: Ground, found: FoundRules): Pace {
  const book = found.rules[calendar.season].water.days;
  if (book === null) return pace;
  const lo = Math.max(pace.window[0], book[0]);
  const hi = Math.min(pace.window[1], book[1]);
  const nearest = book[0] > pace.window[1] ? pace.window[1] : pace.window[0];
  const interval = lo > hi ? nearest : Math.min(hi, Math.max(lo, pace.interval));
  if (interval === pace.interval) return pace;
  const pulled: Pull = { by: "calendar", season: calendar.season, days: interval - pace.interval };
  return { ...pace, interval, pulls: [...pace.pulls, pulled] };
}

/** The window on the calendar: from the last watering, from the end of the rest, or from when it became known. */
function placed(
  plant: DuePlant,
  last: Temporal.PlainDate | null,
  restEnd: Temporal.PlainDate | null,
  pace: Pace,
): Pick<WaterDue, "window" | "dueOn" | "pulls"> {
  const [lo, hi] = pace.window;
  if (restEnd !== null && (last === null ? restedHere(plant, restEnd) : isBefore(last, restEnd))) {
    const first = Math.min(FIRST_SIP_DAYS[1], Math.max(FIRST_SIP_DAYS[0], Math.round(lo / 2)));
    const earliest = last === null ? restEnd : laterOf(restEnd, last.add({ days: lo }));
    return {
      window: [earliest, earliest.add({ days: hi })],
      dueOn: earliest.add({ days: first }),
      pulls: [{ by: "after rest", days: first }],
    };
  }
  if (last === null) {
    const known = plant.knownSince;
    return { window: [known, known.add({ days: hi })], dueOn: known, pulls: [] };
  }
  return {
    window: [last.add({ days: lo }), last.add({ days: hi })],
    dueOn: last.add({ days: pace.interval }),
    pulls: pace.pulls,
  };
}

function statusOn(
  date: Temporal.PlainDate,
  window: WaterDue["window"],
  dueOn: Temporal.PlainDate,
): DueStatus {
  if (isBefore(window[1], date)) return "overdue";
  return isBefore(date, dueOn) ? "early" : "due";
}
