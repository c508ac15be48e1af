import { sql } from "drizzle-orm";
import { doublePrecision, foreignKey, index, pgTable, primaryKey, text, uuid } from "drizzle-orm/pg-core";
import { household, instant, json, messengerId, words } from "./columns.js";
import { collections, households, members } from "./households.js";
import { places } from "./plants.js";
import { oneHousehold } from "./tenancy.js";

/** What was done or seen. Rows are written once: undoing or amending one is a row of `retractions`. */
export const entries = pgTable(
  "entries",
  {
    householdId: household(),
    id: uuid("id").notNull(),
    act: text("act").notNull(),
    /** The entry as interpreted, with what the journal filled in. */
    entry: json("entry").notNull(),
    collectionId: uuid("collection_id"),
    placeId: uuid("place_id"),
    /** When: half-open range as instants, and as the wall clock of the household with the grain it was told in. */
    startsAt: instant("starts_at").notNull(),
    endsAt: instant("ends_at").notNull(),
    localFrom: text("local_from"),
    localTo: text("local_to"),
    grain: text("grain"),
    /** A reading in °C, %, lx or kWh, whatever unit it was told in. */
    readingQuantity: text("reading_quantity"),
    readingStatistic: text("reading_statistic"),
    readingValue: doublePrecision("reading_value"),
    authorId: uuid("author_id"),
    person: words("person"),
    chatId: messengerId("chat_id"),
    messageId: messengerId("message_id"),
    rawText: words("raw_text").notNull(),
    interpretation: json("interpretation"),
    note: words("note"),
    amends: uuid("amends"),
    writtenAt: instant("written_at").notNull(),
  },
  (t) => [
    primaryKey({ columns: [t.householdId, t.id] }),
    index("entries_time").on(t.householdId, t.startsAt, t.id),
    index("entries_act").on(t.householdId, t.act, t.startsAt, t.id),
    index("entries_message").on(t.householdId, t.chatId, t.messageId),
    index("entries_reading")
      .on(t.householdId, t.readingQuantity, t.placeId, t.startsAt)
      .where(sql`${t.readingQuantity} is not null`),
    foreignKey({ columns: [t.householdId], foreignColumns: [households.householdId] }).onDelete("cascade"),
    foreignKey({
      columns: [t.householdId, t.collectionId],
      foreignColumns: [collections.householdId, collections.id],
    }),
    foreignKey({ columns: [t.householdId, t.placeId], foreignColumns: [places.householdId, places.id] }),
    foreignKey({ columns: [t.householdId, t.authorId], foreignColumns: [members.householdId, members.id] }),
    foreignKey({ columns: [t.householdId, t.amends], foreignColumns: [t.householdId, t.id] }),
    oneHousehold(),
  ],
);

/** An entry undone, or replaced by another. */
export const retractions = pgTable(
  "retractions",
  {
    householdId: household(),
    entryId: uuid("entry_id").notNull(),
    reason: text("reason", { enum: ["undo", "amend"] }).notNull(),
    by: uuid("by"),
    at: instant("at").notNull(),
    replacedBy: uuid("replaced_by"),
  },
  (t) => [
    primaryKey({ columns: [t.householdId, t.entryId] }),
    foreignKey({
      columns: [t.householdId, t.entryId],
      foreignColumns: [entries.householdId, entries.id],
    }).onDelete("cascade"),
    foreignKey({ columns: [t.householdId, t.by], foreignColumns: [members.householdId, members.id] }),
    foreignKey({ columns: [t.householdId, t.replacedBy], foreignColumns: [entries.householdId, entries.id] }),
    oneHousehold(),
  ],
);

/** The household's own care rules, told in words. */
export const ownRules = pgTable(
  "own_rules",
  {
    householdId: household(),
    id: uuid("id").notNull(),
    rule: json("rule").notNull(),
    saidBy: words("said_by").notNull(),
    saidAt: instant("said_at").notNull(),
    rawText: words("raw_text").notNull(),
    liftedAt: instant("lifted_at"),
  },
  (t) => [
    primaryKey({ columns: [t.householdId, t.id] }),
    foreignKey({ columns: [t.householdId], foreignColumns: [households.householdId] }).onDelete("cascade"),
    oneHousehold(),
  ],
);
