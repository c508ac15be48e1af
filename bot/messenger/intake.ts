import type { Update } from "grammy/types";
import type { Logger } from "pino";

/** Where updates go as they come in. */
export interface Intake {
  /** Resolves once all of them are stored. */
  store(updates: readonly Update[]): Promise<void>;
  /** Whether the store works at all. */
  alive(): Promise<boolean>;
  log: Logger;
}

/** Attempts before an update's own fault is considered. */
export const ATTEMPTS = 3;

/**
 * Stores an update that failed before. If the store is well and still does not take this one, it is passed over with
 * a line in the log: one update must not hold up all that come after it.
 * @throws what the store throws while it is not well
 */
export async function storeOrPassOver(update: Update, { store, alive, log }: Intake): Promise<void> {
  try {
    await store([update]);
  } catch (failure) {
    if (!(await alive().catch(() => false))) throw failure;
    await store([update]).catch((error: unknown) =>
      log.error({ err: error, updateId: update.update_id }, "an update cannot be stored; passed over"),
    );
  }
}
