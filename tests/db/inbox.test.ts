import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { SettableClock } from "../../bot/clock.js";
import type { JournalStore } from "../../bot/journal/ports.js";
import { StoreError } from "../../db/errors.js";
import { openStore, type Store } from "../../db/store.js";
import { quietLog, type TestStore } from "../support/pglite.js";
import { BOTH, openServerStore } from "../support/stores.js";
import { CLUB_CHAT, drain, NOW, textOf, update, watering } from "./examples.js";

let chats = 0;
const newChat = () => CLUB_CHAT - 100 - ++chats;

describe.each(BOTH)("the inbox on %s", (_name, open) => {
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

  test("takes an update once, however often it comes", async () => {
    const chat = newChat();
    expect(await store.inbox.receive([update(1, chat), update(2, chat), update(1, chat)])).toBe(2);
    expect(await store.inbox.receive([update(2, chat), update(3, chat)])).toBe(1);
    const seen: number[] = [];
    await drain(store, async ({ updateId }) => void seen.push(updateId));
    expect(await store.inbox.receive([update(3, chat)])).toBe(0);
    await drain(store, async ({ updateId }) => void seen.push(updateId));
    expect(seen).toEqual([1, 2, 3]);
  });

  test("keeps the order of arrival within a chat, even when the messenger's counting begins anew", async () => {
    const chat = newChat();
    await store.inbox.receive([update(900, chat), update(901, chat)]);
    await store.inbox.receive([update(5, chat)]);
    const seen: number[] = [];
    await drain(store, async ({ updateId }) => void seen.push(updateId));
    expect(seen).toEqual([900, 901, 5]);
  });

  test("hands over what came, character for character", async () => {
    const chat = newChat();
    const sent = {
      ...update(1, chat),
      body: { text: "a\u0000b \ud800 🌵 \\u0000 é" },
      chatTitle: "Glass\u0000house",
    };
    await store.inbox.receive([sent]);
    const seen: unknown[] = [];
    await drain(store, async (got) => void seen.push(got));
    expect(seen).toEqual([sent]);
  });

  test("a chat is one household, other chats are others", async () => {
    const [one, two] = [newChat(), newChat()];
    await store.inbox.receive([update(1, one), update(1, two), update(2, one)]);
    const households: Record<number, Set<string>> = { [one]: new Set(), [two]: new Set() };
    await drain(store, async ({ chatId }, { householdId }) => void households[chatId]?.add(householdId));
    expect([...(households[one] ?? [])]).toEqual([await store.inbox.householdOf(one)]);
    expect([...(households[two] ?? [])]).toEqual([await store.inbox.householdOf(two)]);
    expect(await store.inbox.householdOf(one)).not.toBe(await store.inbox.householdOf(two));
    expect(await store.inbox.householdOf(987654321)).toBeNull();
  });

  test("what a handler wrote is kept with the mark that it is done, or not at all", async () => {
    const chat = newChat();
    await store.inbox.receive([update(1, chat)]);
    let tries = 0;
    const handle: Parameters<Store["inbox"]["work"]>[0] = async ({ chatId }, journal) => {
      await journal.addEntry(watering({ chatId }));
      await journal.say({ chatId, text: "logged" });
      tries += 1;
      if (tries < 3) throw new Error("stumbled");
    };
    for (let round = 0; round < 5; round += 1) {
      await drain(store, handle);
      pass(10);
    }
    const household = (await store.inbox.householdOf(chat)) ?? "";
    expect(tries).toBe(3);
    expect(await store.households.within(household, (journal) => journal.entries({}))).toHaveLength(1);
    expect(
      (await store.outbox.claim(100, pulse.now())).filter(({ message }) => message.chatId === chat),
    ).toHaveLength(1);
  });

  test("a poison update is put aside after three tries, the next ones go on, in order", async () => {
    const chat = newChat();
    await store.inbox.receive([1, 2, 3, 4].map((id) => update(id, chat)));
    const seen: number[] = [];
    const handle = async ({ updateId }: { updateId: number }) => {
      seen.push(updateId);
      if (updateId === 2) throw new Error("poison");
    };
    await drain(store, handle);
    expect(seen).toEqual([1, 2]);
    await drain(store, handle);
    expect(seen, "held back for a while").toEqual([1, 2]);
    for (let round = 0; round < 3; round += 1) {
      pass(10);
      await drain(store, handle);
    }
    expect(seen).toEqual([1, 2, 2, 2, 3, 4]);
    expect(await store.inbox.backlog()).toBe(0);
  });

  test("an update whose handling is cut short again and again is put aside in the end", async () => {
    const chat = newChat();
    await store.inbox.receive([update(1, chat), update(2, chat)]);
    const seen: number[] = [];
    for (let round = 0; round < 12; round += 1) {
      // To the inbox it looks as if the process had ended: the chat stays claimed until its lease runs out.
      await store.inbox
        .work(async ({ updateId }) => {
          seen.push(updateId);
          if (updateId === 1) throw new StoreError("terminating connection", "57P01");
        })
        .catch(() => {});
      pass(31);
    }
    expect(seen).toEqual([...Array.from({ length: 10 }, () => 1), 2]);
    expect(await store.inbox.backlog()).toBe(0);
  });

  test("a chat that is held back does not hold up another", async () => {
    const [bad, good] = [newChat(), newChat()];
    await store.inbox.receive([update(1, bad), update(1, good)]);
    const seen: number[] = [];
    await store.inbox.work(async ({ chatId }) => {
      if (chatId === bad) throw new Error("not now");
      seen.push(chatId);
    });
    expect(seen).toEqual([good]);
    pass(10);
    await drain(store, async () => {});
  });

  test("the backlog counts updates not finished yet", async () => {
    const chat = newChat();
    await store.inbox.receive([1, 2, 3].map((id) => update(id, chat)));
    expect(await store.inbox.backlog()).toBe(3);
    await drain(store, async () => {});
    expect(await store.inbox.backlog()).toBe(0);
  });

  test("a transaction inside a transaction is refused rather than waited for", async () => {
    const chat = newChat();
    await store.inbox.receive([update(1, chat)]);
    let message = "";
    await drain(store, async () => {
      await store.outbox.backlog().catch((error: Error) => {
        message = error.message;
      });
    });
    expect(message).toMatch(/transaction is open already/);
  });

  test("a group that became a supergroup keeps its household and what still waits to be sent", async () => {
    const [from, to] = [newChat(), newChat()];
    await store.inbox.receive([update(1, from)]);
    await drain(store, async ({ chatId }, journal) => {
      await journal.addEntry(watering({ chatId }));
      await journal.say({ chatId, text: "logged", replyTo: 5 });
    });
    const household = await store.inbox.householdOf(from);
    await store.inbox.migrateChat(from, to);
    expect(await store.inbox.householdOf(to)).toBe(household);
    await store.inbox.receive([update(2, to)]);
    await drain(store, async (_update, journal) => {
      expect(await journal.entries({})).toHaveLength(1);
      expect(await journal.chat(to)).toMatchObject({ kind: "supergroup", active: true });
    });
    const waiting = (await store.outbox.claim(100, pulse.now())).map(({ message }) => message);
    expect(waiting).toContainEqual({ chatId: to, text: "logged" });
  });

  test("when the supergroup spoke first, its unhandled messages come to the old household", async () => {
    const [from, to] = [newChat(), newChat()];
    await store.inbox.receive([update(1, from)]);
    await drain(store, async () => {});
    const household = await store.inbox.householdOf(from);
    await store.inbox.receive([update(2, to), update(3, to), update(4, to)]);
    const seen: [number, string][] = [];
    await drain(store, async ({ updateId }, { householdId }) => {
      seen.push([updateId, householdId]);
      if (updateId === 2) await store.inbox.migrateChat(from, to);
    });
    expect(seen.slice(1)).toEqual([
      [3, household],
      [4, household],
    ]);
  });
});

