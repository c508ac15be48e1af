import type { JournalStore } from "../../journal/ports.js";
import type { IncomingMessage } from "../desk.js";
import { placesText, settingsText } from "../replies/en/standing.js";

/** Commands that ask for what is on record; "/quiet" does until hours follow it. */
const SHOWS: Readonly<Record<string, "settings" | "places">> = {
  settings: "settings",
  quiet: "settings",
  places: "places",
};

/**
 * Answers the commands that ask for what is on record rather than for a sentence to be understood.
 * @returns false when the message is not one of them
 */
export async function answerStanding(
  message: IncomingMessage,
  store: JournalStore,
  fallbackZone: string,
): Promise<boolean> {
  if (message.edited || message.command?.argument !== "") return false;
  const shows = Object.hasOwn(SHOWS, message.command.name) ? SHOWS[message.command.name] : undefined;
  if (shows === undefined) return false;
  const household = await store.household();
  const text =
    shows === "settings"
      ? settingsText(household, fallbackZone)
      : placesText(await store.places(), household.units);
  await store.say({
    chatId: message.chatId,
    text,
    ...(message.threadId === null ? {} : { threadId: message.threadId }),
    ...(message.isPrivate ? {} : { replyTo: message.messageId }),
  });
  return true;
}
