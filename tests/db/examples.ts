import { Temporal } from "temporal-polyfill";
import type { NewEntry } from "../../bot/journal/ports.js";
import type { IncomingUpdate } from "../../bot/messenger/ports.js";
import type { Store } from "../../db/store.js";

export const NOW = Temporal.Instant.from("2027-01-15T08:00:00Z");
export const at = (iso: string) => Temporal.Instant.from(iso);

/** The allotment club's group on the Baltic coast. */
export const CLUB_CHAT = -1001;

export function update(
  updateId: number,
  chatId = CLUB_CHAT,
  text = `watered the aloes ${updateId}`,
): IncomingUpdate {
  return {
    updateId,
    chatId,
    chatKind: chatId < 0 ? "group" : "private",
    chatTitle: chatId < 0 ? "Glasshouse" : null,
    body: { message: { text } },
  };
}

export const textOf = ({ body }: IncomingUpdate) => (body as { message: { text: string } }).message.text;

export function watering(change: Partial<NewEntry> = {}): NewEntry {
  return {
    act: "water",
    entry: {
      act: "water",
      subjects: [{ genus: "Aloe" }],
      when: { from: "2027-01-15T00:00", to: "2027-01-16T00:00", grain: "day" },
    },
    collectionId: null,
    placeId: null,
    from: at("2027-01-14T23:00:00Z"),
    to: at("2027-01-15T23:00:00Z"),
    reading: null,
    authorId: null,
    person: "Ines",
    chatId: CLUB_CHAT,
    messageId: 1,
    rawText: "watered the aloes",
    interpretation: { kind: "log", entries: [{ act: "water", subjects: [{ genus: "Aloe" }] }] },
    note: null,
    amends: null,
    ...change,
  };
}

/** The household of a chat, made known by its first message, which is handled at once. */
export async function settle(store: Store, chatId = CLUB_CHAT): Promise<string> {
  await store.inbox.receive([update(1_000_000 + Math.abs(chatId), chatId)]);
  while ((await store.inbox.work(async () => {})) > 0);
  const household = await store.inbox.householdOf(chatId);
  if (household === null) throw new Error("no household came into being");
  return household;
}

/** Hands all waiting updates to `handle`. */
export async function drain(store: Store, handle: Parameters<Store["inbox"]["work"]>[0]): Promise<number> {
  let total = 0;
  for (;;) {
    const finished = await store.inbox.work(handle);
    if (finished === 0) return total;
    total += finished;
  }
}
