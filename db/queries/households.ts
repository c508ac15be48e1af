import { and, eq, sql } from "drizzle-orm";
import type { Chat, ChatState, Collection, Household, Id, Member } from "../../bot/journal/ports.js";
import type { Link } from "../engine.js";
import { StoreError } from "../errors.js";
import { statement } from "../prepared.js";
import { chats, collections, households, members, topics } from "../schema/index.js";

const household$ = sql.placeholder("household");

const selectHousehold = statement("household", (db) =>
  db.select().from(households).where(eq(households.householdId, household$)),
);

export async function theHousehold(link: Link, household: Id): Promise<Household> {
  const [row] = await selectHousehold(link, { household });
  if (row === undefined) throw new StoreError(`There is no household ${household}.`);
  const { householdId, reminderDays, quietHours, tasks, ...rest } = row;
  return {
    ...rest,
    id: householdId,
    reminderDays: reminderDays as number[],
    quietHours: quietHours as Household["quietHours"],
    tasks: tasks as Household["tasks"],
  };
}

export async function changeHousehold(
  link: Link,
  household: Id,
  patch: Partial<Omit<Household, "id" | "createdAt">>,
): Promise<void> {
  if (Object.keys(patch).length === 0) return;
  await link.db.update(households).set(patch).where(eq(households.householdId, household));
}

type ChatRow = typeof chats.$inferSelect;
function asChat({ householdId: _, createdAt: __, state, ...rest }: ChatRow): Chat {
  return { ...rest, state: state as ChatState };
}

const selectChats = statement("chats", (db) =>
  db.select().from(chats).where(eq(chats.householdId, household$)).orderBy(chats.createdAt, chats.chatId),
);
const selectChat = statement("chat", (db) =>
  db
    .select()
    .from(chats)
    .where(and(eq(chats.householdId, household$), eq(chats.chatId, sql.placeholder("chat")))),
);

export async function allChats(link: Link, household: Id): Promise<Chat[]> {
  return (await selectChats(link, { household })).map(asChat);
}

export async function oneChat(link: Link, household: Id, chat: number): Promise<Chat | null> {
  const [row] = await selectChat(link, { household, chat });
  return row === undefined ? null : asChat(row);
}

export async function changeChat(
  link: Link,
  household: Id,
  chatId: number,
  patch: Partial<Omit<Chat, "chatId">>,
): Promise<void> {
  if (Object.keys(patch).length === 0) return;
  await link.db
    .update(chats)
    .set(patch)
    .where(and(eq(chats.householdId, household), eq(chats.chatId, chatId)))
    .prepare("change_chat")
    .execute();
}

const selectTopic = statement("topic", (db) =>
  db
    .select({ id: collections.id, name: collections.name })
    .from(topics)
    .innerJoin(
      collections,
      and(eq(collections.householdId, topics.householdId), eq(collections.id, topics.collectionId)),
    )
    .where(
      and(
        eq(topics.householdId, household$),
        eq(topics.chatId, sql.placeholder("chat")),
        eq(topics.threadId, sql.placeholder("thread")),
      ),
    ),
);

export async function collectionOfTopic(
  link: Link,
  household: Id,
  chat: number,
  thread: number,
): Promise<Collection | null> {
  const [row] = await selectTopic(link, { household, chat, thread });
  return row ?? null;
}

export async function bindTopic(
  link: Link,
  householdId: Id,
  chatId: number,
  threadId: number,
  collectionId: Id,
): Promise<void> {
  await link.db
    .insert(topics)
    .values({ householdId, chatId, threadId, collectionId })
    .onConflictDoUpdate({
      target: [topics.householdId, topics.chatId, topics.threadId],
      set: { collectionId },
    });
}

const selectCollections = statement("collections", (db) =>
  db
    .select({ id: collections.id, name: collections.name })
    .from(collections)
    .where(eq(collections.householdId, household$))
    .orderBy(collections.id),
);

export function allCollections(link: Link, household: Id): Promise<Collection[]> {
  return selectCollections(link, { household });
}

/** The collection of that name, added if there was none. */
export async function collectionNamed(
  link: Link,
  householdId: Id,
  id: Id,
  name: string,
): Promise<Collection> {
  await link.db.insert(collections).values({ householdId, id, name }).onConflictDoNothing();
  const [row] = await link.db
    .select({ id: collections.id, name: collections.name })
    .from(collections)
    .where(
      and(eq(collections.householdId, householdId), eq(sql`lower(${collections.name})`, sql`lower(${name})`)),
    );
  if (row === undefined) throw new StoreError("A collection that was just added is not there.");
  return row;
}

const asMember = { id: members.id, userId: members.userId, name: members.name };
const selectMembers = statement("members", (db) =>
  db
    .select({ ...asMember, metAt: members.metAt })
    .from(members)
    .where(eq(members.householdId, household$))
    .orderBy(members.metAt, members.id),
);

export async function allMembers(link: Link, household: Id): Promise<Member[]> {
  return (await selectMembers(link, { household })).map(({ metAt: _, ...member }) => member);
}

/**
 * By user id, else by name among those without one, else added. Asked for a mere name, it finds anyone of that name:
 * "Priya covers" means the Priya who already writes here.
 */
export async function meetMember(
  link: Link,
  householdId: Id,
  fresh: typeof members.$inferInsert,
): Promise<Member> {
  const known = await allMembers(link, householdId);
  const { userId = null, name } = fresh;
  const folded = name.toLocaleLowerCase();
  const named = (m: Member) => m.name.toLocaleLowerCase() === folded;
  const found =
    userId === null
      ? known.find(named)
      : (known.find((m) => m.userId === userId) ?? known.find((m) => m.userId === null && named(m)));
  if (found === undefined) {
    const [added] = await link.db.insert(members).values(fresh).onConflictDoNothing().returning(asMember);
    // Another chat of the household met the same person in this very moment: now they are known.
    return added ?? meetMember(link, householdId, fresh);
  }
  if (userId === null || (found.userId === userId && found.name === name)) return found;
  await link.db
    .update(members)
    .set({ userId, name })
    .where(and(eq(members.householdId, householdId), eq(members.id, found.id)));
  return { ...found, userId, name };
}
