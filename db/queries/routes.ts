import type { Temporal } from "temporal-polyfill";
import type { Id } from "../../bot/journal/ports.js";
import type { IncomingUpdate } from "../../bot/messenger/ports.js";
import type { Link } from "../engine.js";
import { chats, households } from "../schema/index.js";

interface RouteRow {
  chat_id: string | number;
  household_id: Id;
}
const asPair = (row: RouteRow): [number, Id] => [Number(row.chat_id), row.household_id];

export async function routesOf(run: Link["rows"], chatIds: readonly number[]): Promise<Map<number, Id>> {
  const rows = await run<RouteRow>(
    `select chat_id, household_id from routes
     where chat_id in (select value::bigint from jsonb_array_elements_text(($1::text)::jsonb))`,
    [JSON.stringify(chatIds)],
  );
  return new Map(rows.map(asPair));
}

/**
 * Routes for chats that have none. Of two processes that meet a chat at the same moment one waits here for the other
 * and gets nothing back: it has to look the route up again.
 */
export async function claimRoutes(
  link: Link,
  wanted: readonly { chatId: number; householdId: Id }[],
): Promise<Map<number, Id>> {
  const sorted = [...wanted].sort((a, b) => a.chatId - b.chatId);
  const rows = await link.rows<RouteRow>(
    `insert into routes (chat_id, household_id)
     select chat, household from jsonb_to_recordset(($1::text)::jsonb) as t(chat bigint, household uuid) order by chat
     on conflict do nothing returning chat_id, household_id`,
    [JSON.stringify(sorted.map(({ chatId, householdId }) => ({ chat: chatId, household: householdId })))],
  );
  return new Map(rows.map(asPair));
}

export async function setRoute(link: Link, chatId: number, householdId: Id): Promise<void> {
  await link.rows(
    `insert into routes (chat_id, household_id) values ($1::bigint, $2::uuid)
     on conflict (chat_id) do update set household_id = excluded.household_id`,
    [chatId, householdId],
  );
}

export async function foundHousehold(
  link: Link,
  householdId: Id,
  first: Pick<IncomingUpdate, "chatId" | "chatKind" | "chatTitle">,
  now: Temporal.Instant,
): Promise<void> {
  await link.db
    .insert(households)
    .values({ householdId, name: first.chatTitle, createdAt: now })
    .prepare("found_household")
    .execute();
  await addChat(link, householdId, first, now);
}

export async function addChat(
  link: Link,
  householdId: Id,
  chat: Pick<IncomingUpdate, "chatId" | "chatKind" | "chatTitle">,
  now: Temporal.Instant,
): Promise<void> {
  await link.db
    .insert(chats)
    .values({ householdId, chatId: chat.chatId, kind: chat.chatKind, title: chat.chatTitle, createdAt: now })
    .onConflictDoNothing()
    .prepare("add_chat")
    .execute();
}
