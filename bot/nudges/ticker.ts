import { type ScheduledTask, schedule } from "node-cron";

/**
 * Calls `tick` every minute. In UTC, and with nothing but "is anything due by now" to decide: a job in a zone skips
 * the hour that spring leaves out and falls silent for the one that autumn repeats. A tick that takes longer than a
 * minute is not overtaken, and what a stopped machine missed is due at the next one.
 */
export class Ticker {
  readonly #task: ScheduledTask;

  constructor(tick: () => Promise<void>, onError: (error: unknown) => void) {
    this.#task = schedule("* * * * *", () => tick().catch(onError), {
      timezone: "UTC",
      noOverlap: true,
      name: "nudges",
    });
  }

  async stop(): Promise<void> {
    await this.#task.destroy();
  }
}
