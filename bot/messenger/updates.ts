import type { Chat, Message, Update, User } from "grammy/types";
import type { ChatKind } from "../journal/ports.js";
import type { IncomingUpdate } from "./ports.js";

/** What the bot asks the service for; "chat_member" comes only where it is an administrator. */
export const ALLOWED_UPDATES = [
  "message",
  "edited_message",
  "callback_query",
  "my_chat_member",
  "chat_member",
] as const;

/**
 * An update as the inbox keeps it, or null when there is nothing in it for the bot: channels, other bots,
 * stickers, and service messages that only change what is known of a chat.
 */
export function toIncoming(update: Update): IncomingUpdate | null {
  const chat = chatOf(update);
  const kind = chat && kindOf(chat);
  if (!chat || !kind || !concernsUs(update)) return null;
  const title = chat.type === "private" ? null : (chat.title ?? null);
  return {
    updateId: update.update_id,
    chatId: chat.id,
    chatKind: kind,
    chatTitle: title === null ? null : storable(title),
    body: storable(update),
  };
}

export function chatOf(update: Update): Chat | null {
  return (
    update.message?.chat ??
    update.edited_message?.chat ??
    update.callback_query?.message?.chat ??
    update.my_chat_member?.chat ??
    update.chat_member?.chat ??
    null
  );
}

function kindOf(chat: Chat): ChatKind | null {
  return chat.type === "private" || chat.type === "group" || chat.type === "supergroup" ? chat.type : null;
}

function concernsUs(update: Update): boolean {
  if (update.callback_query) return update.callback_query.data !== undefined;
  if (update.my_chat_member) return true;
  const message = update.message ?? update.edited_message;
  if (!message || isOtherBot(message)) return false;
  if (message.is_automatic_forward) return false;
  return (
    message.text !== undefined ||
    message.caption !== undefined ||
    message.location !== undefined ||
    message.new_chat_title !== undefined
  );
}

/** Administrators who hide behind their group are shown as a bot too, with the group as the sender. */
export function isAnonymousAdministrator(message: Pick<Message, "sender_chat" | "chat">): boolean {
  return message.sender_chat !== undefined && message.sender_chat.id === message.chat.id;
}
function isOtherBot(message: Message): boolean {
  const from: User | undefined = message.from;
  return (from?.is_bot ?? false) && !isAnonymousAdministrator(message);
}

/** The two chat ids of an upgrade from group to supergroup; it is told once in the old chat, once in the new. */
export function migrationOf(update: Update): { from: number; to: number } | null {
  const message = update.message;
  if (message?.migrate_to_chat_id !== undefined)
    return { from: message.chat.id, to: message.migrate_to_chat_id };
  if (message?.migrate_from_chat_id !== undefined)
    return { from: message.migrate_from_chat_id, to: message.chat.id };
  return null;
}

/** PostgreSQL's text and jsonb take neither NUL nor half of a surrogate pair; both become U+FFFD. */
function storable<T>(value: T): T {
  const json = JSON.stringify(value);
  if (!/\\u0000|\\ud[89a-f]/i.test(json)) return value;
  return JSON.parse(json, (_, inner: unknown) => (typeof inner === "string" ? clean(inner) : inner)) as T;
}
function clean(text: string): string {
  return text
    .replaceAll("\u0000", "\ufffd")
    .replace(/[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g, "\ufffd");
}
