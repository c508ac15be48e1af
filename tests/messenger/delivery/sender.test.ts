import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { systemClock } from "../../../bot/clock.js";
import type { Outgoing } from "../../../bot/journal/ports.js";
import { runInbox } from "../../../bot/messenger/delivery/inbox-worker.js";
import { runSender } from "../../../bot/messenger/delivery/sender.js";
import type { Delivery, Outbox } from "../../../bot/messenger/ports.js";
import { openStore, type Store } from "../../../db/store.js";
import { settle, update } from "../../db/examples.js";
import { openEmbeddedStore, quietLog, type TestStore } from "../../support/pglite.js";
import { openServerStore } from "../../support/stores.js";

const FAST = { perSecond: 1000, chatBurst: 1000, groupPerMinute: 100_000 };
const log = { info: () => {}, warn: () => {}, error: () => {} };

/** Runs the sender until nothing waits any more. */
async function sendAll(
  outbox: Outbox,
  send: (message: Outgoing) => Promise<Delivery>,
  options: { timeoutMs?: number } = {},
): Promise<void> {
  const stop = new AbortController();
  const sending = runSender({ outbox, send, signal: stop.signal, log, limits: FAST, ...options });
  while ((await outbox.backlog()) > 0) await new Promise((resolve) => setTimeout(resolve, 20));
  stop.abort();
  await sending;
}
const delivered: Delivery = { kind: "sent", messageId: null };

describe("the sender", () => {
  let ground: TestStore;
  let store: Store;
  beforeAll(async () => {
    ground = await openEmbeddedStore();
    store = ground.store;
  });
  afterAll(() => ground.end());
  const say = async (chatId: number, ...texts: string[]) => {
    const household = (await store.inbox.householdOf(chatId)) ?? (await settle(store, chatId));
    await store.households.within(household, async (journal) => {
      for (const text of texts) await journal.say({ chatId, text });
    });
  };

  test("sends all that waits, in order within each chat", async () => {
    for (let chat = 1; chat <= 8; chat += 1) await say(-chat, "one", "two", "three");
    const sent: [number, string][] = [];
    await sendAll(store.outbox, async ({ chatId, text }) => {
      sent.push([chatId, text]);
      return delivered;
    });
    expect(sent).toHaveLength(24);
    for (let chat = 1; chat <= 8; chat += 1) {
      expect(sent.filter(([id]) => id === -chat).map(([, text]) => text)).toEqual(["one", "two", "three"]);
    }
  });

  test("tries again after an error, an exception and an answer that never came, and keeps the order", async () => {
    await say(-20, "first", "second");
    const tries: string[] = [];
    await sendAll(
      store.outbox,
      ({ text }) => {
        tries.push(text);
        if (tries.length === 1) return Promise.resolve({ kind: "later", afterSeconds: 0, reason: "500" });
        if (tries.length === 2) return Promise.reject(new TypeError("fetch failed"));
        if (tries.length === 3) return new Promise<Delivery>(() => {});
        return Promise.resolve(delivered);
      },
      { timeoutMs: 50 },
    );
    expect(tries).toEqual(["first", "first", "first", "first", "second"]);
  });

  test("lets one chat wait as long as it is told to while others go on", async () => {
    await say(-30, "slow");
    await say(-31, "a", "b", "c");
    const order: string[] = [];
    await sendAll(store.outbox, async ({ text }) => {
      if (text === "slow" && !order.includes("told to wait")) {
        order.push("told to wait");
        return { kind: "later", afterSeconds: 2, reason: "429" };
      }
      order.push(text);
      return delivered;
    });
    expect(order.at(-1)).toBe("slow");
    expect(order).toHaveLength(5);
  });

  test("goes on after the store failed", async () => {
    await say(-40, "after all");
    let failures = 1;
    const shaky: Outbox = {
      claim: (limit, now) => {
        failures -= 1;
        if (failures >= 0) return Promise.reject(new Error("connection lost"));
        return store.outbox.claim(limit, now);
      },
      settle: (item, delivery, notBefore) => store.outbox.settle(item, delivery, notBefore),
      mayLead: () => store.outbox.mayLead(),
      waiting: (signal) => store.outbox.waiting(signal),
      backlog: () => store.outbox.backlog(),
    };
    const sent: string[] = [];
    await sendAll(shaky, async ({ text }) => {
      sent.push(text);
      return delivered;
    });
    expect(sent).toEqual(["after all"]);
  });
});

describe("two processes on one PostgreSQL", () => {
  test("one sends at a time; when it ends the other takes over, and no message is sent twice", async () => {
    const first = await openServerStore(systemClock, { leaseSeconds: 2 });
    const second = await openStore({
      databaseUrl: first.url,
      dataDir: "",
      clock: systemClock,
      log: quietLog,
      leaseSeconds: 2,
    });
    try {
      for (let chat = 1; chat <= 60; chat += 1) {
        const household = await settle(first.store, -chat);
        await first.store.households.within(household, (journal) =>
          journal.say({ chatId: -chat, text: "morning" }),
        );
      }
      const sent: { by: string; chatId: number }[] = [];
      const stops = { first: new AbortController(), second: new AbortController() };
      const slow = { ...FAST, perSecond: 40 };
      const run = (by: "first" | "second", { outbox }: Store) =>
        runSender({
          outbox,
          signal: stops[by].signal,
          log,
          limits: slow,
          send: async ({ chatId }) => {
            sent.push({ by, chatId });
            if (sent.length === 20) stops.first.abort();
            return delivered;
          },
        });
      const firstEnded = run("first", first.store);
      await new Promise((resolve) => setTimeout(resolve, 100));
      const secondEnds = run("second", second);
      await firstEnded;
      await first.store.close();
      while ((await second.outbox.backlog()) > 0) await new Promise((resolve) => setTimeout(resolve, 50));
      stops.second.abort();
      await secondEnds;
      expect(new Set(sent.map(({ chatId }) => chatId)).size).toBe(60);
      expect(sent).toHaveLength(60);
      const turns = sent.filter(({ by }, index) => by !== sent[index - 1]?.by);
      expect(turns.map(({ by }) => by)).toEqual(["first", "second"]);
    } finally {
      await second.close();
      await first.end();
    }
  });
});

describe("the inbox's workers", () => {
  test("go on after the store failed, and end when told to", async () => {
    const ground = await openEmbeddedStore();
    const { store } = ground;
    const stop = new AbortController();
    let failures = 1;
    const seen: number[] = [];
    const working = runInbox({
      inbox: {
        ...pick(store),
        work: (handle) => {
          failures -= 1;
          return failures >= 0 ? Promise.reject(new Error("connection lost")) : store.inbox.work(handle);
        },
      },
      workers: 1,
      signal: stop.signal,
      log,
      handle: async ({ updateId }) => {
        seen.push(updateId);
        if (seen.length === 3) stop.abort();
      },
    });
    await store.inbox.receive([update(1), update(2), update(3)]);
    await working;
    expect(seen).toEqual([1, 2, 3]);
    await ground.end();
  });
});

function pick({ inbox }: Store) {
  return {
    receive: (updates: Parameters<typeof inbox.receive>[0]) => inbox.receive(updates),
    migrateChat: (from: number, to: number) => inbox.migrateChat(from, to),
    householdOf: (chatId: number) => inbox.householdOf(chatId),
    waiting: (signal: AbortSignal) => inbox.waiting(signal),
    backlog: () => inbox.backlog(),
  };
}
