import { and, eq, gte, inArray, sql } from "drizzle-orm";
import type { Temporal } from "temporal-polyfill";
import type { Id, Reminder, ReminderFilter, ReminderKind } from "../../bot/journal/ports.js";
import type { Link } from "../engine.js";
import { reminders, work } from "../schema/index.js";

type ReminderRow = typeof reminders.$inferSelect;
export function asReminder(row: ReminderRow): Reminder {
  const { householdId: _, createdAt: __, finishedAt: ___, ...reminder } = row;
  return { ...reminder, kind: row.kind as ReminderKind };
}

/** What is at risk is told first. */
const URGENT: readonly string[] = ["danger", "danger_again"] satisfies ReminderKind[];

/**
 * The dispatcher's row for a reminder: how a due one is found without looking into any household. Its version is the
 * fence at which it was set, so that claims since then can be counted.
 */
async function queue(
  link: Link,
  householdId: Id,
  reminderId: Id,
  kind: string,
  dueAt: Temporal.Instant,
): Promise<void> {
  const urgency = URGENT.includes(kind) ? 0 : 2;
  await link.db
    .insert(work)
    .values({ householdId, lane: "nudge", chatId: 0, reminderId, urgency, dueAt })
    .onConflictDoUpdate({
      target: [work.householdId, work.lane, work.chatId, work.reminderId],
      set: { dueAt, leaseUntil: null, notBefore: null, version: sql`${work.fence}` },
    })
    .prepare("queue_reminder")
    .execute();
}

async function unqueue(link: Link, householdId: Id, reminderId: Id): Promise<void> {
  await link.db
    .delete(work)
    .where(
      and(
        eq(work.householdId, householdId),
        eq(work.lane, "nudge"),
        eq(work.chatId, 0),
        eq(work.reminderId, reminderId),
      ),
    )
    .prepare("unqueue_reminder")
    .execute();
}

/** @returns false when one of this kind, subject and local date exists */
export async function addReminder(link: Link, row: typeof reminders.$inferInsert): Promise<boolean> {
  const added = await link.db
    .insert(reminders)
    .values(row)
    .onConflictDoNothing()
    .returning({ id: reminders.id })
    .prepare("add_reminder")
    .execute();
  if (added.length === 0) return false;
  await queue(link, row.householdId, row.id, row.kind, row.dueAt);
  return true;
}

export async function remindersWhere(link: Link, household: Id, filter: ReminderFilter): Promise<Reminder[]> {
  const rows = await link.db
    .select()
    .from(reminders)
    .where(
      and(
        eq(reminders.householdId, household),
        filter.kinds && inArray(reminders.kind, filter.kinds),
        filter.state && eq(reminders.state, filter.state),
        filter.ids && inArray(reminders.id, filter.ids),
        filter.sinceDate === undefined ? undefined : gte(reminders.localDate, filter.sinceDate),
      ),
    )
    .orderBy(reminders.dueAt, reminders.id)
    .prepare("reminders")
    .execute();
  return rows.map(asReminder);
}

export async function changeReminder(
  link: Link,
  household: Id,
  id: Id,
  patch: Partial<Pick<Reminder, "state" | "dueAt" | "payload" | "chatId">>,
  now: Temporal.Instant,
): Promise<void> {
  if (Object.keys(patch).length === 0) return;
  const [row] = await link.db
    .update(reminders)
    .set({ ...patch, ...(patch.state && { finishedAt: patch.state === "waiting" ? null : now }) })
    .where(and(eq(reminders.householdId, household), eq(reminders.id, id)))
    .returning({ kind: reminders.kind, state: reminders.state, dueAt: reminders.dueAt });
  if (row === undefined) return;
  if (row.state !== "waiting") await unqueue(link, household, id);
  else if (patch.dueAt || patch.state) await queue(link, household, id, row.kind, row.dueAt);
}

/** The reminder if it still waits, locked until the transaction ends so that no second process delivers it too. */
export async function lockReminder(link: Link, household: Id, id: Id): Promise<Reminder | null> {
  const [row] = await link.db
    .select()
    .from(reminders)
    .where(
      and(eq(reminders.householdId, household), eq(reminders.id, id), sql`${reminders.state} = 'waiting'`),
    )
    .for("update")
    .prepare("lock_reminder")
    .execute();
  return row === undefined ? null : asReminder(row);
}
