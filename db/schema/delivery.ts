import { sql } from "drizzle-orm";
import { foreignKey, index, pgTable, primaryKey, smallint, text, unique, uuid } from "drizzle-orm/pg-core";
import { household, instant, json, messengerId, words } from "./columns.js";
import { chats, households } from "./households.js";
import { oneHousehold } from "./tenancy.js";

/** Updates of the messenger as they came, each once. Kept for three days after they were finished. */
export const inbox = pgTable(
  "inbox",
  {
    householdId: household(),
    chatId: messengerId("chat_id").notNull(),
    updateId: messengerId("update_id").notNull(),
    /** Order of arrival within the chat. */
    seq: messengerId("seq").notNull(),
    /** JSON text, not jsonb: it may hold U+0000, and an update must never be refused. */
    body: text("body").notNull(),
    state: text("state", { enum: ["waiting", "done", "parked"] })
      .notNull()
      .default("waiting"),
    attempts: smallint("attempts").notNull().default(0),
    /** How often its handling was cut short by the end of a process. */
    interruptions: smallint("interruptions").notNull().default(0),
    error: words("error"),
    receivedAt: instant("received_at").notNull(),
    finishedAt: instant("finished_at"),
  },
  (t) => [
    primaryKey({ columns: [t.householdId, t.chatId, t.updateId] }),
    index("inbox_waiting").on(t.householdId, t.chatId, t.seq).where(sql`${t.state} = 'waiting'`),
    index("inbox_order").on(t.householdId, t.chatId, t.seq),
    index("inbox_finished").on(t.householdId, t.finishedAt),
    foreignKey({ columns: [t.householdId], foreignColumns: [households.householdId] }).onDelete("cascade"),
    oneHousehold(),
  ],
);

/** Messages on their way out, and what became of them. */
export const outbox = pgTable(
  "outbox",
  {
    householdId: household(),
    id: uuid("id").notNull(),
    chatId: messengerId("chat_id").notNull(),
    /** Order of writing within the chat. */
    seq: messengerId("seq").notNull(),
    urgency: smallint("urgency").notNull(),
    message: json("message").notNull(),
    state: text("state", { enum: ["waiting", "sent", "refused", "given_up", "chat_gone"] })
      .notNull()
      .default("waiting"),
    attempts: smallint("attempts").notNull().default(0),
    reason: words("reason"),
    writtenAt: instant("written_at").notNull(),
    finishedAt: instant("finished_at"),
  },
  (t) => [
    primaryKey({ columns: [t.householdId, t.id] }),
    index("outbox_waiting").on(t.householdId, t.chatId, t.urgency, t.seq).where(sql`${t.state} = 'waiting'`),
    index("outbox_order").on(t.householdId, t.chatId, t.seq),
    index("outbox_finished").on(t.householdId, t.finishedAt),
    foreignKey({ columns: [t.householdId], foreignColumns: [households.householdId] }).onDelete("cascade"),
    oneHousehold(),
  ],
);

/** Under which id of the messenger a message of the bot's is known, and what it was about. */
export const sent = pgTable(
  "sent",
  {
    householdId: household(),
    chatId: messengerId("chat_id").notNull(),
    messageId: messengerId("message_id").notNull(),
    outboxId: uuid("outbox_id").notNull(),
    about: json("about"),
    sentAt: instant("sent_at").notNull(),
  },
  (t) => [
    primaryKey({ columns: [t.householdId, t.chatId, t.messageId] }),
    index("sent_time").on(t.householdId, t.sentAt),
    foreignKey({ columns: [t.householdId, t.chatId], foreignColumns: [chats.householdId, chats.chatId] })
      .onUpdate("cascade")
      .onDelete("cascade"),
    oneHousehold(),
  ],
);

/** What will be said unasked, once by kind, subject and local date. */
export const reminders = pgTable(
  "reminders",
  {
    householdId: household(),
    id: uuid("id").notNull(),
    kind: text("kind").notNull(),
    subject: words("subject").notNull(),
    localDate: text("local_date").notNull(),
    dueAt: instant("due_at").notNull(),
    chatId: messengerId("chat_id"),
    payload: json("payload"),
    state: text("state", { enum: ["waiting", "done", "dropped"] })
      .notNull()
      .default("waiting"),
    createdAt: instant("created_at").notNull(),
    finishedAt: instant("finished_at"),
  },
  (t) => [
    primaryKey({ columns: [t.householdId, t.id] }),
    unique("reminders_once").on(t.householdId, t.kind, t.subject, t.localDate),
    index("reminders_due").on(t.householdId, t.dueAt).where(sql`${t.state} = 'waiting'`),
    foreignKey({ columns: [t.householdId], foreignColumns: [households.householdId] }).onDelete("cascade"),
    oneHousehold(),
  ],
);

// The tables below know no household's content: ids, counts and instants only. They stand outside row-level
// security, because a dispatcher has to find out which household has work before it can act within one.

/** Which household a chat belongs to. The one key that cannot begin with the household: it is how it is found. */
export const routes = pgTable(
  "routes",
  {
    chatId: messengerId("chat_id").primaryKey(),
    householdId: household(),
  },
  (t) => [index("routes_household").on(t.householdId)],
);

/** Who has something waiting: a chat in the inbox or the outbox lane, one reminder in the nudge lane. */
export const work = pgTable(
  "work",
  {
    householdId: household(),
    lane: text("lane", { enum: ["inbox", "outbox", "nudge"] }).notNull(),
    /** The chat; 0 in the nudge lane. */
    chatId: messengerId("chat_id").notNull(),
    /** The reminder; nil in the other lanes. */
    reminderId: uuid("reminder_id").notNull().default("00000000-0000-0000-0000-000000000000"),
    urgency: smallint("urgency").notNull().default(1),
    /** Nudges: when due. Other lanes: since when something waits. Null: nothing does. */
    dueAt: instant("due_at"),
    /** Held back until then: back-off, or the messenger's limits. */
    notBefore: instant("not_before"),
    leaseUntil: instant("lease_until"),
    /** Rises with every claim: who holds an older one has lost the lease. */
    fence: messengerId("fence").notNull().default(0),
    /** Rises with every message that came in, so that going idle cannot overlook one. */
    version: messengerId("version").notNull().default(0),
  },
  (t) => [
    primaryKey({ columns: [t.householdId, t.lane, t.chatId, t.reminderId] }),
    index("work_due").on(t.lane, t.urgency, t.dueAt).where(sql`${t.dueAt} is not null`),
  ],
);

/** Roles that one process at a time fills, such as sending. */
export const duties = pgTable("duties", {
  duty: text("duty").primaryKey(),
  holder: uuid("holder").notNull(),
  leaseUntil: instant("lease_until").notNull(),
});

/** Read-only reference: the care table as last loaded from its files. */
export const careRules = pgTable(
  "care_rules",
  {
    taxon: text("taxon").notNull(),
    season: text("season").notNull(),
    columns: json("columns").notNull(),
  },
  (t) => [primaryKey({ columns: [t.taxon, t.season] })],
);

/** Facts about the database itself. */
export const meta = pgTable("meta", {
  key: text("key").primaryKey(),
  value: text("value").notNull(),
});
