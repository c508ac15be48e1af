import { Temporal } from "temporal-polyfill";

/** Where the time comes from. Everything that needs "now" is handed one. */
export interface Clock {
  now(): Temporal.Instant;
}

export const systemClock: Clock = { now: () => Temporal.Now.instant() };

/** A clock that stands still until it is set: the local chat's `/clock`, simulations and tests. */
export class SettableClock implements Clock {
  #now: Temporal.Instant;
  constructor(now: Temporal.Instant) {
    this.#now = now;
  }
  now(): Temporal.Instant {
    return this.#now;
  }
  /** @throws {RangeError} if the new instant lies before the present one: a journal's clock only goes forward */
  set(now: Temporal.Instant): void {
    if (Temporal.Instant.compare(now, this.#now) < 0) throw new RangeError("a clock only goes forward");
    this.#now = now;
  }
}
