import type { Temporal } from "temporal-polyfill";
import type { Clock } from "../clock.js";

/** The bot as the local chat runs it: built by the composition root, the same that talks to the real messenger. */
export interface RunningApp {
  /** Nothing waits in the inbox or the outbox, and nothing is being handled or sent. */
  idle(): Promise<boolean>;
  /** Fires what has fallen due by the clock. */
  tick(): Promise<void>;
  /** When the next thing falls due; null when nothing waits. */
  nextDue(): Promise<Temporal.Instant | null>;
  stop(): Promise<void>;
}

export interface AppPlace {
  token: string;
  apiRoot: string;
  clock: Clock;
  /** Zone of a household that has not told its own. */
  zone: string;
  dataDir: string;
}

export type StartApp = (place: AppPlace) => Promise<RunningApp>;
