import { Temporal } from "temporal-polyfill";
import { type InGroup, subjectCovers } from "../coverage.js";
import type { CareNow } from "../own-rules.js";
import type { PlaceSeason } from "../place-season.js";
import type { CareHistory } from "./history.js";
import type { DuePlace, DuePlant, DueSetting, HoldReason, PastAct } from "./types.js";

/** Reasons to wait although the window is open; each names itself. Figures are common practice. */

/** Days that cut roots stay dry after repotting: cacti and fat roots longer than leafy plants. */
const HEAL_DAYS = 7;
const HEAL_DAYS_CACTI = 14;
/** Above this, soil and stems do not dry (the trade's 85 to 90 %). */
export const DAMP_RH = 85;
/** A rot that nobody came back to is looked at again after this. */
const ROT_DAYS = 30;
const SKIP_DAYS = 7;
/** No watering this close before a dry rest: the soil goes into it dry. */
export const DRY_BEFORE_REST_DAYS = 7;

const after = (a: Temporal.PlainDate, b: Temporal.PlainDate): boolean => Temporal.PlainDate.compare(a, b) > 0;

export interface HoldInput {
  plant: DuePlant;
  place: DuePlace | null;
  care: CareNow;
  at: PlaceSeason;
  setting: DueSetting;
  history: CareHistory;
  inGroup: InGroup;
  /** The season after this one is a rest without water. */
  restNext: boolean;
}

/** The first reason to wait, the graver before the lighter. */
export function holdOf(input: HoldInput): HoldReason | null {
  return rotHold(input) ?? repotHold(input) ?? chosenHold(input) ?? placeHold(input) ?? restHold(input);
}

function rotHold({ plant, history, setting }: HoldInput): HoldReason | null {
  const rot = history.last(plant.id, "rot");
  if (!rot) return null;
  const until = rot.to.add({ days: ROT_DAYS });
  if (!after(until, setting.date)) return null;
  // Cut out, treated or repotted since: the repotting's own rest takes over.
  const answered = (["treat", "prune", "repot"] as const).some((act) => {
    const done = history.last(plant.id, act);
    return done !== null && !after(rot.to, done.to);
  });
  return answered ? null : { why: "rot", on: rot.to, until };
}

function repotHold({ plant, history, setting, inGroup, at }: HoldInput): HoldReason | null {
  const repot = history.last(plant.id, "repot");
  if (!repot) return null;
  const cactus = inGroup(plant.genus, plant.species, "cacti");
  let until = repot.to.add({ days: cactus ? HEAL_DAYS_CACTI : HEAL_DAYS });
  // A cactus repotted in its winter stays dry until spring has come to its place.
  if (cactus && at.season === "winter") {
    const spring = setting.date.add({ days: at.left + 1 });
    const winterBegan = setting.date.subtract({ days: at.since });
    if (!after(winterBegan, repot.to) && after(spring, until)) until = spring;
  }
  return after(until, setting.date) ? { why: "repotted", on: repot.to, until } : null;
}

/** Skipped or put off by the people themselves. */
function chosenHold({ plant, history, setting, inGroup }: HoldInput): HoldReason | null {
  const postponed = setting.postponements
    .filter((entry) => entry.act === null || entry.act === "water")
    .filter((entry) => after(entry.until, setting.date))
    .find((entry) => entry.subjects.some((subject) => subjectCovers(subject, plant, inGroup)));
  if (postponed) return { why: "postponed", until: postponed.until, by: postponed.by };
  const skip: PastAct | null = history.last(plant.id, "skip");
  if (!skip) return null;
  const week = skip.from.add({ days: SKIP_DAYS });
  const told = skip.to.add({ days: 1 });
  const until = after(told, week) ? told : week;
  const watered = history.last(plant.id, "water");
  if (watered && after(watered.to, skip.to)) return null;
  return after(until, setting.date) ? { why: "skipped", on: skip.from, until, by: skip.person } : null;
}

function placeHold({ place, care }: HoldInput): HoldReason | null {
  if (!place) return null;
  if (place.coldestC !== null && place.coldestC < care.least.moist) {
    return { why: "cold", coldestC: place.coldestC, wantsC: care.least.moist };
  }
  if (place.dampestLeastRh !== null && place.dampestLeastRh > DAMP_RH) {
    return { why: "damp", leastRh: place.dampestLeastRh };
  }
  return null;
}

function restHold({ restNext, at, setting, care }: HoldInput): HoldReason | null {
  // A group that waters through the rest by its own rule has no rest to wait for.
  if (!restNext || care.overrides.some((override) => override.what === "interval")) return null;
  return at.left < DRY_BEFORE_REST_DAYS
    ? { why: "rest near", begins: setting.date.add({ days: at.left + 1 }) }
    : null;
}
