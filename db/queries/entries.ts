import { and, asc, desc, eq, gt, inArray, isNull, lt, or, type SQL, sql } from "drizzle-orm";
import type { Temporal } from "temporal-polyfill";
import type { EntryFilter, HouseholdRule, Id, JournalEntry, NewEntry } from "../../bot/journal/ports.js";
import type { OwnRule } from "../../bot/language/interpretation.js";
import type { Link } from "../engine.js";
import { statement } from "../prepared.js";
import { entries, ownRules, retractions } from "../schema/index.js";

interface EntryRow {
  entries: typeof entries.$inferSelect;
  retractions: typeof retractions.$inferSelect | null;
}

function asEntry({ entries: row, retractions: gone }: EntryRow): JournalEntry {
  const { readingQuantity, readingStatistic, readingValue } = row;
  return {
    id: row.id,
    act: row.act as JournalEntry["act"],
    entry: row.entry as JournalEntry["entry"],
    collectionId: row.collectionId,
    placeId: row.placeId,
    from: row.startsAt,
    to: row.endsAt,
    reading:
      readingQuantity === null || readingStatistic === null || readingValue === null
        ? null
        : ({
            quantity: readingQuantity,
            statistic: readingStatistic,
            value: readingValue,
          } as JournalEntry["reading"]),
    authorId: row.authorId,
    person: row.person,
    chatId: row.chatId,
    messageId: row.messageId,
    rawText: row.rawText,
    interpretation: row.interpretation as JournalEntry["interpretation"],
    note: row.note,
    amends: row.amends,
    retracted: gone && { reason: gone.reason, by: gone.by, at: gone.at, replacedBy: gone.replacedBy },
    writtenAt: row.writtenAt,
  };
}

const ENTRY_COLUMNS = [
  "householdId",
  "id",
  "act",
  "entry",
  "collectionId",
  "placeId",
  "startsAt",
  "endsAt",
  "localFrom",
  "localTo",
  "grain",
  "readingQuantity",
  "readingStatistic",
  "readingValue",
  "authorId",
  "person",
  "chatId",
  "messageId",
  "rawText",
  "interpretation",
  "note",
  "amends",
  "writtenAt",
] as const;

const insertEntry = statement("add_entry", (db) =>
  db
    .insert(entries)
    .values(
      Object.fromEntries(
        ENTRY_COLUMNS.map((column) => [column, sql.placeholder(column)]),
      ) as unknown as typeof entries.$inferInsert,
    ),
);

export async function addEntry(
  link: Link,
  householdId: Id,
  id: Id,
  entry: NewEntry,
  writtenAt: Temporal.Instant,
): Promise<JournalEntry> {
  const { from, to, reading, ...rest } = entry;
  const when = entry.entry.when;
  await insertEntry(link, {
    ...rest,
    householdId,
    id,
    writtenAt,
    startsAt: from,
    endsAt: to,
    localFrom: when?.from ?? null,
    localTo: when?.to ?? null,
    grain: when?.grain ?? null,
    readingQuantity: reading?.quantity ?? null,
    readingStatistic: reading?.statistic ?? null,
    readingValue: reading?.value ?? null,
  });
  return { ...entry, id, retracted: null, writtenAt };
}

const ORDERS: Record<NonNullable<EntryFilter["order"]>, SQL[]> = {
  latest: [desc(entries.startsAt), desc(entries.id)],
  oldest: [asc(entries.startsAt), asc(entries.id)],
  written: [desc(entries.writtenAt), desc(entries.id)],
};

function conditions(household: Id, filter: EntryFilter): (SQL | undefined)[] {
  const { acts, from, to, placeId, collectionId, chatId, messageId, authorId } = filter;
  return [
    eq(entries.householdId, household),
    acts && inArray(entries.act, [...acts]),
    // A range of no length counts as overlapping where it starts.
    from && or(gt(entries.endsAt, from), eq(entries.startsAt, from)),
    to && lt(entries.startsAt, to),
    placeId === undefined ? undefined : eq(entries.placeId, placeId),
    collectionId === undefined ? undefined : eq(entries.collectionId, collectionId),
    chatId === undefined ? undefined : eq(entries.chatId, chatId),
    messageId === undefined ? undefined : eq(entries.messageId, messageId),
    authorId === undefined ? undefined : eq(entries.authorId, authorId),
    filter.retracted ? undefined : isNull(retractions.entryId),
  ];
}

const ofEntry = and(eq(retractions.householdId, entries.householdId), eq(retractions.entryId, entries.id));

export async function entriesWhere(link: Link, household: Id, filter: EntryFilter): Promise<JournalEntry[]> {
  const query = link.db
    .select()
    .from(entries)
    .leftJoin(retractions, ofEntry)
    .where(and(...conditions(household, filter)))
    .orderBy(...ORDERS[filter.order ?? "latest"]);
  const limited = filter.limit === undefined ? query : query.limit(filter.limit);
  // The name only asks for a server-side prepared statement, which is known by its text.
  return (await limited.prepare("entries").execute()).map(asEntry);
}

const selectEntry = statement("entry", (db) =>
  db
    .select()
    .from(entries)
    .leftJoin(retractions, ofEntry)
    .where(and(eq(entries.householdId, sql.placeholder("household")), eq(entries.id, sql.placeholder("id")))),
);

export async function oneEntry(link: Link, household: Id, id: Id): Promise<JournalEntry | null> {
  const [row] = await selectEntry(link, { household, id });
  return row === undefined ? null : asEntry(row);
}

/** @returns false when it was retracted before, or is not there */
export async function retractEntry(link: Link, row: typeof retractions.$inferInsert): Promise<boolean> {
  if ((await oneEntry(link, row.householdId, row.entryId)) === null) return false;
  const done = await link.db
    .insert(retractions)
    .values(row)
    .onConflictDoNothing()
    .returning({ id: retractions.entryId });
  return done.length > 0;
}

const selectRules = statement("own_rules", (db) =>
  db
    .select()
    .from(ownRules)
    .where(and(eq(ownRules.householdId, sql.placeholder("household")), isNull(ownRules.liftedAt)))
    .orderBy(ownRules.id),
);

export async function standingRules(link: Link, household: Id): Promise<HouseholdRule[]> {
  return (await selectRules(link, { household })).map(({ id, rule, saidBy, saidAt, rawText }) => ({
    id,
    rule: rule as OwnRule,
    saidBy,
    saidAt,
    rawText,
  }));
}

export async function addRule(link: Link, row: typeof ownRules.$inferInsert): Promise<void> {
  await link.db.insert(ownRules).values(row);
}

export async function liftRule(link: Link, household: Id, id: Id, at: Temporal.Instant): Promise<void> {
  await link.db
    .update(ownRules)
    .set({ liftedAt: at })
    .where(and(eq(ownRules.householdId, household), eq(ownRules.id, id), isNull(ownRules.liftedAt)));
}
