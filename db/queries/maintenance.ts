import type { Id } from "../../bot/journal/ports.js";
import type { Engine, Link } from "../engine.js";

/** What is kept how long after it was finished, in hours. */
export const KEPT_HOURS = { inbox: 72, outbox: 72, undelivered: 30 * 24, sent: 400 * 24, reminders: 60 * 24 };

/** Removes what is no longer needed of one household. @returns rows removed */
export async function cleanHousehold(link: Link, household: Id, now: string): Promise<number> {
  const older = async (condition: string, hours: number) => {
    const rows = await link.rows<{ gone: number }>(
      `with gone as (
         delete from ${condition} < $2::timestamptz - make_interval(hours => $3::int) returning 1
       ) select count(*)::int as gone from gone`,
      [household, now, hours],
    );
    return rows[0]?.gone ?? 0;
  };
  const counts = await Promise.all([
    older("inbox where household_id = $1::uuid and state = 'done' and finished_at", KEPT_HOURS.inbox),
    older("inbox where household_id = $1::uuid and state = 'parked' and finished_at", KEPT_HOURS.undelivered),
    older("outbox where household_id = $1::uuid and state = 'sent' and finished_at", KEPT_HOURS.outbox),
    older(
      "outbox where household_id = $1::uuid and state not in ('sent', 'waiting') and finished_at",
      KEPT_HOURS.undelivered,
    ),
    older("sent where household_id = $1::uuid and sent_at", KEPT_HOURS.sent),
    older(
      "reminders where household_id = $1::uuid and state <> 'waiting' and finished_at",
      KEPT_HOURS.reminders,
    ),
  ]);
  return counts.reduce((sum, count) => sum + count, 0);
}

/** Households by id, a page at a time. */
export async function householdsAfter(engine: Engine, after: Id, limit: number): Promise<Id[]> {
  const rows = await engine.rows<{ household_id: Id }>(
    `select distinct household_id from routes where household_id > $1::uuid order by household_id limit $2::int`,
    [after, limit],
  );
  return rows.map((row) => row.household_id);
}

/** What the last process held when it was killed is free again; only where no other process can be at work. */
export async function freeLeases(engine: Engine): Promise<void> {
  await engine.rows(
    `update work set lease_until = case when lease_until is not null then '-infinity'::timestamptz end, not_before = null
     where lease_until is not null or not_before is not null`,
  );
}
