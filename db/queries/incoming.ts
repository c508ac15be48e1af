import type { Id } from "../../bot/journal/ports.js";
import type { IncomingUpdate } from "../../bot/messenger/ports.js";
import type { Link } from "../engine.js";
import { NIL } from "../ids.js";
import type { Claim } from "./work.js";

/** Stores one chat's updates in the given order, each once, and marks the chat. @returns how many were new */
export async function putUpdates(
  link: Link,
  household: Id,
  updates: readonly IncomingUpdate[],
  now: string,
): Promise<number> {
  const rows = updates.map(({ updateId, chatKind, chatTitle, body }, index) => ({
    id: updateId,
    ord: index + 1,
    body: JSON.stringify({ chatKind, chatTitle, body }),
  }));
  const [count] = await link.rows<{ fresh: number }>(
    `with fresh as (
       insert into inbox (household_id, chat_id, update_id, seq, body, received_at)
       select $1::uuid, $2::bigint, u.id,
         (select coalesce(max(seq), 0) from inbox where household_id = $1::uuid and chat_id = $2::bigint) + u.ord,
         u.body, $3::timestamptz
       from jsonb_to_recordset(($4::text)::jsonb) as u(id bigint, ord int, body text)
       on conflict do nothing returning 1
     ), marked as (
       insert into work (household_id, lane, chat_id, reminder_id, due_at, version)
       select $1::uuid, 'inbox', $2::bigint, $5::uuid, $3::timestamptz, 1 where exists (select 1 from fresh)
       on conflict (household_id, lane, chat_id, reminder_id) do update set
         due_at = coalesce(work.due_at, excluded.due_at), version = work.version + 1
     )
     select count(*)::int as fresh from fresh`,
    [household, updates[0]?.chatId ?? 0, now, JSON.stringify(rows), NIL],
  );
  return count?.fresh ?? 0;
}

export interface WaitingUpdate {
  update: IncomingUpdate;
  attempts: number;
}

/** The chat's next update, locked: whoever comes second waits, then finds it done. */
export async function nextUpdate(link: Link, claim: Claim): Promise<WaitingUpdate | null> {
  const [row] = await link.rows<{ update_id: string | number; body: string; attempts: number }>(
    `select update_id, body, attempts from inbox
     where household_id = $1::uuid and chat_id = $2::bigint and state = 'waiting'
     order by seq limit 1 for update`,
    [claim.householdId, claim.chatId],
  );
  if (row === undefined) return null;
  const kept = JSON.parse(row.body) as Pick<IncomingUpdate, "chatKind" | "chatTitle" | "body">;
  return {
    update: { ...kept, updateId: Number(row.update_id), chatId: claim.chatId },
    attempts: row.attempts,
  };
}

/**
 * Marks an update done and renews or gives back the chat, in the transaction of all that was written for it.
 * @returns null when the lease was lost: the transaction must not commit
 */
export async function finishUpdate(
  link: Link,
  claim: Claim,
  updateId: number,
  times: { now: string; leaseUntil: string },
  keep: boolean,
): Promise<{ more: boolean; version: number } | null> {
  const [row] = await link.rows<{ more: boolean; version: string | number }>(
    `with done as (
       update inbox set state = 'done', finished_at = $4::timestamptz, error = null
       where household_id = $1::uuid and chat_id = $2::bigint and update_id = $3::bigint and state = 'waiting'
       returning 1
     ), rest as (
       select exists (
         select 1 from inbox where household_id = $1::uuid and chat_id = $2::bigint and state = 'waiting'
           and update_id <> $3::bigint
       ) as more
     )
     update work set
       lease_until = case when rest.more and $9::boolean then $5::timestamptz end,
       not_before = null,
       due_at = case when rest.more and $9::boolean then work.due_at
                     when rest.more or work.version <> $7::bigint then $4::timestamptz end
     from rest, done
     where work.household_id = $1::uuid and work.lane = 'inbox' and work.chat_id = $2::bigint
       and work.reminder_id = $8::uuid and work.fence = $6::bigint
     returning rest.more, work.version`,
    [
      claim.householdId,
      claim.chatId,
      updateId,
      times.now,
      times.leaseUntil,
      claim.fence,
      claim.version,
      NIL,
      keep,
    ],
  );
  return row === undefined ? null : { more: row.more, version: Number(row.version) };
}

/** Notes a failure; from `parkAfter` attempts on the update is put aside. */
export async function failUpdate(
  link: Link,
  claim: Claim,
  updateId: number,
  failure: { error: string; now: string; parkAfter: number },
): Promise<{ parked: boolean; attempts: number }> {
  const [row] = await link.rows<{ state: string; attempts: number }>(
    `update inbox set attempts = attempts + 1, error = $4,
       state = case when attempts + 1 >= $6::int then 'parked' else state end,
       finished_at = case when attempts + 1 >= $6::int then $5::timestamptz end
     where household_id = $1::uuid and chat_id = $2::bigint and update_id = $3::bigint and state = 'waiting'
     returning state, attempts`,
    [claim.householdId, claim.chatId, updateId, failure.error, failure.now, failure.parkAfter],
  );
  return { parked: row?.state === "parked", attempts: row?.attempts ?? 0 };
}

/**
 * Counts a handling that was cut short, against the chat's next update; put aside after `parkAfter` of them, for it
 * may be the very thing that ends the process.
 */
export async function noteInterruption(
  link: Link,
  claim: Claim,
  now: string,
  parkAfter: number,
): Promise<boolean> {
  const [row] = await link.rows<{ state: string }>(
    `update inbox set interruptions = interruptions + 1,
       state = case when interruptions + 1 >= $3::int then 'parked' else state end,
       error = case when interruptions + 1 >= $3::int then 'cut short again and again' else error end,
       finished_at = case when interruptions + 1 >= $3::int then $4::timestamptz end
     where household_id = $1::uuid and chat_id = $2::bigint and update_id = (
       select update_id from inbox where household_id = $1::uuid and chat_id = $2::bigint and state = 'waiting'
       order by seq limit 1)
     returning state`,
    [claim.householdId, claim.chatId, parkAfter, now],
  );
  return row?.state === "parked";
}

export async function countWaiting(link: Link, table: "inbox" | "outbox", household: Id): Promise<number> {
  const [row] = await link.rows<{ waiting: number }>(
    `select count(*)::int as waiting from ${table} where household_id = $1::uuid and state = 'waiting'`,
    [household],
  );
  return row?.waiting ?? 0;
}
