import type { JournalStore } from "../../journal/ports.js";
import type { Inbox, IncomingUpdate } from "../ports.js";
import { backOffSeconds, pause } from "./pause.js";

export interface DeliveryLog {
  info(facts: object, message: string): void;
  warn(facts: object, message: string): void;
  error(facts: object, message: string): void;
}

export interface InboxWorkOptions {
  inbox: Inbox;
  /** Acts upon one update; all it writes is kept together with the mark that it is done, or not at all. */
  handle: (update: IncomingUpdate, store: JournalStore) => Promise<void>;
  /** Chats worked side by side. */
  workers: number;
  /** Ends the work: updates under way are finished, no new ones are begun. */
  signal: AbortSignal;
  log: DeliveryLog;
}

/**
 * Works the inbox until the signal is given. An error of the store (not of an update) makes a worker wait longer and
 * longer and go on: nothing is lost by waiting.
 */
export async function runInbox(options: InboxWorkOptions): Promise<void> {
  await Promise.all(Array.from({ length: options.workers }, () => workOn(options)));
}

async function workOn({ inbox, handle, signal, log }: InboxWorkOptions): Promise<void> {
  let failures = 0;
  while (!signal.aborted) {
    try {
      const finished = await inbox.work(handle);
      failures = 0;
      if (finished === 0) await inbox.waiting(signal);
    } catch (error) {
      failures += 1;
      log.error({ error: nameOf(error), failures }, "the inbox could not be worked");
      await pause(backOffSeconds(failures) * 1000, signal);
    }
  }
}

/** An error's name and code: its message might quote what somebody wrote. */
export function nameOf(error: unknown): string {
  if (!(error instanceof Error)) return typeof error;
  const { sqlstate, code } = error as { sqlstate?: unknown; code?: unknown };
  const detail = [sqlstate, code].find((value) => typeof value === "string");
  return detail === undefined ? error.name : `${error.name} ${detail}`;
}
