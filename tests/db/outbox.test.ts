import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { SettableClock } from "../../bot/clock.js";
import type { Outgoing } from "../../bot/journal/ports.js";
import type { OutboxItem } from "../../bot/messenger/ports.js";
import { openStore, type Store } from "../../db/store.js";
import { quietLog, type TestStore } from "../support/pglite.js";
import { BOTH, openServerStore } from "../support/stores.js";
import { CLUB_CHAT, NOW, settle } from "./examples.js";

let chats = 0;

describe.each(BOTH)("the outbox on %s", (_name, open) => {
  let ground: TestStore;
  let store: Store;
  let pulse: SettableClock;
  const pass = (seconds: number) => pulse.set(pulse.now().add({ seconds }));
  beforeAll(async () => {
    pulse = new SettableClock(NOW);
    ground = await open(new SettableClock(NOW), { pulse });
    store = ground.store;
  });
  afterAll(() => ground.end());

  async function chat(): Promise<{
    id: number;
    say: (...texts: (string | Partial<Outgoing>)[]) => Promise<void>;
  }> {
    chats += 1;
    const id = CLUB_CHAT - 500 - chats;
    const household = await settle(store, id);
    const say = (...texts: (string | Partial<Outgoing>)[]) =>
      store.households.within(household, async (journal) => {
        for (const text of texts) {
          await journal.say({ chatId: id, text: "", ...(typeof text === "string" ? { text } : text) });
        }
      });
    return { id, say };
  }
  const claim = (limit = 100) => store.outbox.claim(limit, pulse.now());
  const texts = (items: OutboxItem[]) => items.map(({ message }) => message.text);
  const sent = (item: OutboxItem | undefined, messageId: number | null = null) =>
    item === undefined ? undefined : store.outbox.settle(item, { kind: "sent", messageId });

  test("hands out one message of a chat at a time, in the order they were written", async () => {
    const { say } = await chat();
    await say("one", "two");
    await say("three");
    const order: string[] = [];
    for (let turn = 0; turn < 3; turn += 1) {
      const items = await claim();
      expect(items).toHaveLength(1);
      expect(await claim()).toEqual([]);
      order.push(...texts(items));
      await sent(items[0]);
    }
    expect(order).toEqual(["one", "two", "three"]);
    expect(await claim()).toEqual([]);
    expect(await store.outbox.backlog()).toBe(0);
  });

  test("danger leaves first, across chats and within one", async () => {
    const [quiet, busy, cold] = [await chat(), await chat(), await chat()];
    await quiet.say({ text: "morning", urgency: 2 });
    await busy.say("reply", "reply two", { text: "frost", urgency: 0 });
    await cold.say("answer");
    const items = await claim(3);
    expect(texts(items)).toEqual(["frost", "answer", "morning"]);
    for (const item of items) await sent(item);
    await cold.say({ text: "thaw", urgency: 0 });
    const rest = await claim();
    expect(texts(rest), "a chat is as urgent as what is left in it").toEqual(["thaw", "reply"]);
    for (const item of rest) await sent(item);
    await sent((await claim())[0]);
  });

  test("waits as long as the messenger asks, and only that chat", async () => {
    const [slow, free] = [await chat(), await chat()];
    await slow.say("first", "second");
    const [first] = await claim();
    if (first) await store.outbox.settle(first, { kind: "later", afterSeconds: 7, reason: "429" });
    await free.say("meanwhile");
    const meanwhile = await claim();
    expect(texts(meanwhile)).toEqual(["meanwhile"]);
    await sent(meanwhile[0]);
    pass(6);
    expect(await claim()).toEqual([]);
    pass(2);
    const again = await claim();
    expect(texts(again)).toEqual(["first"]);
    expect(again[0]?.attempts).toBe(1);
    await sent(again[0]);
    await sent((await claim())[0]);
  });

  test("holds a chat back after a message where the limits ask for it", async () => {
    const { say } = await chat();
    await say("first", "second");
    const [first] = await claim();
    if (first) {
      await store.outbox.settle(first, { kind: "sent", messageId: null }, pulse.now().add({ seconds: 3 }));
    }
    expect(await claim()).toEqual([]);
    pass(4);
    const [second] = await claim();
    expect(second?.message.text).toBe("second");
    await sent(second);
  });

  test("gives up after a dozen tries and goes on to the next", async () => {
    const { say } = await chat();
    await say("lost", "next");
    for (let turn = 0; turn < 12; turn += 1) {
      const [item] = await claim();
      expect(item?.message.text).toBe("lost");
      if (item) await store.outbox.settle(item, { kind: "later", afterSeconds: 1, reason: "500" });
      pass(2);
    }
    const [item] = await claim();
    expect(item?.message.text).toBe("next");
    await sent(item);
  });

  test("gives up what is a day old", async () => {
    const { say } = await chat();
    await say("yesterday's", "today's");
    pass(24 * 3600);
    const [item] = await claim();
    if (item) await store.outbox.settle(item, { kind: "later", afterSeconds: 1, reason: "500" });
    const [next] = await claim();
    expect(next?.message.text).toBe("today's");
    await sent(next);
  });

  test("a refused message is put aside, the next one leaves", async () => {
    const { say } = await chat();
    await say("too long", "short");
    const [item] = await claim();
    if (item) await store.outbox.settle(item, { kind: "refused", reason: "message is too long" });
    const [next] = await claim();
    expect(next?.message.text).toBe("short");
    await sent(next);
  });

  test("a chat that removed the bot is switched off, with all that waits, until a message gets through", async () => {
    const { id, say } = await chat();
    await say("one", "two");
    const [item] = await claim();
    if (item) await store.outbox.settle(item, { kind: "gone", reason: "bot was kicked" });
    expect(await claim()).toEqual([]);
    const household = (await store.inbox.householdOf(id)) ?? "";
    const active = () =>
      store.households.within(household, async (journal) => (await journal.chat(id))?.active);
    expect(await active()).toBe(false);
    await say("welcome back");
    const [back] = await claim();
    expect(back?.message.text).toBe("welcome back");
    await sent(back);
    expect(await active()).toBe(true);
  });

  test("a group that moved gets the message under its new id", async () => {
    const { id, say } = await chat();
    await say("one", "two");
    const [item] = await claim();
    if (item) await store.outbox.settle(item, { kind: "moved", chatId: id - 1_000_000 });
    for (const text of ["one", "two"]) {
      const [next] = await claim();
      expect(next?.message).toEqual({ chatId: id - 1_000_000, text });
      await sent(next);
    }
    expect(await claim()).toEqual([]);
  });

  test("what is written for a group's old id after it moved still finds the new one", async () => {
    const { id, say } = await chat();
    await store.inbox.migrateChat(id, id - 1_000_000);
    await say("late");
    const [item] = await claim();
    expect(item?.message.chatId).toBe(id);
    if (item) await store.outbox.settle(item, { kind: "moved", chatId: id - 1_000_000 });
    const [again] = await claim();
    expect(again?.message).toEqual({ chatId: id - 1_000_000, text: "late" });
    await sent(again);
    expect(await claim()).toEqual([]);
  });

  test("remembers what a sent message was about", async () => {
    const { id, say } = await chat();
    await say({ text: "logged", about: { kind: "log", entryIds: ["01a211dd-882e-7000-a4e1-2593d60a2143"] } });
    await sent((await claim())[0], 77);
    await say({ text: "plain" });
    await sent((await claim())[0], 78);
    const household = (await store.inbox.householdOf(id)) ?? "";
    await store.households.within(household, async (journal) => {
      expect(await journal.saidIn(id, 77)).toEqual({
        kind: "log",
        entryIds: ["01a211dd-882e-7000-a4e1-2593d60a2143"],
      });
      expect(await journal.saidIn(id, 78)).toBeNull();
      expect(await journal.saidIn(id, 79)).toBeNull();
    });
  });

  test("a claim that is never settled comes back after a minute", async () => {
    const { say } = await chat();
    await say("lost on the way");
    expect(texts(await claim())).toEqual(["lost on the way"]);
    pass(59);
    expect(await claim()).toEqual([]);
    pass(2);
    const again = await claim();
    expect(texts(again)).toEqual(["lost on the way"]);
    await sent(again[0]);
  });

  test("a message written while another is on its way is not overlooked", async () => {
    const { say } = await chat();
    await say("one");
    const [one] = await claim();
    await say("two");
    await sent(one);
    const [two] = await claim();
    expect(two?.message.text).toBe("two");
    await sent(two);
    expect(await claim()).toEqual([]);
  });
});

