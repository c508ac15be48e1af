import type { Temporal } from "temporal-polyfill";
import type { Household } from "../journal/ports.js";
import { dangerWaitsUntil } from "./quiet.js";

/** When plants are at risk, and who is told when. Pure: episodes in, what to say out; figures are common practice. */

export type DangerCause =
  | { kind: "under_floor"; valueC: number; floorC: number; byK: number }
  | { kind: "power_cut" }
  | { kind: "heat_lost" }
  | { kind: "outdoor_cold"; valueC: number; holdsDownToC: number; floorC: number };

/** A stretch of danger in one place (or the whole household), from its first sign until all is well again. */
export interface DangerEpisode {
  place: string | null;
  cause: DangerCause;
  openedAt: Temporal.Instant;
  /** When it was said last, and how often. */
  saidAt: Temporal.Instant | null;
  times: number;
  /** Name of who takes care of it. */
  takenBy: string | null;
  closedAt: Temporal.Instant | null;
}

/** "first" to the chat at once, "again" to the whole group, "all well" when it is over. */
export type DangerSay = "first" | "again" | "all well";
export interface DangerStep {
  at: Temporal.Instant;
  say: DangerSay;
}

/** How long somebody has to take a danger before the whole group is told again. */
const AGAIN_MINUTES = 30;
/** After so many repeats only every two hours; after so many it says no more until something new is logged. */
const OFTEN = 6;
const MOST = 12;
const RARE_MINUTES = 120;
/** What is logged later than this after the night is history, not danger. */
export const STALE_HOURS = 36;
/** Half a tenth of a kelvin is the thermometer's scatter. */
const SCATTER_K = 0.05;
const FROST_C = 0;
/** Colder than ever held by this much is not known to be held. */
const BEYOND_HELD_K = 3;
/** Nights on which the heater had to work before a place is judged by them. */
const PAIRS_NEEDED = 5;

/** A night's lowest temperature outdoors and in the place, °C. */
export interface NightPair {
  outdoorC: number;
  indoorC: number;
}

/** A temperature logged in a place: under its floor (or freezing point, where none was told) or not. */
export function underFloor(valueC: number, floorC: number | null): DangerCause | null {
  const floor = floorC ?? FROST_C;
  if (valueC >= floor - SCATTER_K) return null;
  return { kind: "under_floor", valueC, floorC: floor, byK: floor - valueC };
}

/**
 * Lowest outdoor temperature at which a place still keeps its floor, by its own nights: the coldest on which it did,
 * or, where it failed, the floor less what the heater managed to lift. Null before it had to heat on five nights.
 */
export function holdsDownToC(pairs: readonly NightPair[], floorC: number): number | null {
  const heated = pairs.filter(({ outdoorC }) => outdoorC < floorC);
  if (heated.length < PAIRS_NEEDED) return null;
  const held = heated.filter(({ indoorC }) => indoorC >= floorC - SCATTER_K);
  const failed = heated.filter(({ indoorC }) => indoorC < floorC - SCATTER_K);
  const coldestHeld = held.reduce((lowest, { outdoorC }) => Math.min(lowest, outdoorC), floorC);
  // A failure in milder weather than it held before was the heater's fault, not its limit.
  const limits = failed.filter(({ outdoorC }) => outdoorC < coldestHeld);
  if (limits.length === 0) return coldestHeld;
  const lift = Math.max(...limits.map(({ indoorC, outdoorC }) => indoorC - outdoorC));
  return Math.min(coldestHeld, Math.round(10 * (floorC - lift)) / 10);
}

/** An outdoor reading or forecast that the place is not known to stand. */
export function outdoorCold(valueC: number, pairs: readonly NightPair[], floorC: number): DangerCause | null {
  const holds = holdsDownToC(pairs, floorC);
  if (holds === null || valueC > FROST_C) return null;
  const known = pairs.some(({ outdoorC, indoorC }) => outdoorC <= holds && indoorC < floorC - SCATTER_K);
  const margin = known ? 0 : BEYOND_HELD_K;
  if (valueC >= holds - margin - SCATTER_K) return null;
  return { kind: "outdoor_cold", valueC, holdsDownToC: holds, floorC };
}

/** Whether a reading speaks of a danger that is over by itself. */
export const isStale = (ended: Temporal.Instant, now: Temporal.Instant): boolean =>
  now.since(ended).total("hours") > STALE_HOURS;

/** Minutes from one telling to the next repeat, by the repeats so far; null once there have been enough. */
export function repeatAfterMinutes(repeats: number): number | null {
  if (repeats >= MOST) return null;
  return repeats < OFTEN ? AGAIN_MINUTES : RARE_MINUTES;
}

/**
 * What an episode says next and when: at once, then every half hour to the whole group until somebody takes it, then
 * nothing until all is well. In quiet hours it waits for their end unless the household allows danger at night.
 * @returns null when there is nothing more to say
 */
export function nextDangerStep(
  episode: DangerEpisode,
  household: Pick<Household, "quietHours" | "dangerAtNight">,
  zone: string,
): DangerStep | null {
  const { saidAt, closedAt, times, takenBy, openedAt } = episode;
  const awake = (at: Temporal.Instant) => dangerWaitsUntil(household, zone, at) ?? at;
  if (closedAt !== null) return times === 0 ? null : { at: awake(closedAt), say: "all well" };
  if (saidAt === null) return { at: awake(openedAt), say: "first" };
  const minutes = takenBy === null ? repeatAfterMinutes(times - 1) : null;
  return minutes === null ? null : { at: awake(saidAt.add({ minutes })), say: "again" };
}
