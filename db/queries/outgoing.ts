import { and, eq, sql } from "drizzle-orm";
import type { Temporal } from "temporal-polyfill";
import type { Id, Outgoing } from "../../bot/journal/ports.js";
import type { Link } from "../engine.js";
import { NIL } from "../ids.js";
import { statement } from "../prepared.js";
import { outbox, sent } from "../schema/index.js";

export const DEFAULT_URGENCY = 1;

const householdParam = sql.placeholder("householdId");
const chatParam = sql.placeholder("chatId");
const insertMessage = statement("say", (db) =>
  db.insert(outbox).values({
    householdId: householdParam,
    id: sql.placeholder("id"),
    chatId: chatParam,
    seq: sql`(select coalesce(max(seq), 0) + 1 from outbox where household_id = ${householdParam} and chat_id = ${chatParam})`,
    urgency: sql.placeholder("urgency"),
    message: sql.placeholder("message"),
    writtenAt: sql.placeholder("writtenAt"),
  }),
);

export async function putMessage(
  link: Link,
  householdId: Id,
  id: Id,
  message: Outgoing,
  writtenAt: Temporal.Instant,
): Promise<void> {
  const urgency = message.urgency ?? DEFAULT_URGENCY;
  await insertMessage(link, { householdId, id, chatId: message.chatId, urgency, message, writtenAt });
}

const selectSent = statement("said_in", (db) =>
  db
    .select({ about: sent.about })
    .from(sent)
    .where(
      and(
        eq(sent.householdId, sql.placeholder("household")),
        eq(sent.chatId, sql.placeholder("chat")),
        eq(sent.messageId, sql.placeholder("message")),
      ),
    ),
);

export async function saidIn(
  link: Link,
  household: Id,
  chat: number,
  message: number,
): Promise<Outgoing["about"] | null> {
  const [row] = await selectSent(link, { household, chat, message });
  return (row?.about as Outgoing["about"]) ?? null;
}

/** Chats that got a message in this transaction, with the most urgent of them. */
export type Marks = Map<number, number>;

/**
 * Tells the dispatcher which chats have something to send. Done once at the end of a transaction and in the order of
 * the chats' ids: the rows stay locked until it commits, and two transactions must not wait for each other.
 */
export async function markChats(
  link: Link,
  household: Id,
  marks: Marks,
  now: Temporal.Instant,
): Promise<void> {
  if (marks.size === 0) return;
  const rows = [...marks].map(([chat, urgency]) => ({ chat, urgency })).sort((a, b) => a.chat - b.chat);
  await link.rows(
    `insert into work (household_id, lane, chat_id, reminder_id, urgency, due_at, version)
     select $1::uuid, 'outbox', chat, $2::uuid, urgency, $3::timestamptz, 1
     from jsonb_to_recordset(($4::text)::jsonb) as t(chat bigint, urgency smallint) order by chat
     on conflict (household_id, lane, chat_id, reminder_id) do update set
       urgency = case when work.due_at is null then excluded.urgency else least(work.urgency, excluded.urgency) end,
       due_at = coalesce(work.due_at, excluded.due_at),
       version = work.version + 1`,
    [household, NIL, now.toString(), JSON.stringify(rows)],
  );
}