describe("several processes on one PostgreSQL", () => {
  test("share the outbox without a message twice, and one of them leads", async () => {
    const pulse = new SettableClock(NOW);
    const first = await openServerStore(pulse, { pulse });
    const second = await openStore({
      databaseUrl: first.url,
      dataDir: "",
      clock: pulse,
      pulse,
      log: quietLog,
    });
    try {
      for (let chat = 1; chat <= 30; chat += 1) {
        const household = await settle(first.store, -chat);
        await first.store.households.within(household, async (journal) => {
          await journal.say({ chatId: -chat, text: `a${chat}` });
          await journal.say({ chatId: -chat, text: `b${chat}` });
        });
      }
      const seen: string[] = [];
      const sender = async ({ outbox }: Store) => {
        for (;;) {
          const items = await outbox.claim(5, pulse.now());
          if (items.length === 0) return;
          for (const item of items) {
            seen.push(item.message.text);
            await outbox.settle(item, { kind: "sent", messageId: null });
          }
        }
      };
      await Promise.all([sender(first.store), sender(second)]);
      await sender(first.store);
      expect(seen).toHaveLength(60);
      expect(new Set(seen).size).toBe(60);
      expect(await first.store.outbox.mayLead()).toBe(true);
      expect(await second.outbox.mayLead()).toBe(false);
      pulse.set(NOW.add({ seconds: 16 }));
      expect(await second.outbox.mayLead()).toBe(true);
      expect(await first.store.outbox.mayLead()).toBe(false);
      await second.close();
      expect(await first.store.outbox.mayLead()).toBe(true);
    } finally {
      await second.close();
      await first.end();
    }
  });
});
