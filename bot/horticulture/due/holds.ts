import type { InGroup } from "../coverage.js";
import { subjectCovers } from "../coverage.js";
import type { CareNow } from "../own-rules.js";
import { daysFrom, isAfter, laterOf, plusDays } from "./days.js";
import type { Ground } from "./ground.js";
import type { CareHistory } from "./history.js";
import type { DuePlace, DuePlant, DueSetting, HoldReason } from "./types.js";

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
/** In the last weeks before a dry rest cold nights end the watering for good, though single ones are warmer again. */
const REST_BY_COLD_DAYS = 50;
const COLD_MEAN_NIGHTS = 7;
const COLD_MEAN_MARGIN_K = 1;

export interface HoldInput {
  plant: DuePlant;
  ground: Ground;
  care: CareNow;
  setting: DueSetting;
  history: CareHistory;
  inGroup: InGroup;
  /** Days until a rest without water; null if none is next. */
  toRest: number | null;
}

/** The first reason to wait, the graver before the lighter. */
export function holdOf(input: HoldInput): HoldReason | null {
  return rotHold(input) ?? repotHold(input) ?? chosenHold(input) ?? restHold(input) ?? placeHold(input);
}

function rotHold({ plant, history, setting }: HoldInput): HoldReason | null {
  const rot = history.last(plant.id, "rot");
  if (!rot || daysFrom(rot.to, setting.date) >= ROT_DAYS) return null;
  // Cut out, treated or repotted since: the repotting's own rest takes over.
  const answered = (["treat", "prune", "repot"] as const).some((act) => {
    const done = history.last(plant.id, act);
    return done !== null && !isAfter(rot.to, done.to);
  });
  return answered ? null : { why: "rot", on: rot.to, until: plusDays(rot.to, ROT_DAYS) };
}

function repotHold({ plant, history, setting, inGroup, ground }: HoldInput): HoldReason | null {
  const repot = history.last(plant.id, "repot");
  if (!repot) return null;
  const ago = daysFrom(repot.to, setting.date);
  if (ago > 100) return null;
  const cactus =
    inGroup(plant.genus, plant.species, "cacti") && !inGroup(plant.genus, plant.species, "epiphytes");
  let until = plusDays(repot.to, cactus ? HEAL_DAYS_CACTI : HEAL_DAYS);
  // A cactus repotted in its winter stays dry until spring has come to its place.
  const { at } = ground;
  if (cactus && at.season === "winter" && ago <= at.since) {
    until = laterOf(until, plusDays(setting.date, at.left));
  }
  return isAfter(until, setting.date) ? { why: "repotted", on: repot.to, until } : null;
}

/** Skipped or put off by the people themselves. */
function chosenHold({ plant, history, setting, inGroup }: HoldInput): HoldReason | null {
  const postponed = setting.postponements
    .filter((entry) => entry.act === null || entry.act === "water")
    .filter((entry) => isAfter(entry.until, setting.date))
    .find((entry) => entry.subjects.some((subject) => subjectCovers(subject, plant, inGroup)));
  if (postponed) return { why: "postponed", until: postponed.until, by: postponed.by };
  const skip = history.last(plant.id, "skip");
  if (!skip) return null;
  const watered = history.last(plant.id, "water");
  if (watered && isAfter(watered.to, skip.to)) return null;
  const until = laterOf(plusDays(skip.from, SKIP_DAYS), plusDays(skip.to, 1));
  return isAfter(until, setting.date) ? { why: "skipped", on: skip.from, until, by: skip.person } : null;
}

function restHold({ toRest, setting, care, plant, ground }: HoldInput): HoldReason | null {
  if (toRest === null || plant.young || ownInterval(care)) return null;
  const near =
    toRest < DRY_BEFORE_REST_DAYS ||
    (toRest <= REST_BY_COLD_DAYS && care.rule.phase === "slowing" && coldNights(ground.place, care));
  return near ? { why: "rest near", begins: plusDays(setting.date, toRest) } : null;
}

/** Whether the last nights, or the last weeks of them in the mean, were colder than moist roots bear. */
function coldNights(place: DuePlace | null, care: CareNow): boolean {
  if (!place) return false;
  const { coldestC, meanMinC, nights } = place;
  if (coldestC !== null && coldestC < care.least.moist) return true;
  const known = meanMinC != null && (nights ?? 0) >= COLD_MEAN_NIGHTS;
  return known && meanMinC < care.least.moist + COLD_MEAN_MARGIN_K;
}

/** A group that waters through the rest by its own rule has no rest to wait for. */
export const ownInterval = (care: CareNow): boolean =>
  care.overrides.some((override) => override.what === "interval");

function placeHold({ ground, care }: HoldInput): HoldReason | null {
  const { place } = ground;
  if (!place) return null;
  if (place.coldestC !== null && place.coldestC < care.least.moist) {
    return { why: "cold", coldestC: place.coldestC, wantsC: care.least.moist };
  }
  if (place.dampestLeastRh !== null && place.dampestLeastRh > DAMP_RH) {
    return { why: "damp", leastRh: place.dampestLeastRh };
  }
  return null;
}
