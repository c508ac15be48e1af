import { setTimeout as sleep } from "node:timers/promises";
import { Temporal } from "temporal-polyfill";
import type {
  Chat,
  ChatKind,
  Household,
  Households,
  JournalStore,
  Outgoing,
} from "../../bot/journal/ports.js";
import type { Inbox, IncomingUpdate } from "../../bot/messenger/ports.js";

/**
 * The ports in memory, as far as the edge to the messenger reaches: chats, their household, inbox and outbox.
 * For tests of the edge alone; everything that is about storing runs on the real store.
 */
export class MemoryStore implements Inbox, Households {
  readonly chats = new Map<number, Chat>();
  readonly outbox: Outgoing[] = [];
  readonly stored: IncomingUpdate[] = [];
  readonly migrations: [number, number][] = [];
  household: Partial<Household> = { zone: null, latitude: null };
  /** Makes `receive` fail for the updates it returns true for. */
  failing: (update: IncomingUpdate) => boolean = () => false;
  #waiting: IncomingUpdate[] = [];
  #seen = new Set<string>();

  async receive(updates: readonly IncomingUpdate[]): Promise<number> {
    await sleep(1);
    if (updates.some(this.failing)) throw new Error("the store does not take it");
    const fresh = updates.filter(({ chatId, updateId }) => !this.#seen.has(`${chatId}/${updateId}`));
    for (const update of fresh) {
      this.#seen.add(`${update.chatId}/${update.updateId}`);
      if (!this.chats.has(update.chatId)) this.chats.set(update.chatId, newChat(update));
      this.stored.push(update);
      this.#waiting.push(update);
    }
    return fresh.length;
  }
  async migrateChat(from: number, to: number): Promise<void> {
    this.migrations.push([from, to]);
    const chat = this.chats.get(from);
    if (!chat) return;
    this.chats.delete(from);
    this.chats.set(to, { ...chat, chatId: to, kind: "supergroup" });
  }
  async householdOf(chatId: number): Promise<string | null> {
    return this.chats.has(chatId) ? `household of ${chatId}` : null;
  }
  async work(handle: (update: IncomingUpdate, store: JournalStore) => Promise<void>): Promise<number> {
    const update = this.#waiting.shift();
    if (!update) return 0;
    await handle(update, this.bound());
    return 1;
  }
  async waiting(): Promise<void> {
    await sleep(1);
  }
  async backlog(): Promise<number> {
    return this.#waiting.length;
  }
  within<T>(_household: string, work: (store: JournalStore) => Promise<T>): Promise<T> {
    return work(this.bound());
  }

  /** A store that knows chats, household and `say`; asking anything else fails the test. */
  bound(): JournalStore {
    const known: Partial<JournalStore> = {
      householdId: "memory",
      household: async () => this.household as Household,
      chat: async (id) => this.chats.get(id) ?? null,
      updateChat: async (id, patch) => {
        const chat = this.chats.get(id);
        if (chat) Object.assign(chat, patch);
      },
      say: async (message) => {
        this.outbox.push(message);
        return `said ${this.outbox.length}`;
      },
    };
    return new Proxy(known, {
      get(target, name) {
        if (name in target) return target[name as keyof JournalStore];
        throw new Error(`the edge asked the journal for ${String(name)}`);
      },
    }) as JournalStore;
  }
}

const newChat = (update: IncomingUpdate): Chat => ({
  chatId: update.chatId,
  kind: update.chatKind as ChatKind,
  title: update.chatTitle,
  active: true,
  memberCount: null,
  hearsAll: null,
  welcomedAt: null,
  state: {},
});

export const START = Temporal.Instant.from("2027-01-15T08:00:00Z");