describe("several processes on one PostgreSQL", () => {
  test("meet a new chat at the same moment and make one household of it", async () => {
    const first = await openServerStore();
    const second = await openStore({
      databaseUrl: first.url,
      dataDir: "",
      clock: new SettableClock(NOW),
      log: quietLog,
    });
    try {
      for (let round = 0; round < 20; round += 1) {
        const chat = newChat();
        await Promise.all([
          first.store.inbox.receive([update(1, chat)]),
          second.inbox.receive([update(2, chat)]),
        ]);
        expect(await first.store.inbox.householdOf(chat)).toBe(await second.inbox.householdOf(chat));
      }
      const seen: number[] = [];
      await drain(first.store, async ({ updateId }) => void seen.push(updateId));
      expect(seen).toHaveLength(40);
    } finally {
      await second.close();
      await first.end();
    }
  });

  test("work the same chats side by side, each update once and in order", async () => {
    const first = await openServerStore();
    const second = await openStore({
      databaseUrl: first.url,
      dataDir: "",
      clock: new SettableClock(NOW),
      log: quietLog,
    });
    try {
      const all = Array.from({ length: 240 }, (_, index) => update(index, CLUB_CHAT - (index % 7)));
      for (let from = 0; from < all.length; from += 40)
        await first.store.inbox.receive(all.slice(from, from + 40));
      const seen = new Map<number, number[]>();
      const worker = async (store: Store) => {
        await drain(store, async (got, journal) => {
          await journal.addEntry(
            watering({ chatId: got.chatId, messageId: got.updateId, rawText: textOf(got) }),
          );
          seen.set(got.chatId, [...(seen.get(got.chatId) ?? []), got.updateId]);
        });
      };
      await Promise.all([first.store, second, first.store, second].map(worker));
      expect([...seen.values()].flat()).toHaveLength(240);
      for (const order of seen.values()) expect(order).toEqual([...order].sort((a, b) => a - b));
      let entries = 0;
      for (const chat of seen.keys()) {
        const household = (await first.store.inbox.householdOf(chat)) ?? "";
        entries += (await first.store.households.within(household, (journal) => journal.entries({}))).length;
      }
      expect(entries).toBe(240);
    } finally {
      await second.close();
      await first.end();
    }
  });

  test("a worker that lost its lease keeps nothing, whoever took over keeps all", async () => {
    const pulse = new SettableClock(NOW);
    const slow = await openServerStore(undefined, { pulse, leaseSeconds: 5 });
    const quick = await openStore({ databaseUrl: slow.url, dataDir: "", clock: pulse, pulse, log: quietLog });
    try {
      await slow.store.inbox.receive([update(1), update(2)]);
      let goOn = () => {};
      const held = new Promise<void>((resolve) => {
        goOn = resolve;
      });
      let started = () => {};
      const begun = new Promise<void>((resolve) => {
        started = resolve;
      });
      const slowWork = slow.store.inbox.work(async ({ updateId }, journal) => {
        await journal.addEntry(watering({ messageId: updateId, person: "slow" }));
        started();
        await held;
      });
      await begun;
      pulse.set(NOW.add({ seconds: 6 }));
      const quickWork = drain(quick, async ({ updateId }, journal) => {
        await journal.addEntry(watering({ messageId: updateId, person: "quick" }));
      });
      // The second waits for the row the first has locked; the first then finds that it has lost the chat.
      setTimeout(goOn, 100);
      await Promise.all([slowWork, quickWork]);
      await drain(quick, async ({ updateId }, journal) => {
        await journal.addEntry(watering({ messageId: updateId, person: "quick" }));
      });
      const household = (await quick.inbox.householdOf(CLUB_CHAT)) ?? "";
      const entries = await quick.households.within(household, (journal) => journal.entries({}));
      expect(entries.map(({ messageId }) => messageId).sort()).toEqual([1, 2]);
    } finally {
      await quick.close();
      await slow.end();
    }
  });

  test("two transactions that lock each other out are run again, none counts against an update", async () => {
    const ground = await openServerStore();
    const { store } = ground;
    try {
      await store.inbox.receive([update(1)]);
      await drain(store, async () => {});
      const household = (await store.inbox.householdOf(CLUB_CHAT)) ?? "";
      const [long, warm] = await store.households.within(household, async (journal) => [
        (await journal.addPlace(place("Long House"))).id,
        (await journal.addPlace(place("Warm Bench"))).id,
      ]);
      let runs = 0;
      let waiting = 0;
      let open = () => {};
      const bothHaveOne = new Promise<void>((resolve) => {
        open = resolve;
      });
      const touch = async (journal: JournalStore, first: string, second: string) => {
        runs += 1;
        await journal.updatePlace(first, { floorC: runs });
        waiting += 1;
        if (waiting === 2) open();
        await bothHaveOne;
        await journal.updatePlace(second, { floorC: runs });
      };
      await store.inbox.receive([update(2)]);
      await Promise.all([
        store.inbox.work((_update, journal) => touch(journal, long ?? "", warm ?? "")),
        store.households.within(household, (journal) => touch(journal, warm ?? "", long ?? "")),
      ]);
      expect(runs).toBeGreaterThanOrEqual(3);
      expect(await store.inbox.backlog()).toBe(0);
    } finally {
      await ground.end();
    }
  });
});

const place = (name: string) => ({
  collectionId: null,
  name,
  aliases: [],
  floor: null,
  floorC: null,
  kind: null,
  isDefault: false,
});
