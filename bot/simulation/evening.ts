import type { Temporal } from "temporal-polyfill";
import { type NightPair, outdoorCold } from "../nudges/plan-danger.js";
import { dangerLines } from "./dangers.js";
import type { SimHousehold } from "./household.js";
import type { Outdoors } from "./indoors.js";
import type { Keeper } from "./keeper.js";
import { placeAct, reading, type SimLine, timeOn, wallClock } from "./lines.js";
import { chance } from "./numbers.js";

/** Share of the days of the cold season on which the power fails in the evening. */
const POWER_CUT = 0.006;
const POWER_BACK_AFTER = 30;
const COLD_EVENING_C = -5;
const LOOKS_AT = 21 * 60;
const CUT_AT = 22 * 60;

export interface EveningParts {
  date: Temporal.PlainDate;
  /** The weather of the night to come. */
  night: Outdoors;
  household: SimHousehold;
  keeper: Keeper;
  /** Nights noted so far, by place. */
  pairs: ReadonlyMap<string, readonly NightPair[]>;
  /** In the frost season. */
  cold: boolean;
}

/** Cold evenings are looked at by who reads the thermometers, and now and then the power fails. */
export function eveningOf({ date, night, household, keeper, pairs, cold }: EveningParts) {
  const lines: SimLine[] = [];
  const watched = cold && keeper.reads(date, cold);
  const powerCut = cold && chance("power", date.toString()) < POWER_CUT;
  let readings = 0;
  if (watched && night.minC <= COLD_EVENING_C) {
    const at = timeOn(date, LOOKS_AT);
    const value = Math.round((night.minC + 1) * 10) / 10;
    readings = 1;
    lines.push({
      at: wallClock(at),
      type: "reading",
      items: [reading("outdoor_temperature", "current", null, value, "Cel")],
    });
    for (const place of household.places) {
      const cause =
        place.floorC === null ? null : outdoorCold(value, pairs.get(place.name) ?? [], place.floorC);
      if (cause) lines.push(...dangerLines(place.name, cause, at, household, keeper));
    }
  }
  if (!watched || !powerCut) return { lines, powerCut, readings, entries: 0 };
  const at = timeOn(date, CUT_AT);
  const dangers = dangerLines(null, { kind: "power_cut" }, at, household, keeper, POWER_BACK_AFTER);
  const over = dangers.find(({ items }) => items[0]?.say === "all well");
  const entry = (act: string, when: string): SimLine => ({
    at: when,
    type: "entry",
    items: [placeAct(act, null)],
  });
  lines.push(entry("power_cut", wallClock(at)));
  if (over) lines.push(entry("power_back", over.at));
  return { lines: [...lines, ...dangers], powerCut, readings, entries: over ? 2 : 1 };
}
