import type { JournalStore } from "../../journal/ports.js";
import type { IncomingMessage } from "../desk.js";
import { placesText, settingsText } from "../replies/en/standing.js";

/**
 * Answers the two commands that ask for what is on record rather than for a sentence to be understood.
 * @returns false when the message is not one of them
 */
export async function answerStanding(
  message: IncomingMessage,
  store: JournalStore,
  fallbackZone: string,
): Promise<boolean> {
  if (message.edited || message.command?.argument !== "") return false;
  const text = await standing(message.command.name, store, fallbackZone);
  if (text === null) return false;
  await store.say({
    chatId: message.chatId,
    text,
    ...(message.threadId === null ? {} : { threadId: message.threadId }),
    ...(message.isPrivate ? {} : { replyTo: message.messageId }),
  });
  return true;
}

async function standing(name: string, store: JournalStore, fallbackZone: string): Promise<string | null> {
  if (name !== "settings" && name !== "places") return null;
  const household = await store.household();
  if (name === "settings") return settingsText(household, fallbackZone);
  return placesText(await store.places(), household.units);
}
