import type { User } from "grammy/types";
import type { JournalStore } from "../../journal/ports.js";
import type { Author } from "../desk.js";
import type { ChatFacts } from "../facts.js";
import { settingsRight } from "../rights.js";

/** Longest name that is kept; the messenger allows 64 characters in a first name. */
const NAME_LENGTH = 64;

export function authorOf(
  user: User | null,
  signature: string | undefined,
  chatId: number,
  store: JournalStore,
  facts: ChatFacts,
): Author {
  return {
    userId: user?.id ?? null,
    name: nameOf(user, signature),
    async settingsRight() {
      const chat = await store.chat(chatId);
      if (!chat) return "unknown";
      const standing = facts.standing(chat);
      const right = settingsRight(standing, user?.id ?? null);
      if (right !== "yes") standing.doubt();
      return right;
    },
  };
}

function nameOf(user: User | null, signature: string | undefined): string {
  const name = user ? user.first_name.trim() || user.username || `member ${user.id}` : signature?.trim();
  return (name || "an administrator").replaceAll(/\s+/g, " ").slice(0, NAME_LENGTH);
}
