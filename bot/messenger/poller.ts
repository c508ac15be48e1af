import { setTimeout as sleep } from "node:timers/promises";
import { type Api, GrammyError } from "grammy";
import type { Update } from "grammy/types";
import { MessengerError } from "./errors.js";
import { ATTEMPTS, type Intake, storeOrPassOver } from "./intake.js";
import { ALLOWED_UPDATES } from "./updates.js";

/** Waits between failed polls, in seconds: doubling from the first to the second. */
const BACK_OFF = { first: 1, most: 60 };
/** How often a process that may not poll asks whether it may now, in milliseconds. */
const STAND_BY_MS = 1_000;

type Signal = Parameters<Api["getUpdates"]>[1];

/**
 * Long polling that confirms nothing before it is stored: the next offset is asked for only after they are
 * stored. A token that is refused ends it; everything else is waited out.
 */
export class Poller {
  readonly #stopping = new AbortController();
  #offset: number | undefined;
  #loop: Promise<void> | null = null;
  #failures = 0;
  /** Settles only if polling ends for good by an error the operator must mend. */
  readonly failed: Promise<MessengerError>;
  #fail: (error: MessengerError) => void = () => undefined;

  constructor(
    private readonly parts: {
      api: Api;
      intake: Intake;
      /** Seconds a poll may wait at the service; it allows 50 at most. */
      pollSeconds: number;
      /** Whether this process is the one that polls; the service suffers one poller at a time. */
      mayPoll: () => Promise<boolean>;
    },
  ) {
    this.failed = new Promise((resolve) => {
      this.#fail = resolve;
    });
  }

  start(): void {
    this.#loop ??= this.#run();
  }

  /** Ends the poll at once; what was stored is confirmed to the service. */
  async stop(): Promise<void> {
    this.#stopping.abort();
    await this.#loop;
    if (this.#offset === undefined) return;
    const confirm = { offset: this.#offset, limit: 1, timeout: 0 };
    await this.parts.api
      .getUpdates(confirm, AbortSignal.timeout(3_000) as unknown as Signal)
      .catch(() => undefined);
  }

  /** The last poll went well, or is only just failing. */
  healthy(): boolean {
    return this.#loop !== null && !this.#stopping.signal.aborted && this.#failures < 5;
  }

  async #run(): Promise<void> {
    while (!this.#stopping.signal.aborted) {
      try {
        if (!(await this.parts.mayPoll())) {
          // Another process goes on from where this one was.
          this.#offset = undefined;
          await this.#pause(STAND_BY_MS);
          continue;
        }
        const updates = await this.#fetch();
        if (updates.length > 0) await this.#store(updates);
        this.#failures = 0;
      } catch (error) {
        if (this.#stopping.signal.aborted) return;
        if (isRefusedToken(error)) return this.#fail(refusedToken(error));
        await this.#wait(error);
      }
    }
  }

  #fetch(): Promise<Update[]> {
    const { api, pollSeconds } = this.parts;
    return api.getUpdates(
      {
        ...(this.#offset === undefined ? {} : { offset: this.#offset }),
        limit: 100,
        timeout: pollSeconds,
        allowed_updates: [...ALLOWED_UPDATES],
      },
      this.#stopping.signal as unknown as Signal,
    );
  }

  async #store(updates: Update[]): Promise<void> {
    if (this.#failures < ATTEMPTS) await this.parts.intake.store(updates);
    else for (const update of updates) await storeOrPassOver(update, this.parts.intake);
    this.#offset = (updates.at(-1) as Update).update_id + 1;
  }

  async #wait(error: unknown): Promise<void> {
    this.#failures += 1;
    const asked = error instanceof GrammyError ? error.parameters.retry_after : undefined;
    const seconds = asked ?? Math.min(BACK_OFF.first * 2 ** (this.#failures - 1), BACK_OFF.most);
    const other = error instanceof GrammyError && error.error_code === 409;
    this.parts.intake.log.warn(
      { err: error, seconds },
      other
        ? "another process polls with this token, or a webhook is set; waiting"
        : "polling failed; waiting",
    );
    await this.#pause(seconds * 1000);
  }

  async #pause(milliseconds: number): Promise<void> {
    await sleep(milliseconds, undefined, { signal: this.#stopping.signal }).catch(() => undefined);
  }
}

/** The service answers 401 to a wrong token and 404 to one of the wrong form. */
export function isRefusedToken(error: unknown): boolean {
  return error instanceof GrammyError && (error.error_code === 401 || error.error_code === 404);
}
export function refusedToken(cause: unknown): MessengerError {
  return new MessengerError(
    "The messenger refuses the token. BOT_TOKEN must be the token of a bot that exists, as it was given when the bot was made.",
    { cause },
  );
}
