import type { Id, Outgoing } from "../../bot/journal/ports.js";
import type { OutboxItem } from "../../bot/messenger/ports.js";
import type { Link } from "../engine.js";
import type { Claim } from "./work.js";

export interface Head {
  item: OutboxItem;
  /** Urgency of the one behind it; null when it is the last. */
  next: number | null;
}

/** The message of a chat that has to leave next: the most urgent, of these the oldest. */
export async function headOf(link: Link, claim: Claim): Promise<Head | null> {
  const [row, second] = await link.rows<{
    id: Id;
    message: Outgoing;
    attempts: number;
    urgency: number;
  }>(
    `select id, message, attempts, urgency from outbox
     where household_id = $1::uuid and chat_id = $2::bigint and state = 'waiting'
     order by urgency, seq limit 2`,
    [claim.householdId, claim.chatId],
  );
  if (row === undefined) return null;
  const { id, message, attempts } = row;
  return { item: { id, householdId: claim.householdId, message, attempts }, next: second?.urgency ?? null };
}

/** Notes what became of a message, unless that was noted before. */
export async function finishMessage(
  link: Link,
  item: OutboxItem,
  outcome: { state: "sent" | "refused" | "given_up"; reason: string | null; now: string },
): Promise<void> {
  await link.rows(
    `update outbox set state = $3, reason = $4, attempts = attempts + 1, finished_at = $5::timestamptz
     where household_id = $1::uuid and id = $2::uuid and state = 'waiting'`,
    [item.householdId, item.id, outcome.state, outcome.reason, outcome.now],
  );
}

/** @returns attempts made, and seconds since it was written; null when it waits no more */
export async function noteAttempt(
  link: Link,
  item: OutboxItem,
  reason: string,
  now: string,
): Promise<{ attempts: number; ageSeconds: number } | null> {
  const [row] = await link.rows<{ attempts: number; age: number }>(
    `update outbox set attempts = attempts + 1, reason = $3
     where household_id = $1::uuid and id = $2::uuid and state = 'waiting'
     returning attempts, extract(epoch from $4::timestamptz - written_at)::float8 as age`,
    [item.householdId, item.id, reason, now],
  );
  return row === undefined ? null : { attempts: row.attempts, ageSeconds: row.age };
}

export async function rememberSent(
  link: Link,
  item: OutboxItem,
  messageId: number,
  now: string,
): Promise<void> {
  const { chatId, about } = item.message;
  await link.rows(
    `insert into sent (household_id, chat_id, message_id, outbox_id, about, sent_at)
     select household_id, chat_id, $3::bigint, $4::uuid, ($5::text)::jsonb, $6::timestamptz
     from chats where household_id = $1::uuid and chat_id = $2::bigint
     on conflict (household_id, chat_id, message_id) do update set
       outbox_id = excluded.outbox_id, about = coalesce(excluded.about, sent.about)`,
    [item.householdId, chatId, messageId, item.id, about === undefined ? null : JSON.stringify(about), now],
  );
}

export async function setChatActive(
  link: Link,
  household: Id,
  chatId: number,
  active: boolean,
): Promise<void> {
  await link.rows(
    `update chats set active = $3::boolean
     where household_id = $1::uuid and chat_id = $2::bigint and active <> $3::boolean`,
    [household, chatId, active],
  );
}

/** Nothing that waits for this chat will be sent. */
export async function dropWaiting(
  link: Link,
  claim: Pick<Claim, "householdId" | "chatId">,
  reason: string,
  now: string,
): Promise<void> {
  await link.rows(
    `update outbox set state = 'chat_gone', reason = $3, finished_at = $4::timestamptz
     where household_id = $1::uuid and chat_id = $2::bigint and state = 'waiting'`,
    [claim.householdId, claim.chatId, reason, now],
  );
}

/** Takes or keeps a duty that one process at a time fills. @returns whether it is ours now */
export async function takeDuty(
  run: Link["rows"],
  duty: string,
  holder: Id,
  now: string,
  leaseUntil: string,
): Promise<boolean> {
  const rows = await run(
    `insert into duties (duty, holder, lease_until) values ($1, $2::uuid, $4::timestamptz)
     on conflict (duty) do update set holder = excluded.holder, lease_until = excluded.lease_until
       where duties.holder = excluded.holder or duties.lease_until <= $3::timestamptz
     returning set_config('synchronous_commit', 'off', true)`,
    [duty, holder, now, leaseUntil],
  );
  return rows.length > 0;
}

export async function layDownDuty(run: Link["rows"], duty: string, holder: Id): Promise<void> {
  await run(`delete from duties where duty = $1 and holder = $2::uuid`, [duty, holder]);
}
