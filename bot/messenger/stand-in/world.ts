import type { Message, User, UserFromGetMe } from "grammy/types";
import { badRequest, forbidden, migrated } from "./failures.js";
import { UpdateQueue } from "./updates.js";

export type MemberStatus = "creator" | "administrator" | "member" | "left" | "kicked";

/** A message as the service keeps it; `text` without its markup. */
export interface KeptMessage {
  id: number;
  fromId: number;
  /** Unix seconds. */
  date: number;
  text: string;
  /** The markup as sent, for "message is not modified". */
  source: string;
  buttons: InlineButton[][];
  threadId?: number;
  replyTo?: number;
  file?: { name: string; mime: string; size: number; photo: boolean };
  reactions?: Record<number, string>;
}
export interface InlineButton {
  text: string;
  callback_data?: string;
  url?: string;
}

export interface KeptChat {
  id: number;
  kind: "private" | "group" | "supergroup";
  title: string;
  forum: boolean;
  members: Map<number, MemberStatus>;
  bot: MemberStatus;
  topics: Map<number, string>;
  /** Emoji the chat allows as reactions; null: all. */
  reactions: string[] | null;
  movedTo: number | null;
  /** Newest id in a supergroup; elsewhere ids are shared by all chats. */
  lastId: number;
  /** Whoever spoke last, for commands under privacy mode. */
  botSpokeLast: boolean;
  messages: Map<number, KeptMessage>;
}

/** One call of the bot that put something in front of people. */
export interface Sent {
  method: string;
  chatId: number;
  messageId: number | null;
  text: string;
  buttons: InlineButton[][];
  threadId?: number;
  replyTo?: number;
  silent: boolean;
  /** Shown to one person: a callback answer. */
  notice?: boolean;
  reaction?: { emoji: string | null };
  file?: { name: string; mime: string; bytes: Uint8Array; photo: boolean };
  /** Unix milliseconds of the stand-in's clock. */
  at: number;
}

/** Everything the service would know: people, chats, messages, presses and updates not yet fetched. */
export class World {
  readonly users = new Map<number, User>();
  readonly chats = new Map<number, KeptChat>();
  readonly updates: UpdateQueue;
  readonly commands = new Map<string, unknown[]>();
  /** Button presses that wait for an answer: id, unix seconds, answered. */
  readonly presses = new Map<string, { at: number; answered: boolean }>();
  readonly sent: Sent[] = [];
  readonly counts = new Map<string, number>();
  webhook = { url: "", secret: "" };
  lastSharedId = 0;
  lastPress = 0;
  /** How many calls `sent` and how many messages a chat remembers. */
  keepSent = Number.POSITIVE_INFINITY;
  keepMessages = 1_000;
  #listeners = new Set<(sent: Sent) => void>();

  constructor(
    readonly bot: UserFromGetMe,
    readonly milliseconds: () => number,
  ) {
    this.updates = new UpdateQueue(() => this.seconds());
  }

  seconds(): number {
    return Math.floor(this.milliseconds() / 1_000);
  }

  onSent(listener: (sent: Sent) => void): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  record(sent: Omit<Sent, "at">): void {
    const whole = { ...sent, at: this.milliseconds() };
    this.sent.push(whole);
    if (this.sent.length > this.keepSent) this.sent.splice(0, this.sent.length - this.keepSent);
    for (const listener of this.#listeners) listener(whole);
  }

  count(method: string): void {
    this.counts.set(method, (this.counts.get(method) ?? 0) + 1);
  }

  user(id: number): User {
    const user = id === this.bot.id ? this.bot : this.users.get(id);
    if (!user) throw badRequest("user not found");
    return user;
  }

  knownChat(id: number): KeptChat {
    const chat = this.chats.get(id);
    if (!chat) throw badRequest("chat not found");
    return chat;
  }

  /**
   * A chat the bot may speak in.
   * @throws {ApiFailure} 400 unknown or upgraded, 403 blocked, removed or never started
   */
  chatToSpeakIn(id: number): KeptChat {
    const chat = this.knownChat(id);
    if (chat.movedTo !== null) throw migrated(chat.movedTo);
    if (chat.kind === "private") {
      if (chat.bot === "kicked") throw forbidden("bot was blocked by the user");
      if (chat.bot === "left") throw forbidden("bot can't initiate conversation with a user");
      return chat;
    }
    const what = chat.kind === "supergroup" ? "supergroup chat" : "group chat";
    if (chat.bot === "kicked") throw forbidden(`bot was kicked from the ${what}`);
    if (chat.bot === "left") throw forbidden(`bot is not a member of the ${what}`);
    return chat;
  }

  keep(chat: KeptChat, message: Omit<KeptMessage, "id">): KeptMessage {
    const id = chat.kind === "supergroup" ? ++chat.lastId : ++this.lastSharedId;
    const kept = { id, ...message };
    chat.messages.set(id, kept);
    if (chat.messages.size > this.keepMessages)
      chat.messages.delete(chat.messages.keys().next().value as number);
    return kept;
  }

  chatObject(chat: KeptChat): Message["chat"] {
    if (chat.kind === "private") {
      const user = this.user(chat.id);
      return { id: chat.id, type: "private", first_name: user.first_name } as Message["chat"];
    }
    const forum = chat.forum ? { is_forum: true } : {};
    return { id: chat.id, type: chat.kind, title: chat.title, ...forum } as Message["chat"];
  }

  /** The message as the Bot API shows it. */
  messageObject(chat: KeptChat, kept: KeptMessage, withReply = true): Message {
    const replied = kept.replyTo === undefined ? undefined : chat.messages.get(kept.replyTo);
    const thread =
      kept.threadId === undefined ? {} : { message_thread_id: kept.threadId, is_topic_message: true };
    const entities = entitiesOf(kept.text);
    const content = kept.file
      ? { ...fileObject(kept), ...(kept.text === "" ? {} : { caption: kept.text }) }
      : { text: kept.text, ...(entities.length > 0 ? { entities } : {}) };
    return {
      message_id: kept.id,
      from: this.user(kept.fromId),
      chat: this.chatObject(chat),
      date: kept.date,
      ...thread,
      ...content,
      ...(withReply && replied ? { reply_to_message: this.messageObject(chat, replied, false) } : {}),
      ...(kept.buttons.length > 0 ? { reply_markup: { inline_keyboard: kept.buttons } } : {}),
    } as Message;
  }
}

function fileObject(kept: KeptMessage): object {
  const file = kept.file as NonNullable<KeptMessage["file"]>;
  const id = { file_id: `file-${kept.id}`, file_unique_id: `u-${kept.id}`, file_size: file.size };
  if (file.photo) return { photo: [{ ...id, width: 800, height: 600 }] };
  return { document: { ...id, file_name: file.name, mime_type: file.mime } };
}

/** Commands and mentions as a client marks them; offsets in UTF-16 units. */
export function entitiesOf(text: string): { type: string; offset: number; length: number }[] {
  const found: { type: string; offset: number; length: number }[] = [];
  for (const [type, pattern] of [
    ["bot_command", /(?<![\w/@])\/[a-z0-9_]{1,32}(?:@\w{3,32})?(?![\w/])/gi],
    ["mention", /(?<![\w@/])@[a-z]\w{2,31}/gi],
  ] as const)
    for (const match of text.matchAll(pattern))
      found.push({ type, offset: match.index, length: match[0].length });
  return found.sort((a, b) => a.offset - b.offset);
}
