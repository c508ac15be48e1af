import type { When } from "../interpretation.js";
import { stamp } from "./civil.js";

export interface SettleOptions {
  /** A log looks back, a plan ahead. */
  mode: "past" | "future";
  /** Only mentioned, not told as done: "this afternoon" is today's, begun or not. */
  mentioned?: true;
  /** Seasons turn by half a year. */
  south?: boolean;
}

/** In minutes. */
export const HOUR = 60;

/** When a night begins and ends, in minutes of the day. */
export const NIGHT_FROM = 18 * HOUR;
const NIGHT_TO = 8 * HOUR;

/** Whole days; `to` is the first that is not among them. */
export const days = (from: number, to: number, grain: When["grain"] = "day"): When => ({
  from: stamp(from),
  to: stamp(to),
  grain,
});

/** The night that begins on an evening. */
export const night = (evening: number): When => ({
  from: stamp(evening, NIGHT_FROM),
  to: stamp(evening + 1, NIGHT_TO),
  grain: "night",
});
