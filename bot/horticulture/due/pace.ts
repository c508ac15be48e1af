import type { Range, Season } from "../care.js";
import { YEAR_DAYS } from "../seasons.js";
import { epochDay } from "./days.js";
import type { CareHistory } from "./history.js";
import type { DuePlace, DuePlant, DueSetting, Pull } from "./types.js";

/**
 * Where in its range a plant's next watering falls. The middle, moved by the pot and by how dry the air of the place
 * is, never outside the range; a household's own habit, once it shows, goes before that (common practice).
 */
const MIDDLE = 0.5;

/** Share of the range that a pot moves the day by: porous pots dry sooner, closed ones later (common practice). */
const MATERIAL_SHARE: Readonly<Record<string, number>> = {
  terracotta: -0.2,
  clay: -0.2,
  net: -0.25,
  basket: -0.25,
  plastic: 0.1,
  glazed: 0.15,
  ceramic: 0.15,
  glass: 0.2,
};

/** The tables assume pots of 8 to 12 cm. */
const ASSUMED_CM: Range = [8, 12];
const SHARE_PER_CM = 0.04;
const SIZE_SHARE_MOST = 0.25;

/** Mean deficit of a glasshouse that dries pots at the pace the tables assume, kPa (common practice). */
const ASSUMED_VPD_KPA: Readonly<Record<Season, number>> = {
  winter: 0.25,
  spring: 0.6,
  summer: 1,
  autumn: 0.5,
};
/** A third drier or damper than that moves the day by about a tenth of the range. */
const SHARE_PER_FACTOR = 0.35;
const VPD_SHARE_MOST = 0.3;

/** Intervals of the season before a habit counts. */
export const HABIT_INTERVALS = 4;

/** Seedlings and fresh cuttings dry through sooner and have nothing stored (common practice). */
const YOUNG_FACTOR = 0.7;
const YOUNG_IN_REST: Range = [10, 21];

const clamp = (value: number, lo: number, hi: number): number => Math.min(hi, Math.max(lo, value));

/** The interval in days at which it is due, what moved it there, and the window around it. */
export interface Pace {
  interval: number;
  window: Range;
  pulls: Pull[];
}

/** The range for seedlings and cuttings; a rest of grown plants is no rest for them. */
export function youngDays(days: Range | null): Range {
  if (days === null) return YOUNG_IN_REST;
  return [Math.max(1, Math.round(days[0] * YOUNG_FACTOR)), Math.max(1, Math.round(days[1] * YOUNG_FACTOR))];
}

export function paceOf(plant: DuePlant, place: DuePlace | null, days: Range, season: Season): Pace {
  const [lo, hi] = days;
  const span = hi - lo;
  const pulls: Pull[] = [];
  let share = MIDDLE;
  const pull = (by: number, make: (days: number) => Pull) => {
    const before = share;
    share = clamp(share + by, 0, 1);
    const moved = Math.round((share - before) * span);
    if (moved !== 0) pulls.push(make(moved));
  };
  const material = plant.potMaterial;
  const materialShare = material === null ? undefined : MATERIAL_SHARE[material.toLowerCase()];
  if (material !== null && materialShare !== undefined) {
    pull(materialShare, (moved) => ({ by: "pot material", material, days: moved }));
  }
  const cm = plant.potDiameterCm;
  if (cm !== null) {
    const beyond = cm < ASSUMED_CM[0] ? cm - ASSUMED_CM[0] : Math.max(0, cm - ASSUMED_CM[1]);
    pull(clamp(beyond * SHARE_PER_CM, -SIZE_SHARE_MOST, SIZE_SHARE_MOST), (moved) => ({
      by: "pot size",
      diameterCm: cm,
      days: moved,
    }));
  }
  const vpdKPa = place?.vpdKPa ?? null;
  if (vpdKPa !== null) {
    const drier = vpdKPa / ASSUMED_VPD_KPA[season] - 1;
    pull(clamp(-drier * SHARE_PER_FACTOR, -VPD_SHARE_MOST, VPD_SHARE_MOST), (moved) => ({
      by: "dry air",
      vpdKPa,
      days: moved,
    }));
  }
  return { interval: Math.round(lo + share * span), window: days, pulls };
}

/**
 * The household's own median in the place of the table's day, inside half to double of the table's range. The window
 * moves with it, so that who waits longer on purpose is not told daily that it is late.
 */
export function withHabit([lo, hi]: Range, habit: Habit): Pace {
  const interval = Math.round(clamp(habit.medianDays, lo / 2, hi * 2));
  const early = Math.min(lo, Math.max(Math.ceil(lo / 2), Math.floor(interval * 0.8)));
  const late = Math.max(hi, Math.min(hi * 2, Math.ceil(interval * 1.25)));
  return {
    interval: clamp(interval, early, late),
    window: [early, late],
    pulls: [{ by: "habit", ...habit, days: interval - Math.round((lo + hi) / 2) }],
  };
}

export interface Habit {
  medianDays: number;
  intervals: number;
}

/**
 * The household's own interval for the plant in the calendar's season: the median of those that lie in it whole, this
 * year's and last year's; null below {@link HABIT_INTERVALS}. Intervals that something held open and
 * those beyond half to double of the range are accidents, not habit.
 */
export function habitOf(
  history: CareHistory,
  plantId: string,
  at: { since: number; left: number },
  date: DueSetting["date"],
  [lo, hi]: Range,
): Habit | null {
  const days = history.days(plantId, "water");
  if (days.length <= HABIT_INTERVALS) return null;
  const today = epochDay(date);
  const start = today - at.since;
  const lastStart = start - YEAR_DAYS;
  const lastEnd = lastStart + at.since + at.left;
  const acts = history.of(plantId, "water");
  const intervals: number[] = [];
  for (let index = 0; index + 1 < days.length; index++) {
    const later = days[index] as number;
    const earlier = days[index + 1] as number;
    const between = later - earlier;
    if (between < lo / 2 || between > hi * 2 || acts[index]?.waited) continue;
    if (earlier >= start || (earlier >= lastStart && later <= lastEnd)) intervals.push(between);
  }
  if (intervals.length < HABIT_INTERVALS) return null;
  return { medianDays: median(intervals), intervals: intervals.length };
}

export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = Math.floor(sorted.length / 2);
  if (sorted.length % 2 === 1) return sorted[middle] as number;
  return ((sorted[middle - 1] as number) + (sorted[middle] as number)) / 2;
}
