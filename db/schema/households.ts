import { sql } from "drizzle-orm";
import {
  boolean,
  doublePrecision,
  foreignKey,
  integer,
  pgTable,
  primaryKey,
  text,
  uniqueIndex,
  uuid,
} from "drizzle-orm/pg-core";
import { household, instant, json, messengerId, words } from "./columns.js";
import { oneHousehold } from "./tenancy.js";

/** A household or club: the people who share the care. The tenant; its id is ours, since chats change theirs. */
export const households = pgTable(
  "households",
  {
    householdId: household().primaryKey(),
    name: words("name"),
    zone: text("zone"),
    latitude: doublePrecision("latitude"),
    longitude: doublePrecision("longitude"),
    location: words("location"),
    hemisphere: text("hemisphere", { enum: ["north", "south"] })
      .notNull()
      .default("north"),
    units: text("units", { enum: ["metric", "imperial"] })
      .notNull()
      .default("metric"),
    locale: text("locale").notNull().default("en-GB"),
    reminderTime: text("reminder_time").notNull().default("07:30"),
    reminderDays: json("reminder_days").notNull().default([1, 2, 3, 4, 5, 6, 7]),
    quietHours: json("quiet_hours"),
    dangerAtNight: boolean("danger_at_night"),
    tasks: json("tasks").notNull().default({}),
    createdAt: instant("created_at").notNull(),
  },
  () => [oneHousehold()],
);

export const chats = pgTable(
  "chats",
  {
    householdId: household(),
    chatId: messengerId("chat_id").notNull(),
    kind: text("kind", { enum: ["private", "group", "supergroup"] }).notNull(),
    title: words("title"),
    active: boolean("active").notNull().default(true),
    memberCount: integer("member_count"),
    hearsAll: boolean("hears_all"),
    welcomedAt: instant("welcomed_at"),
    state: json("state").notNull().default({}),
    createdAt: instant("created_at").notNull(),
  },
  (t) => [
    primaryKey({ columns: [t.householdId, t.chatId] }),
    foreignKey({ columns: [t.householdId], foreignColumns: [households.householdId] }).onDelete("cascade"),
    oneHousehold(),
  ],
);

export const collections = pgTable(
  "collections",
  {
    householdId: household(),
    id: uuid("id").notNull(),
    name: words("name").notNull(),
  },
  (t) => [
    primaryKey({ columns: [t.householdId, t.id] }),
    uniqueIndex("collections_name").on(t.householdId, sql`lower(${t.name})`),
    foreignKey({ columns: [t.householdId], foreignColumns: [households.householdId] }).onDelete("cascade"),
    oneHousehold(),
  ],
);

/** A forum topic bound to a collection. */
export const topics = pgTable(
  "topics",
  {
    householdId: household(),
    chatId: messengerId("chat_id").notNull(),
    threadId: messengerId("thread_id").notNull(),
    collectionId: uuid("collection_id").notNull(),
  },
  (t) => [
    primaryKey({ columns: [t.householdId, t.chatId, t.threadId] }),
    foreignKey({ columns: [t.householdId, t.chatId], foreignColumns: [chats.householdId, chats.chatId] })
      .onUpdate("cascade")
      .onDelete("cascade"),
    foreignKey({
      columns: [t.householdId, t.collectionId],
      foreignColumns: [collections.householdId, collections.id],
    }).onDelete("cascade"),
    oneHousehold(),
  ],
);

export const members = pgTable(
  "members",
  {
    householdId: household(),
    id: uuid("id").notNull(),
    userId: messengerId("user_id"),
    name: words("name").notNull(),
    metAt: instant("met_at").notNull(),
  },
  (t) => [
    primaryKey({ columns: [t.householdId, t.id] }),
    uniqueIndex("members_user").on(t.householdId, t.userId),
    foreignKey({ columns: [t.householdId], foreignColumns: [households.householdId] }).onDelete("cascade"),
    oneHousehold(),
  ],
);
