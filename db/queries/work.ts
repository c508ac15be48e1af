import type { Id } from "../../bot/journal/ports.js";
import type { Engine, Link } from "../engine.js";
import { NIL } from "../ids.js";

export type Lane = "inbox" | "outbox" | "nudge";

/** A row of `work` held by this process until its lease ends. */
export interface Claim {
  householdId: Id;
  chatId: number;
  reminderId: Id;
  /** Rises with every claim of the row. */
  fence: number;
  /** Rises with every message that comes in; known before the messages are read. */
  version: number;
  /** The last holder neither finished nor released it: its process ended, or it stalled. */
  interrupted: boolean;
}

interface ClaimRow {
  household_id: Id;
  chat_id: string | number;
  reminder_id: Id;
  fence: string | number;
  version: string | number;
  interrupted: boolean;
  urgency: number;
}

export interface ClaimOptions {
  lane: Lane;
  limit: number;
  /** Real time, for leases. */
  pulse: string;
  leaseUntil: string;
  /** Not those held back beyond this instant. */
  notBefore: string;
  /** Nudges only: due by this instant. */
  dueBy?: string;
}

/**
 * Takes up to `limit` rows nobody holds, most urgent first. Rows another process is just taking are passed over.
 * A claim need not outlive a crash, so its commit does not wait for the disk.
 */
export async function claimWork(engine: Engine, options: ClaimOptions): Promise<Claim[]> {
  const rows = await engine.rows<ClaimRow>(
    `update work w set lease_until = $2::timestamptz, fence = w.fence + 1
     from (
       select household_id, lane, chat_id, reminder_id, lease_until from work
       where lane = $1 and due_at is not null and due_at <= $6::timestamptz
         and (not_before is null or not_before <= $4::timestamptz)
         and (lease_until is null or lease_until <= $3::timestamptz)
       order by urgency, due_at limit $5::int for update skip locked
     ) free
     where w.household_id = free.household_id and w.lane = free.lane and w.chat_id = free.chat_id
       and w.reminder_id = free.reminder_id
     returning w.household_id, w.chat_id, w.reminder_id, w.fence, w.version, w.urgency,
       free.lease_until is not null as interrupted, set_config('synchronous_commit', 'off', true)`,
    [
      options.lane,
      options.leaseUntil,
      options.pulse,
      options.notBefore,
      options.limit,
      options.dueBy ?? "infinity",
    ],
  );
  return rows
    .sort((a, b) => a.urgency - b.urgency)
    .map((row) => ({
      householdId: row.household_id,
      chatId: Number(row.chat_id),
      reminderId: row.reminder_id,
      fence: Number(row.fence),
      version: Number(row.version),
      interrupted: row.interrupted,
    }));
}

export interface Release {
  /** Held back until then. */
  notBefore?: string | null;
  /** Nothing waits any more, as far as the holder of `claim.version` can know. */
  idle?: boolean;
  /** Goes to the end of the queue. */
  dueAt?: string;
  /** Of what waits now, as far as the holder of `claim.version` can know. */
  urgency?: number;
}

/** Gives a claimed row back. @returns false when the lease was lost */
export async function releaseWork(
  run: Link["rows"],
  lane: Lane,
  claim: Claim,
  release: Release,
): Promise<boolean> {
  const rows = await run(
    `update work set lease_until = null, not_before = $6::timestamptz,
       due_at = case when $7::boolean and version = $8::bigint then null else coalesce($9::timestamptz, due_at) end,
       urgency = case when version = $8::bigint then coalesce($10::smallint, urgency) else urgency end
     where household_id = $1::uuid and lane = $2 and chat_id = $3::bigint and reminder_id = $4::uuid
       and fence = $5::bigint
     returning set_config('synchronous_commit', 'off', true)`,
    [
      claim.householdId,
      lane,
      claim.chatId,
      claim.reminderId,
      claim.fence,
      release.notBefore ?? null,
      release.idle ?? false,
      claim.version,
      release.dueAt ?? null,
      release.urgency ?? null,
    ],
  );
  return rows.length > 0;
}

/** Chats of a lane with something waiting, oldest first. */
export async function busyChats(engine: Engine, lane: Lane): Promise<{ householdId: Id; chatId: number }[]> {
  const rows = await engine.rows<{ household_id: Id; chat_id: string | number }>(
    `select household_id, chat_id from work where lane = $1 and due_at is not null order by urgency, due_at`,
    [lane],
  );
  return rows.map((row) => ({ householdId: row.household_id, chatId: Number(row.chat_id) }));
}

export const NO_REMINDER = NIL;
