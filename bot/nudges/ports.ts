import type { Temporal } from "temporal-polyfill";
import type { Id, JournalStore, Reminder } from "../journal/ports.js";

/** What the nudges ask of the store: whose reminder is due. */

export interface DueNudge {
  householdId: Id;
  reminder: Reminder;
}

/**
 * Due reminders of all households. They come into being through `JournalStore.addReminder`, once by household, kind,
 * subject and local date, and are moved or closed through `JournalStore.updateReminder`.
 */
export interface NudgeQueue {
  /**
   * Claims up to `limit` reminders due by `now`, longest due first, for two minutes: whatever is not delivered by then
   * may be claimed again, here or by another process. About twenty at a time serve best.
   */
  claimDue(now: Temporal.Instant, limit: number): Promise<DueNudge[]>;
  /**
   * Runs `work` in one transaction of the household with the reminder locked and marks it done in the same one, unless
   * `work` moved, dropped or closed it itself through `updateReminder`. When `work` throws, nothing of it is kept and
   * the reminder is tried again later; after eight failures it is dropped.
   * @returns false when the reminder waits no more (another process delivered it, or it was dropped meanwhile)
   * @throws whatever `work` threw
   */
  deliver(
    nudge: DueNudge,
    work: (store: JournalStore, reminder: Reminder) => Promise<void>,
  ): Promise<boolean>;
  /** When the next reminder falls due, of those nobody holds; null when none waits. */
  nextDue(): Promise<Temporal.Instant | null>;
  /** Households, by id, in which nothing falls due before `until`: their morning message needs setting. */
  unscheduled(until: Temporal.Instant, after: Id | null, limit: number): Promise<Id[]>;
}
