import type { Temporal } from "temporal-polyfill";
import type { ChatKind, JournalStore } from "../journal/ports.js";

/**
 * The desk is where a message is dealt with: it logs, answers or stays silent. The edge to the messenger
 * hands it what arrived, in the project's own terms, within one transaction of the household it belongs to.
 *
 * The desk answers by `store.say(...)` and never waits for the network. Whatever it throws rolls the
 * transaction back; the message is tried again and parked after a few tries.
 */
export interface Desk {
  /** Something was written in a chat, or rewritten (`edited`). */
  message(message: IncomingMessage, store: JournalStore): Promise<void>;
  /**
   * A button under one of the bot's messages was pressed.
   * The edge closes the press itself, with the notice if one is returned; the desk need not use `callbackId`.
   */
  press(press: ButtonPress, store: JournalStore): Promise<PressNotice | undefined>;
  /** The bot joined a chat (or was started in a private one) and has greeted it. A place for the question it asked. */
  joined?(joined: ChatJoined, store: JournalStore): Promise<void>;
  /** The bot was removed or blocked. The chat is marked inactive already; its data stays. */
  left?(left: ChatLeft, store: JournalStore): Promise<void>;
}

/** May this person change the household's settings here? "unknown": the messenger has not told who administers the chat. */
export type SettingsRight = "yes" | "no" | "unknown";

export interface Author {
  /** The messenger's user id; null for an administrator who writes anonymously. */
  userId: number | null;
  /** The first name, as the journal shows it. */
  name: string;
  /**
   * Anyone in a private chat or a group of at most a handful, else only administrators (see rights.ts).
   * Reads what is on record, never the network; a "no" or "unknown" also asks for a fresh look, so that
   * saying it again a moment later works.
   */
  settingsRight(): Promise<SettingsRight>;
}

export interface IncomingMessage {
  chatId: number;
  chatKind: ChatKind;
  chatTitle: string | null;
  /** The forum topic it was written in; null in the general topic and in chats without topics. */
  threadId: number | null;
  messageId: number;
  /**
   * What was written, without the mention of the bot; a caption counts as text. A command reads as the plain
   * sentence it stands for ("/due" is "what is due today?"). Empty for a bare mention, a location or a bare reply.
   */
  text: string;
  /** The text as typed, mention and command included. */
  rawText: string;
  /** The command, where one was typed: name without the slash, and the words after it. */
  command: { name: string; argument: string } | null;
  author: Author;
  /** Spoken to the bot: a private chat, a mention, its name with a comma, a reply to it, a command. */
  addressed: boolean;
  isPrivate: boolean;
  /** When it was written (of an edit: when the first version was). */
  at: Temporal.Instant;
  /**
   * A new version of a message seen before. The messenger also sends these for invisible changes: compare the
   * text with the entry's `rawText` before acting.
   */
  edited: boolean;
  /** Somebody else's words, passed on. In groups the edge keeps those to itself unless the bot was addressed. */
  forwarded: boolean;
  replyTo: { messageId: number; fromBot: boolean; text: string } | null;
  /** A shared position, degrees WGS 84. */
  location: { latitude: number; longitude: number } | null;
}

export interface ButtonPress {
  chatId: number;
  chatKind: ChatKind;
  threadId: number | null;
  /** The bot's message that carries the button. */
  messageId: number;
  /** Its text, when the messenger still shows it. */
  messageText: string;
  /** As given in `Button.data`. Sent by the presser's client: check it like any other input. */
  data: string;
  author: Author;
  isPrivate: boolean;
  at: Temporal.Instant;
}

export interface PressNotice {
  /** Shown to the presser alone for a moment; at most 200 characters, longer is cut. */
  notice?: string;
}

export interface ChatJoined {
  chatId: number;
  chatKind: ChatKind;
  title: string | null;
  isPrivate: boolean;
  /** First time here; false when it was removed and added again. */
  first: boolean;
  /** Whether plain sentences reach the bot in this chat. */
  hearsAll: boolean;
  /** What the greeting asked for: the place (and by it the zone), or nothing because it is known. */
  askedFor: "location" | null;
  by: Author;
}

export interface ChatLeft {
  chatId: number;
  chatKind: ChatKind;
}
