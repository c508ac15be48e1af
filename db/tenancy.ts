import type { Id } from "../bot/journal/ports.js";
import type { Engine, Link } from "./engine.js";
import { StoreError } from "./errors.js";
import { HouseholdStore, type StoreTime } from "./household-store.js";
import { markChats } from "./queries/outgoing.js";
import { APP_ROLE } from "./schema/index.js";

const RETRIES = 3;

/** Makes the rest of the transaction see one household only, below the code too. One round trip. */
export async function actFor(link: Link, household: Id): Promise<void> {
  await link.rows(`select set_config('role', $1, true), set_config('app.household', $2, true)`, [
    APP_ROLE,
    household,
  ]);
}

/** Tenants' transactions, and who is told when one has put a message into the outbox. */
export class Tenants {
  constructor(
    readonly engine: Engine,
    readonly time: StoreTime,
    readonly onSaid: () => void,
  ) {}

  /**
   * Runs `work` in one transaction bound to the household; again when two transactions met and the database ended one.
   * @param work gets the link for statements of the queues, beside the journal's store
   */
  async within<T>(household: Id, work: (store: HouseholdStore, link: Link) => Promise<T>): Promise<T> {
    for (let retries = RETRIES; ; retries -= 1) {
      try {
        return await this.#once(household, work);
      } catch (error) {
        if (!(error instanceof StoreError && error.transient) || retries === 0) throw error;
      }
    }
  }

  async #once<T>(household: Id, work: (store: HouseholdStore, link: Link) => Promise<T>): Promise<T> {
    let said = false;
    const result = await this.engine.transaction(async (link) => {
      // Not waited for: what follows on this connection comes after it, and fails if it fails.
      const acting = actFor(link, household);
      acting.catch(() => {});
      const store = new HouseholdStore(household, link, this.time);
      const done = await work(store, link);
      await acting;
      await markChats(link, household, store.marks, this.time.pulse.now());
      said = store.marks.size > 0;
      return done;
    });
    if (said) this.onSaid();
    return result;
  }
}
