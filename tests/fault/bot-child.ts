import { setTimeout as sleep } from "node:timers/promises";
import { systemClock } from "../../bot/clock.js";
import { runInbox } from "../../bot/messenger/delivery/inbox-worker.js";
import { runSender } from "../../bot/messenger/delivery/sender.js";
import type { IncomingUpdate } from "../../bot/messenger/ports.js";
import { openStore } from "../../db/store.js";
import { textOf, watering } from "../db/examples.js";

/**
 * `bot-child.ts MESSENGER COUNT (dir DIR | url URL)`: fetches updates, logs one entry and says one reply for each, and
 * ends once COUNT updates are finished and nothing waits. It is killed at any point and started again.
 */
const [messenger = "", count = "0", kind = "", where = ""] = process.argv.slice(2);
const log = { info: () => {}, warn: () => {}, error: () => {} };
const store = await openStore({
  ...(kind === "url" ? { databaseUrl: where, dataDir: "" } : { dataDir: where }),
  clock: systemClock,
  log,
  leaseSeconds: 1,
  connections: 4,
});
const stop = new AbortController();
const fast = { perSecond: 2000, chatBurst: 2000, groupPerMinute: 100_000 };

const working = runInbox({
  inbox: store.inbox,
  workers: store.kind === "embedded" ? 1 : 3,
  signal: stop.signal,
  log,
  handle: async (update, journal) => {
    const text = textOf(update);
    await journal.addEntry(watering({ chatId: update.chatId, messageId: update.updateId, rawText: text }));
    await journal.say({ chatId: update.chatId, text });
  },
});
const sending = runSender({
  outbox: store.outbox,
  limits: fast,
  atOnce: 4,
  signal: stop.signal,
  log,
  send: async ({ text }) => {
    const response = await fetch(`${messenger}/send`, { method: "POST", body: JSON.stringify({ text }) });
    await response.text();
    return { kind: "sent", messageId: null };
  },
});

let offset = 0;
while (offset <= Number(count) || (await store.inbox.backlog()) > 0 || (await store.outbox.backlog()) > 0) {
  const response = await fetch(`${messenger}/updates?offset=${offset}`);
  const updates = (await response.json()) as IncomingUpdate[];
  if (updates.length > 0) await store.inbox.receive(updates);
  else if (offset === 0) offset = Number(count) + 1;
  // The rest is being worked; looking too often would only hold it up.
  else await sleep(100);
  // Only now: asking with a higher offset makes the messenger forget them.
  for (const { updateId } of updates) offset = Math.max(offset, updateId + 1);
}
stop.abort();
await Promise.all([working, sending]);
await store.close();
process.exit(0);
