import { Temporal } from "temporal-polyfill";
import { type Clock, SettableClock, systemClock } from "../clock.js";

/** A clock the local chat may move forward. */
export interface MovableClock extends Clock {
  /** @throws {RangeError} when that would be back */
  set(now: Temporal.Instant): void;
}

/** Runs with the system's clock, ahead of it by as much as it was moved. */
class RunningClock implements MovableClock {
  #ahead = Temporal.Duration.from({ seconds: 0 });

  now(): Temporal.Instant {
    return systemClock.now().add(this.#ahead);
  }
  set(now: Temporal.Instant): void {
    const further = now.since(this.now());
    if (further.sign < 0) throw new RangeError("a clock only goes forward");
    this.#ahead = this.#ahead.add(further);
  }
}

/** @param start where the clock stands still; null: it runs */
export const localClock = (start: Temporal.Instant | null): MovableClock =>
  start ? new SettableClock(start) : new RunningClock();
