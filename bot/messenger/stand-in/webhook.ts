import { setTimeout as sleep } from "node:timers/promises";
import type { Update } from "grammy/types";
import type { World } from "./world.js";

/** The service waits longer (1, 2, 4, ... s); tests would have to wait with it. */
const RETRY_MS = 20;

/**
 * Brings updates to the bot's webhook: one at a time in each chat, the next only after a 2xx; chats side by side.
 * A press goes in the queue of the person who pressed.
 */
export class Courier {
  #busy = new Set<number>();
  #closed = false;
  /** Answers other than 2xx so far. */
  refusals = 0;

  constructor(private readonly world: World) {
    world.updates.onPush(() => this.#go());
  }

  /** Something is being brought at this moment. */
  get underWay(): number {
    return this.#busy.size;
  }

  close(): void {
    this.#closed = true;
  }

  #go(): void {
    if (this.world.webhook.url === "" || this.#closed) return;
    for (const update of this.world.updates.waiting()) {
      const queue = queueOf(update);
      if (this.#busy.has(queue)) continue;
      this.#busy.add(queue);
      this.#bring(update).finally(() => {
        this.#busy.delete(queue);
        this.#go();
      });
    }
  }

  async #bring(update: Update): Promise<void> {
    const { url, secret } = this.world.webhook;
    const headers: Record<string, string> = { "content-type": "application/json" };
    if (secret !== "") headers["x-telegram-bot-api-secret-token"] = secret;
    const response = await fetch(url, { method: "POST", headers, body: JSON.stringify(update) }).catch(
      () => null,
    );
    await response?.arrayBuffer();
    if (response?.ok) this.world.updates.remove(update.update_id);
    else {
      this.refusals += 1;
      await sleep(RETRY_MS);
    }
  }
}

function queueOf(update: Update): number {
  if (update.callback_query) return update.callback_query.from.id;
  const chat = update.message ?? update.edited_message ?? update.my_chat_member ?? update.chat_member;
  return chat?.chat.id ?? 0;
}
