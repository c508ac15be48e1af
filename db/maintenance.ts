import type { Temporal } from "temporal-polyfill";
import { NIL } from "./ids.js";
import { cleanHousehold, householdsAfter } from "./queries/maintenance.js";
import type { Tenants } from "./tenancy.js";

const CHECKPOINT_EVERY_MINUTES = 10;
const VACUUM_EVERY_HOURS = 24;
const CLEAN_EVERY_HOURS = 6;
/** Households cleaned in one call, so that a call stays short. */
const PAGE = 500;

/**
 * The housekeeping that a PostgreSQL server does by itself and PGlite does not, and the removal of messages nobody
 * needs any more. Called once a minute or so; it knows itself what is due.
 */
export class Maintenance {
  #checkpointAt: Temporal.Instant | null = null;
  #vacuumAt: Temporal.Instant | null = null;
  #cleanAt: Temporal.Instant | null = null;
  /** The household cleaned last, while a round is under way. */
  #cursor: string | null = null;

  constructor(private readonly tenants: Tenants) {}

  async maintain(): Promise<{ removed: number }> {
    const now = this.tenants.time.pulse.now();
    const { engine } = this.tenants;
    const removed = await this.#clean(now);
    if (engine.kind === "server") return { removed };
    this.#vacuumAt ??= now.add({ hours: 1 });
    this.#checkpointAt ??= now.add({ minutes: CHECKPOINT_EVERY_MINUTES });
    if (passed(this.#vacuumAt, now)) {
      await this.tidy("vacuum");
      this.#vacuumAt = now.add({ hours: VACUUM_EVERY_HOURS });
    }
    if (passed(this.#checkpointAt, now)) {
      await this.tidy("checkpoint");
      this.#checkpointAt = now.add({ minutes: CHECKPOINT_EVERY_MINUTES });
    }
    return { removed };
  }

  /** One piece of the housekeeping at once. A server sees to its own checkpoints. */
  async tidy(what: "checkpoint" | "vacuum"): Promise<void> {
    const { engine } = this.tenants;
    if (what === "vacuum") await engine.script("vacuum (analyze)");
    else if (engine.kind === "embedded") await engine.script("checkpoint");
  }

  async #clean(now: Temporal.Instant): Promise<number> {
    this.#cleanAt ??= now;
    if (this.#cursor === null && !passed(this.#cleanAt, now)) return 0;
    const page = await householdsAfter(this.tenants.engine, this.#cursor ?? NIL, PAGE);
    let removed = 0;
    for (const household of page) {
      removed += await this.tenants.within(household, (_store, link) =>
        cleanHousehold(link, household, now.toString()),
      );
    }
    this.#cursor = page.length === PAGE ? (page.at(-1) ?? null) : null;
    if (this.#cursor === null) this.#cleanAt = now.add({ hours: CLEAN_EVERY_HOURS });
    return removed;
  }
}

function passed(at: Temporal.Instant, now: Temporal.Instant): boolean {
  return at.epochMilliseconds <= now.epochMilliseconds;
}
