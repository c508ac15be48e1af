import type { Id } from "../../bot/journal/ports.js";
import type { IncomingUpdate } from "../../bot/messenger/ports.js";
import type { Link } from "../engine.js";
import { actFor, type Tenants } from "../tenancy.js";
import { putUpdates } from "./incoming.js";
import { markChats } from "./outgoing.js";
import { routesOf, setRoute } from "./routes.js";

/**
 * A group became a supergroup: the new id leads to the same household, with what still waits to be sent there.
 * Inside a transaction it is part of that one. A household made for the new id, because a message from there came
 * first, hands over the messages it has not handled yet.
 */
export async function migrateChat(tenants: Tenants, from: number, to: number): Promise<void> {
  const open = tenants.engine.current();
  if (open === null) return tenants.engine.transaction((link) => move(tenants, link, from, to, null));
  const [row] = await open.rows<{ household: string | null }>(
    `select nullif(current_setting('app.household', true), '') as household`,
  );
  const here = row?.household ?? null;
  await move(tenants, open, from, to, here);
  if (here !== null) await actFor(open, here);
}

async function move(tenants: Tenants, link: Link, from: number, to: number, here: Id | null): Promise<void> {
  const routes = await routesOf(link.rows, [from, to]);
  const household = routes.get(from);
  const stray = routes.get(to);
  if (household === undefined) return;
  const now = tenants.time.pulse.now().toString();
  const known = stray === household;
  const unhandled =
    stray === undefined || known ? [] : await takeUnhandled(link, stray, to, now, stray === here);
  await actFor(link, household);
  if (!known) {
    await setRoute(link, to, household);
    await link.rows(
      `update chats set chat_id = $3::bigint, kind = 'supergroup', active = true
       where household_id = $1::uuid and chat_id = $2::bigint`,
      [household, from, to],
    );
  }
  // Even when the move was known: something may have been written for the old id since.
  // Ids of messages begin anew in the supergroup: an answer goes out without pointing at what it answers.
  const moved = await link.rows<{ urgency: number }>(
    `update outbox set chat_id = $3::bigint,
       message = jsonb_set(message, '{chatId}', to_jsonb($3::bigint)) - 'replyTo' - 'edit'
     where household_id = $1::uuid and chat_id = $2::bigint and state = 'waiting' returning urgency`,
    [household, from, to],
  );
  await link.rows(
    `update reminders set chat_id = $3::bigint where household_id = $1::uuid and chat_id = $2::bigint`,
    [household, from, to],
  );
  if (moved.length > 0) {
    const urgency = Math.min(...moved.map((row) => row.urgency));
    await markChats(link, household, new Map([[to, urgency]]), tenants.time.pulse.now());
  }
  if (unhandled.length > 0) await putUpdates(link, household, unhandled, now);
}

/** Takes the waiting updates out of the stray household, except the one that is being handled there right now. */
async function takeUnhandled(
  link: Link,
  stray: Id,
  chat: number,
  now: string,
  exceptFirst: boolean,
): Promise<IncomingUpdate[]> {
  await actFor(link, stray);
  const rows = await link.rows<{ update_id: string | number; body: string }>(
    `update inbox set state = 'done', error = 'handed over', finished_at = $3::timestamptz
     where household_id = $1::uuid and chat_id = $2::bigint and update_id in (
       select update_id from inbox where household_id = $1::uuid and chat_id = $2::bigint and state = 'waiting'
       order by seq offset $4::int)
     returning update_id, body, seq`,
    [stray, chat, now, exceptFirst ? 1 : 0],
  );
  return rows
    .map((row) => ({
      ...(JSON.parse(row.body) as Pick<IncomingUpdate, "chatKind" | "chatTitle" | "body">),
      updateId: Number(row.update_id),
      chatId: chat,
    }))
    .sort((a, b) => a.updateId - b.updateId);
}
