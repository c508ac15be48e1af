import { AsyncResource } from "node:async_hooks";
import type { Api } from "grammy";
import type { Update, UserFromGetMe } from "grammy/types";
import type { Logger } from "pino";
import type { Temporal } from "temporal-polyfill";
import type { Clock } from "../clock.js";
import type { Chat, Households } from "../journal/ports.js";
import type { Inbox } from "./ports.js";
import type { ChatStanding } from "./rights.js";

/** A look younger than this is not repeated on a mere doubt, in seconds. */
const FRESH_SECONDS = 20;
/** After this long a look is repeated when it is used, in seconds. */
const STALE_SECONDS = 24 * 3600;
/** Chats whose last look is remembered in this process. */
const REMEMBERED = 10_000;
const AT_ONCE = 2;

interface Look {
  memberCount: number;
  administrators: number[];
  /** Unix seconds. */
  at: number;
}

/**
 * What is known of a chat's members. Handlers run inside a transaction and must not wait for the network, so they
 * read what is on record; looks are taken beside them, each written to the chat's record in a transaction of its own:
 * on joining, when members or administrators change, and when a handler doubts what it read.
 */
export class ChatFacts {
  #looks = new Map<number, Look>();
  #queue = new Set<number>();
  #running = new Set<Promise<void>>();
  #stopped = false;
  /** A look asked for by a handler must not count as part of the handler's transaction. */
  readonly #outside = new AsyncResource("ChatFacts");

  constructor(
    private readonly parts: {
      api: Api;
      me: UserFromGetMe;
      inbox: Inbox;
      households: Households;
      clock: Clock;
      log: Logger;
    },
  ) {}

  /** Looks again where an update says that the members changed. */
  observe(update: Update): void {
    const message = update.message;
    const own = update.my_chat_member;
    if (own && isPresent(own.new_chat_member.status)) this.#look(own.chat.id);
    if (update.chat_member) this.#look(update.chat_member.chat.id);
    if (message?.new_chat_members || message?.left_chat_member) this.#look(message.chat.id);
  }

  /** The chat's standing as known, and a new look when that is missing, doubted or old. */
  standing(chat: Chat): ChatStanding & { doubt: () => void } {
    const look = this.#looks.get(chat.chatId) ?? recorded(chat);
    const age = look ? this.#seconds() - look.at : Number.POSITIVE_INFINITY;
    if (chat.kind !== "private" && age > STALE_SECONDS) this.#look(chat.chatId);
    return {
      kind: chat.kind,
      memberCount: look?.memberCount ?? chat.memberCount,
      administrators: look?.administrators ?? null,
      doubt: () => {
        if (age > FRESH_SECONDS) this.#look(chat.chatId);
      },
    };
  }

  now(): Temporal.Instant {
    return this.parts.clock.now();
  }

  /** No look is being taken. */
  idle(): boolean {
    return this.#queue.size === 0 && this.#running.size === 0;
  }

  async stop(): Promise<void> {
    this.#stopped = true;
    this.#queue.clear();
    await Promise.all(this.#running);
  }

  #look(chatId: number): void {
    // Private chats have positive ids and nobody to ask about.
    if (chatId > 0 || this.#stopped) return;
    this.#queue.add(chatId);
    this.#drain();
  }

  #drain(): void {
    for (const chatId of this.#queue) {
      if (this.#running.size >= AT_ONCE) return;
      this.#queue.delete(chatId);
      const running = this.#outside
        .runInAsyncScope(() => this.#take(chatId))
        .catch((error: unknown) =>
          this.parts.log.warn({ err: error, chatId }, "could not look at a chat's members"),
        )
        .finally(() => {
          this.#running.delete(running);
          this.#drain();
        });
      this.#running.add(running);
    }
  }

  async #take(chatId: number): Promise<void> {
    const { api, me, inbox, households } = this.parts;
    const householdId = await inbox.householdOf(chatId);
    if (householdId === null) return;
    const memberCount = await api.getChatMemberCount(chatId);
    const list = await api.getChatAdministrators(chatId);
    const administrators = list.map((member) => member.user.id);
    const look = { memberCount, administrators, at: this.#seconds() };
    const hearsAll = me.can_read_all_group_messages || administrators.includes(me.id);
    await households.within(householdId, async (store) => {
      const chat = await store.chat(chatId);
      if (!chat) return;
      const state = { ...chat.state, administrators, lookedAt: look.at };
      await store.updateChat(chatId, { memberCount, hearsAll, state });
    });
    this.#looks.delete(chatId);
    this.#looks.set(chatId, look);
    if (this.#looks.size > REMEMBERED) this.#looks.delete(this.#looks.keys().next().value as number);
  }

  #seconds(): number {
    return Math.floor(this.parts.clock.now().epochMilliseconds / 1000);
  }
}

/** Whether a member with this status is in the chat. */
export const isPresent = (status: string): boolean => status !== "left" && status !== "kicked";

function recorded(chat: Chat): Look | null {
  const { administrators, lookedAt } = chat.state;
  if (!Array.isArray(administrators) || typeof lookedAt !== "number" || chat.memberCount === null)
    return null;
  return { memberCount: chat.memberCount, administrators: administrators as number[], at: lookedAt };
}
