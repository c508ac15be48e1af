import type { Id, JournalEntry, JournalStore } from "./ports.js";
import { siblingsOf } from "./record.js";
import type { Scope } from "./scope.js";

/** Older than this, "undo" or "no, that was Tuesday" by itself does not mean the latest entry any more. */
const RECENT_HOURS = 48;

/** The entries that "undo" or a correction means, and whether they were taken back already. */
export interface Target {
  entries: JournalEntry[];
  gone: boolean;
}

/**
 * What a correction is about: what the bot's message it answers confirmed; else what the answered message logged;
 * else what this author logged last in this chat.
 */
export async function targetOf(scope: Scope): Promise<Target> {
  const { store, utterance } = scope;
  const { chatId, replyTo } = utterance;
  if (replyTo?.fromBot) {
    const said = await store.saidIn(chatId, replyTo.messageId);
    const ids = said?.entryIds ?? [];
    if (ids.length > 0) return standing(store, await entriesOf(store, ids));
  } else if (replyTo) {
    const entries = await store.entries({
      chatId,
      messageId: replyTo.messageId,
      order: "written",
      retracted: true,
    });
    if (entries.length > 0) return standing(store, entries.reverse());
  }
  return latestOfAuthor(scope);
}

/** Other entries of a press are beside the first one that its button names. */
export async function targetOfButton(store: JournalStore, entryId: Id): Promise<Target> {
  const [entry] = await entriesOf(store, [entryId]);
  if (!entry) return { entries: [], gone: true };
  const { entries } = await standing(store, [entry]);
  const [now] = entries;
  return now ? { entries: await siblingsOf(store, now), gone: false } : { entries: [], gone: true };
}

async function latestOfAuthor(scope: Scope): Promise<Target> {
  const { store, utterance, author } = scope;
  const [latest] = await store.entries({
    chatId: utterance.chatId,
    authorId: author.id,
    order: "written",
    limit: 1,
  });
  if (!latest) return { entries: [], gone: false };
  const age = utterance.at.since(latest.writtenAt).total("hours");
  if (age > RECENT_HOURS) return { entries: [], gone: false };
  return { entries: await siblingsOf(store, latest), gone: false };
}

async function entriesOf(store: JournalStore, ids: readonly Id[]): Promise<JournalEntry[]> {
  const entries = await Promise.all(ids.map((id) => store.entry(id)));
  return entries.filter((entry): entry is JournalEntry => entry !== null);
}

/** What stands today for these entries: themselves, or what replaced them. */
async function standing(store: JournalStore, entries: readonly JournalEntry[]): Promise<Target> {
  const found = new Map<Id, JournalEntry>();
  for (const entry of entries) {
    let now: JournalEntry | null = entry;
    while (now?.retracted)
      now = now.retracted.replacedBy ? await store.entry(now.retracted.replacedBy) : null;
    if (now) found.set(now.id, now);
  }
  return { entries: [...found.values()], gone: found.size === 0 };
}
