import { Temporal } from "temporal-polyfill";
import type { Id, JournalStore, Reminder } from "../bot/journal/ports.js";
import type { DueNudge, NudgeQueue } from "../bot/nudges/ports.js";
import { NIL } from "./ids.js";
import { lockReminder } from "./queries/reminders.js";
import { type Claim, claimWork, releaseWork } from "./queries/work.js";
import type { Tenants } from "./tenancy.js";

const LEASE_SECONDS = 120;
const MOST_CLAIMS = 8;

export class StoredNudges implements NudgeQueue {
  readonly #held = new Map<Id, Claim>();
  constructor(private readonly tenants: Tenants) {}

  async claimDue(now: Temporal.Instant, limit: number): Promise<DueNudge[]> {
    const pulse = this.tenants.time.pulse.now();
    const claims = await claimWork(this.tenants.engine, {
      lane: "nudge",
      limit,
      pulse: pulse.toString(),
      leaseUntil: pulse.add({ seconds: LEASE_SECONDS }).toString(),
      notBefore: pulse.toString(),
      dueBy: now.toString(),
    });
    const found = await Promise.all(claims.map((claim) => this.#look(claim)));
    return found.filter((nudge) => nudge !== null);
  }

  #look(claim: Claim): Promise<DueNudge | null> {
    return this.tenants.within(claim.householdId, async (store, link) => {
      // A look need not outlive a crash, so its commit does not wait for the disk.
      const [reminder] = await Promise.all([
        lockReminder(link, claim.householdId, claim.reminderId),
        link.rows(`select set_config('synchronous_commit', 'off', true)`),
      ]);
      if (reminder === null) {
        await releaseWork(link.rows, "nudge", claim, { idle: true });
        return null;
      }
      if (claim.fence - claim.version > MOST_CLAIMS) {
        await store.updateReminder(reminder.id, { state: "dropped" });
        return null;
      }
      this.#held.set(reminder.id, claim);
      return { householdId: claim.householdId, reminder };
    });
  }

  async deliver(
    nudge: DueNudge,
    work: (store: JournalStore, reminder: Reminder) => Promise<void>,
  ): Promise<boolean> {
    const { householdId, reminder } = nudge;
    const claim = this.#held.get(reminder.id);
    try {
      return await this.tenants.within(householdId, async (store, link) => {
        const waiting = await lockReminder(link, householdId, reminder.id);
        if (waiting === null || !same(waiting.dueAt, reminder.dueAt)) return false;
        await work(store, waiting);
        const after = await lockReminder(link, householdId, reminder.id);
        if (after !== null && same(after.dueAt, waiting.dueAt)) {
          await store.updateReminder(reminder.id, { state: "done" });
        }
        return true;
      });
    } catch (error) {
      if (claim !== undefined) {
        const notBefore = this.tenants.time.pulse
          .now()
          .add({ seconds: 2 ** Math.min(claim.fence - claim.version, 8) });
        await releaseWork(this.tenants.engine.rows, "nudge", claim, { notBefore: notBefore.toString() });
      }
      throw error;
    } finally {
      this.#held.delete(reminder.id);
    }
  }

  async nextDue(): Promise<Temporal.Instant | null> {
    const [row] = await this.tenants.engine.rows<{ at: string | null }>(
      `select to_char(min(due_at) at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.US"Z"') as at from work
       where lane = 'nudge' and due_at is not null and (lease_until is null or lease_until <= $1::timestamptz)`,
      [this.tenants.time.pulse.now().toString()],
    );
    return row?.at ? Temporal.Instant.from(row.at) : null;
  }

  async unscheduled(until: Temporal.Instant, after: Id | null, limit: number): Promise<Id[]> {
    const rows = await this.tenants.engine.rows<{ household_id: Id }>(
      `select distinct r.household_id from routes r
       where r.household_id > $1::uuid and not exists (
         select 1 from work w where w.household_id = r.household_id and w.lane = 'nudge' and w.due_at < $2::timestamptz)
       order by r.household_id limit $3::int`,
      [after ?? NIL, until.toString(), limit],
    );
    return rows.map((row) => row.household_id);
  }

  /** Gives back what was claimed and not delivered. */
  async release(): Promise<void> {
    for (const claim of this.#held.values()) await releaseWork(this.tenants.engine.rows, "nudge", claim, {});
    this.#held.clear();
  }
}

function same(a: Temporal.Instant, b: Temporal.Instant): boolean {
  return Temporal.Instant.compare(a, b) === 0;
}
