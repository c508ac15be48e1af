import { Temporal } from "temporal-polyfill";
import type { Range } from "../care.js";
import type { CareKnowledge } from "../knowledge.js";
import { type FoundRules, ruleAt } from "../lookup.js";
import { applyOwnRules, type CareNow, ownRulesFor } from "../own-rules.js";
import { type PlaceSeason, placeSeason } from "../place-season.js";
import { nextSeason } from "../seasons.js";
import type { CareHistory } from "./history.js";
import { holdOf } from "./holds.js";
import { habitOf, type Pace, paceOf } from "./pace.js";
import type { DuePlace, DuePlant, DueSetting, DueStatus, PastAct, WaterDue, WaterState } from "./types.js";

/** First waterings after a dry rest are sips: roots have to grow again (common practice). */
const SIPS_AFTER_REST = 2;
/** Days after the end of a dry rest at which the first sip is due. */
const FIRST_SIP_DAYS: Range = [3, 7];

export type Knowledge = Pick<CareKnowledge, "lookup" | "inGroup">;

const taxonName = (plant: DuePlant): string =>
  plant.species === null ? plant.genus : `${plant.genus} ${plant.species}`;

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
  const found = knowledge.lookup.find(taxonName(plant));
  if (!found) return { state: "no rule", plant };
  const place = setting.places.get(plant.place ?? setting.defaultPlace ?? "") ?? null;
  const at = placeSeason(setting.date, place ?? {}, setting.hemisphere);
  const own = ownRulesFor(plant, at.season, setting.ownRules, knowledge.inGroup);
  const care = applyOwnRules(ruleAt(found.rules, at), own);
  const last = history.last(plant.id, "water");
  if (care.mode === "none" || care.days === null) {
    return { state: "dry rest", plant, care, at, last: last?.to ?? null };
  }
  const item = windowOf(plant, place, found, care, care.days, at, last, setting, history);
  if (Temporal.PlainDate.compare(setting.date, item.window[0]) < 0) return { state: "not yet", item };
  const restNext = found.rules[nextSeason(at.season)].water.mode === "none";
  const held = holdOf({
    plant,
    place,
    care,
    at,
    setting,
    history,
    inGroup: knowledge.inGroup,
    restNext,
  });
  return { state: "open", item: { ...item, held } };
}

function windowOf(
  plant: DuePlant,
  place: DuePlace | null,
  found: FoundRules,
  care: CareNow,
  days: Range,
  at: PlaceSeason,
  last: PastAct | null,
  setting: DueSetting,
  history: CareHistory,
): WaterDue {
  const { date } = setting;
  const pace = paceOf(plant, place, days, habitOf(history, plant.id, at, date));
  const restEnd = care.restEndedDaysAgo === null ? null : date.subtract({ days: care.restEndedDaysAgo });
  const sinceRest =
    restEnd === null
      ? Number.POSITIVE_INFINITY
      : history.of(plant.id, "water").filter((act) => !before(act.to, restEnd)).length;
  const { window, dueOn, pulls } = placed(plant, last?.to ?? null, restEnd, pace);
  return {
    act: "water",
    plant,
    by: found.by.name,
    care,
    at,
    last: last?.to ?? null,
    lastBy: last?.person ?? null,
    window,
    dueOn,
    status: statusOn(date, window, dueOn),
    mode: sinceRest < SIPS_AFTER_REST ? "sips" : care.mode,
    days,
    pulls,
    held: null,
    neverNoted: last === null,
  };
}

const before = (a: Temporal.PlainDate, b: Temporal.PlainDate): boolean =>
  Temporal.PlainDate.compare(a, b) < 0;

/** The window on the calendar: from the last watering, from the end of the rest, or from when it became known. */
function placed(
  plant: DuePlant,
  last: Temporal.PlainDate | null,
  restEnd: Temporal.PlainDate | null,
  pace: Pace,
): Pick<WaterDue, "window" | "dueOn" | "pulls"> {
  const [lo, hi] = pace.window;
  const waitedThroughRest = restEnd !== null && (last === null || before(last, restEnd));
  if (waitedThroughRest) {
    const first = Math.min(FIRST_SIP_DAYS[1], Math.max(FIRST_SIP_DAYS[0], Math.round(lo / 2)));
    const earliest =
      last !== null && before(restEnd, last.add({ days: lo })) ? last.add({ days: lo }) : restEnd;
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
  if (before(window[1], date)) return "overdue";
  return before(date, dueOn) ? "early" : "due";
}
