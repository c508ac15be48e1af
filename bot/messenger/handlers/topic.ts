import type { JournalStore } from "../../journal/ports.js";
import type { IncomingMessage } from "../desk.js";
import { topicBound, topicNotBound } from "../replies/en/standing.js";

const LONGEST_NAME = 60;

/**
 * "/collection Orchids" in a forum topic: what is logged there belongs to that collection from then on.
 * @returns false when the message is not that command
 */
export async function bindCollection(message: IncomingMessage, store: JournalStore): Promise<boolean> {
  if (message.edited || message.command?.name !== "collection") return false;
  await store.say({
    chatId: message.chatId,
    text: await bound(message, store),
    ...(message.threadId === null ? {} : { threadId: message.threadId }),
    ...(message.isPrivate ? {} : { replyTo: message.messageId }),
  });
  return true;
}

async function bound(message: IncomingMessage, store: JournalStore): Promise<string> {
  const { threadId, chatId } = message;
  if (threadId === null) return topicNotBound("no_topic");
  const name = message.command?.argument.trim().slice(0, LONGEST_NAME) ?? "";
  if (name === "") {
    const known = await store.topicCollection(chatId, threadId);
    return known ? topicBound(known.name) : topicNotBound("no_name");
  }
  if ((await message.author.settingsRight()) !== "yes") return topicNotBound("not_allowed");
  const collection = await store.addCollection(name);
  await store.bindTopic(chatId, threadId, collection.id);
  return topicBound(collection.name);
}
