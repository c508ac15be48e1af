import type { Temporal } from "temporal-polyfill";
import type { ChatKind, Id, JournalStore, Outgoing } from "../journal/ports.js";

/** What the edge to the messenger asks of the store: the inbox, the outbox and who may work them. */

/** An update of the messenger as it came, with what is needed to route it. */
export interface IncomingUpdate {
  updateId: number;
  /** The chat it belongs to; a button press belongs to the chat of its message. */
  chatId: number;
  chatKind: ChatKind;
  chatTitle: string | null;
  body: unknown;
}

export interface Inbox {
  /**
   * Stores updates durably, each once (by chat and update id), making household and chat known on first sight.
   * Resolves after commit; only then may the next offset be asked for or a webhook be answered.
   * @returns the number that were new
   */
  receive(updates: readonly IncomingUpdate[]): Promise<number>;
  /** A group became a supergroup: the new id leads to the same household from now on. */
  migrateChat(fromChatId: number, toChatId: number): Promise<void>;
  householdOf(chatId: number): Promise<Id | null>;
  /**
   * Claims one chat with waiting updates (lease, SKIP LOCKED) and hands them over in order, each in a transaction
   * of its own together with all that `handle` writes. An update whose handling throws is tried again, then parked.
   * @returns the number of updates finished or parked; 0 when no chat was waiting
   */
  work(handle: (update: IncomingUpdate, store: JournalStore) => Promise<void>): Promise<number>;
  /** Resolves when something may be waiting (a local signal, or after a short poll). */
  waiting(signal: AbortSignal): Promise<void>;
  /** Updates not finished yet (neither done nor parked). */
  backlog(): Promise<number>;
}

export interface OutboxItem {
  id: Id;
  householdId: Id;
  message: Outgoing;
  attempts: number;
}
/** What came of sending one message. */
export type Delivery =
  | { kind: "sent"; messageId: number | null }
  /** Try again, not before `after` seconds (the service's retry_after, or our back-off). */
  | { kind: "later"; afterSeconds: number; reason: string }
  /** Will never be delivered (bad request, too old to edit). */
  | { kind: "refused"; reason: string }
  /** The chat blocked or removed the bot. */
  | { kind: "gone"; reason: string }
  /** The group moved to this chat id. */
  | { kind: "moved"; chatId: number };

export interface Outbox {
  /** Claims up to `limit` messages that may leave now, most urgent first, one a chat at a time, in order within a chat. */
  claim(limit: number, now: Temporal.Instant): Promise<OutboxItem[]>;
  /** @param notBefore the chat's next message may not leave before this instant: the messenger's limits */
  settle(item: OutboxItem, delivery: Delivery, notBefore?: Temporal.Instant): Promise<void>;
  /** Takes or keeps the right to send, which one process at a time has so that the limits are kept in one place. */
  mayLead(): Promise<boolean>;
  waiting(signal: AbortSignal): Promise<void>;
  backlog(): Promise<number>;
}
