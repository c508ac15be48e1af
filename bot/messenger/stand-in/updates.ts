import type { Update } from "grammy/types";
import { conflict } from "./failures.js";

/** How long the service keeps what the bot did not fetch, in seconds. @source Bot API documentation and server code */
const KEPT_SECONDS = { press: 150, other: 86_400 };

interface Queued {
  update: Update;
  at: number;
}
interface Poll {
  finish(updates: Update[]): void;
  refuse(error: Error): void;
  take(): Update[];
}

/** Updates that wait for the bot: confirmed by a higher offset, forgotten when too old. */
export class UpdateQueue {
  #queue: Queued[] = [];
  #next: number;
  #poll: Poll | null = null;
  allowed: Set<string> | null = null;
  #listeners: (() => void)[] = [];

  constructor(
    private readonly seconds: () => number,
    firstId = 1,
  ) {
    this.#next = firstId;
  }

  get nextId(): number {
    return this.#next;
  }
  /** Updates the bot has not confirmed yet. */
  get pending(): number {
    return this.#queue.length;
  }
  /** Whether a poll is waiting at this moment. */
  get polled(): boolean {
    return this.#poll !== null;
  }

  push(content: Omit<Update, "update_id">): number | null {
    const kind = Object.keys(content)[0] as string;
    // chat_member must be asked for by name; without a list the service sends all others.
    if (this.allowed ? !this.allowed.has(kind) : kind === "chat_member") return null;
    const update = { update_id: this.#next++, ...content } as Update;
    this.#queue.push({ update, at: this.seconds() });
    const poll = this.#poll;
    if (poll) poll.finish(poll.take());
    for (const listener of this.#listeners) listener();
    return update.update_id;
  }

  /** A long poll. A second one ends the first with 409. */
  poll(
    offset: number | undefined,
    limit: number,
    timeoutSeconds: number,
    gone: AbortSignal,
  ): Promise<Update[]> {
    this.#poll?.refuse(
      conflict("terminated by other getUpdates request; make sure that only one bot instance is running"),
    );
    if (offset !== undefined && offset < 0) this.#queue.splice(0, Math.max(0, this.#queue.length + offset));
    else if (offset !== undefined) this.#confirm(offset);
    this.#forgetOld();
    const take = () => this.#queue.slice(0, limit).map((queued) => queued.update);
    if (this.#queue.length > 0 || timeoutSeconds <= 0) return Promise.resolve(take());
    return new Promise((resolve, reject) => {
      const end = () => {
        clearTimeout(timer);
        if (this.#poll === poll) this.#poll = null;
      };
      const timer = setTimeout(() => poll.finish([]), timeoutSeconds * 1000);
      const poll: Poll = {
        take,
        finish: (updates) => {
          end();
          resolve(updates);
        },
        refuse: (error) => {
          end();
          reject(error);
        },
      };
      this.#poll = poll;
      gone.addEventListener("abort", () => poll.finish([]), { once: true });
    });
  }

  onPush(listener: () => void): void {
    this.#listeners.push(listener);
  }
  /** The webhook took it. */
  remove(id: number): void {
    this.#queue = this.#queue.filter(({ update }) => update.update_id !== id);
  }
  waiting(): Update[] {
    return this.#queue.map((queued) => queued.update);
  }
  clear(): void {
    this.#queue = [];
  }
  /** Puts back what an earlier run had not fetched. */
  restore(updates: Update[], nextId: number): void {
    this.#queue = updates.map((update) => ({ update, at: this.seconds() }));
    this.#next = nextId;
  }

  #confirm(offset: number): void {
    let count = 0;
    while (count < this.#queue.length && (this.#queue[count] as Queued).update.update_id < offset) count++;
    if (count > 0) this.#queue.splice(0, count);
  }

  #forgetOld(): void {
    const now = this.seconds();
    const kept = ({ update, at }: Queued) =>
      now - at <= (update.callback_query ? KEPT_SECONDS.press : KEPT_SECONDS.other);
    if (!this.#queue.every(kept)) this.#queue = this.#queue.filter(kept);
  }
}
