import type { Range } from "../care.js";
import type { CareKnowledge } from "../knowledge.js";
import type { FoundRules } from "../lookup.js";
import type { CareNow } from "../own-rules.js";
import { dateOf, epochDay, plusDays } from "./days.js";
import { careOn, daysToRest, type Ground, groundOf, restEndedDaysAgo } from "./ground.js";
import type { CareHistory } from "./history.js";
import { DRY_BEFORE_REST_DAYS, holdOf, ownInterval } from "./holds.js";
import { habitOf, type Pace, paceOf, withHabit } from "./pace.js";
import type { DuePlant, DueSetting, Pull, WaterDue, WaterState } from "./types.js";

/** First waterings after a dry rest are sips: roots have to grow again (common practice). */
const SIPS_AFTER_REST = 2;
/** Days after the end of a dry rest at which the first sip is due. */
const FIRST_SIP_DAYS: Range = [3, 7];
/** Days after a rest in which a watering still counts as one of the first. */
const WAKING_DAYS = 75;
/** A watering may come this share of its interval before its day when the can is out anyway, inside its window. */
const RIDES_SHARE = 0.15;
const RIDES_MOST_DAYS = 4;
/** The end of a rest moves a little with the months' lengths and the weather. */
const REST_END_SCATTER_DAYS = 3;
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
  const resting = toRest !== null && toRest < DRY_BEFORE_REST_DAYS && !plant.young && !ownInterval(care);
  const restFrom = resting ? plusDays(setting.date, toRest) : null;
  if (epochDay(setting.date) < epochDay(item.window[0])) return { state: "not yet", item, restFrom };
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
  const today = epochDay(setting.date);
  const last = history.last(plant.id, "water");
  const lastDay = history.days(plant.id, "water")[0] ?? null;
  const restEnded = plant.young || ownInterval(care) ? null : restEndedDaysAgo(found, ground);
  const restEnd = restEnded === null ? null : today - restEnded;
  const pace = pacing(plant, ground, care, days, setting, history, found);
  const { window: range, dueOn, rides, pulls } = placed(plant, lastDay, restEnd, pace);
  const late = lastDay === null ? 0 : lateNotBefore(lastDay, today, ground, pace.window[0]);
  const window: Range = [range[0], Math.max(range[1], late)];
  const afterRest = restEnd !== null && wakes(plant, restEnd, today, history);
  return {
    kind: "water",
    act: "water",
    plant,
    by: found.by.name,
    care,
    at: ground.at,
    last: last?.to ?? null,
    lastBy: last?.person ?? null,
    window: [dateOf(window[0]), dateOf(window[1])],
    dueOn: dateOf(dueOn),
    ridesFrom: dateOf(rides),
    status: window[1] < today ? "overdue" : today < dueOn ? "early" : "due",
    mode: afterRest ? "sips" : care.mode,
    days,
    pulls,
    held: null,
    afterRest,
    neverNoted: last === null && !restedHere(plant, restEnd),
  };
}

/** Whether the household had the plant through the end of its rest: then no watering noted means none given. */
const restedHere = (plant: DuePlant, restEnd: number | null): boolean =>
  restEnd !== null && restEnd + REST_END_SCATTER_DAYS >= epochDay(plant.knownSince);

/** Whether the next watering is one of the first after the rest. */
function wakes(plant: DuePlant, restEnd: number, today: number, history: CareHistory): boolean {
  if (today - restEnd > WAKING_DAYS) return false;
  return history.days(plant.id, "water").filter((day) => day >= restEnd).length < SIPS_AFTER_REST;
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
): Pace & { least: number } {
  if (ownInterval(care)) {
    const late = Math.max(days[1], days[0] + Math.max(1, Math.round(days[0] * OWN_LATE_SHARE)));
    const interval = Math.round((days[0] + days[1]) / 2);
    return { interval, window: [days[0], late], pulls: [], least: days[0] };
  }
  const book = plant.young ? days : (found.rules[ground.calendar.season].water.days ?? days);
  const habit = habitOf(history, plant.id, ground.calendar, setting.date, book);
  const pace = paceOf(plant, ground.place, days, ground.at.season);
  const placed = plant.young
    ? { ...pace, pulls: [...pace.pulls, { by: "young", days: 0 } as const], least: pace.window[0] }
    : withinCalendar(pace, ground, found);
  if (!habit) return placed;
  // On its own advice a habit would grow ever shorter: it rides along no earlier than the book would.
  return {
    ...withHabit(book, habit),
    least: Math.max(book[0], placed.interval - ridesDays(placed.interval)),
  };
}

const ridesDays = (interval: number): number =>
  Math.min(RIDES_MOST_DAYS, Math.max(1, Math.round(interval * RIDES_SHARE)));

/**
 * Where the season of the place differs from the calendar's, or one season's interval grows into the next one's, the
 * day is kept inside the range of the calendar's own row, and the window reaches as far as that.
 */
function withinCalendar(pace: Pace, { calendar }: Ground, found: FoundRules): Pace & { least: number } {
  const book = found.rules[calendar.season].water.days;
  const [lo, hi] = pace.window;
  if (book === null) return { ...pace, least: pace.interval };
  const interval = Math.min(book[1], Math.max(book[0], pace.interval));
  const least = Math.min(interval, Math.max(lo, book[0]));
  const window: Range = [Math.min(lo, interval), Math.max(hi, book[1])];
  if (interval === pace.interval) return { ...pace, window, least };
  const pulled: Pull = { by: "calendar", season: calendar.season, days: interval - pace.interval };
  return { ...pace, interval, window, least, pulls: [...pace.pulls, pulled] };
}

/** A plant is not late for a season that has just begun: first day on which it can be, in days since 1970. */
function lateNotBefore(last: number, today: number, { at, calendar }: Ground, lo: number): number {
  const began = today - Math.min(at.since, calendar.since);
  return last < began ? began + lo : last;
}

interface Placed {
  window: Range;
  dueOn: number;
  /** First day on which it may go along with others. */
  rides: number;
  pulls: readonly Pull[];
}

/** The window in days since 1970: from the last watering, the end of the rest, or from when it became known. */
function placed(
  plant: DuePlant,
  last: number | null,
  restEnd: number | null,
  pace: Pace & { least: number },
): Placed {
  const [lo, hi] = pace.window;
  if (restEnd !== null && (last === null ? restedHere(plant, restEnd) : last < restEnd)) {
    const first = Math.min(FIRST_SIP_DAYS[1], Math.max(FIRST_SIP_DAYS[0], Math.round(lo / 2)));
    const earliest = last === null ? restEnd : Math.max(restEnd, last + lo);
    const dueOn = earliest + first;
    return {
      window: [earliest, earliest + hi],
      dueOn,
      rides: Math.max(earliest, dueOn - 1),
      pulls: [{ by: "after rest", days: first }],
    };
  }
  if (last === null) {
    const known = epochDay(plant.knownSince);
    return { window: [known, known + hi], dueOn: known, rides: known, pulls: [] };
  }
  const dueOn = last + pace.interval;
  return {
    window: [last + lo, last + hi],
    dueOn,
    rides: Math.min(dueOn, Math.max(last + Math.max(lo, pace.least), dueOn - ridesDays(pace.interval))),
    pulls: pace.pulls,
  };
}
