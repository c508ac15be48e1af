import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { SettableClock } from "../../bot/clock.js";
import type { NewReminder } from "../../bot/journal/ports.js";
import { openStore, type Store } from "../../db/store.js";
import { quietLog, type TestStore } from "../support/pglite.js";
import { BOTH, openServerStore } from "../support/stores.js";
import { at, CLUB_CHAT, NOW, settle } from "./examples.js";

let chats = 0;
const morning = (change: Partial<NewReminder> = {}): NewReminder => ({
  kind: "morning",
  subject: "",
  localDate: "2027-01-16",
  dueAt: at("2027-01-16T06:30:00Z"),
  chatId: CLUB_CHAT,
  payload: null,
  ...change,
});
const DUE = at("2027-01-16T06:30:00Z");

describe.each(BOTH)("due nudges on %s", (_name, open) => {
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
  const household = () => {
    chats += 1;
    return settle(store, CLUB_CHAT - 900 - chats);
  };

  test("come when they are due, those at risk first, and are done once delivered", async () => {
    const id = await household();
    await store.households.within(id, async (journal) => {
      await journal.addReminder(morning());
      await journal.addReminder(morning({ kind: "danger", subject: "Long House", dueAt: DUE }));
    });
    expect(await store.nudges.claimDue(DUE.subtract({ seconds: 1 }), 20)).toEqual([]);
    expect(await store.nudges.nextDue()).toEqual(DUE);
    const due = await store.nudges.claimDue(DUE, 20);
    expect(due.map(({ reminder }) => reminder.kind)).toEqual(["danger", "morning"]);
    expect(due.every(({ householdId }) => householdId === id)).toBe(true);
    expect(await store.nudges.claimDue(DUE, 20)).toEqual([]);
    for (const nudge of due) {
      expect(
        await store.nudges.deliver(nudge, async (journal, reminder) => {
          await journal.say({ chatId: CLUB_CHAT, text: reminder.kind });
        }),
      ).toBe(true);
      expect(await store.nudges.deliver(nudge, async () => {})).toBe(false);
    }
    expect(await store.nudges.nextDue()).toBeNull();
    pass(1000);
    expect(await store.nudges.claimDue(DUE, 20)).toEqual([]);
  });

  test("one that its delivery moved comes again at its new time", async () => {
    const id = await household();
    await store.households.within(id, (journal) => journal.addReminder(morning({ kind: "danger_again" })));
    const later = DUE.add({ minutes: 30 });
    const [nudge] = await store.nudges.claimDue(DUE, 20);
    if (nudge) {
      await store.nudges.deliver(nudge, (journal, { id: reminder }) =>
        journal.updateReminder(reminder, { dueAt: later }),
      );
    }
    expect(await store.nudges.claimDue(later.subtract({ seconds: 1 }), 20)).toEqual([]);
    const [again] = await store.nudges.claimDue(later, 20);
    expect(again?.reminder).toMatchObject({ kind: "danger_again", dueAt: later });
    if (again) await store.nudges.deliver(again, async () => {});
  });

  test("one that is dropped or moved before its delivery is not delivered", async () => {
    const id = await household();
    await store.households.within(id, async (journal) => {
      await journal.addReminder(morning({ subject: "dropped" }));
      await journal.addReminder(morning({ subject: "moved" }));
    });
    const due = await store.nudges.claimDue(DUE, 20);
    await store.households.within(id, async (journal) => {
      for (const reminder of await journal.reminders({ state: "waiting" })) {
        await journal.updateReminder(
          reminder.id,
          reminder.subject === "dropped" ? { state: "dropped" } : { dueAt: DUE.add({ hours: 24 }) },
        );
      }
    });
    for (const nudge of due) expect(await store.nudges.deliver(nudge, async () => {})).toBe(false);
    const [tomorrow] = await store.nudges.claimDue(DUE.add({ hours: 24 }), 20);
    expect(tomorrow?.reminder.subject).toBe("moved");
    if (tomorrow) await store.nudges.deliver(tomorrow, async () => {});
  });

  test("a delivery that fails keeps nothing, is tried again, and is dropped in the end", async () => {
    const id = await household();
    await store.households.within(id, (journal) => journal.addReminder(morning()));
    let tries = 0;
    for (let round = 0; round < 20; round += 1) {
      for (const nudge of await store.nudges.claimDue(DUE, 20)) {
        await expect(
          store.nudges.deliver(nudge, async (journal) => {
            tries += 1;
            await journal.addCollection("half done");
            throw new RangeError("cannot plan this");
          }),
        ).rejects.toThrow(RangeError);
      }
      pass(600);
    }
    expect(tries).toBe(8);
    await store.households.within(id, async (journal) => {
      expect(await journal.collections()).toEqual([]);
      expect(await journal.reminders({})).toMatchObject([{ state: "dropped" }]);
    });
  });

  test("one that was claimed and forgotten comes again after two minutes", async () => {
    const id = await household();
    await store.households.within(id, (journal) => journal.addReminder(morning()));
    expect(await store.nudges.claimDue(DUE, 20)).toHaveLength(1);
    pass(119);
    expect(await store.nudges.claimDue(DUE, 20)).toEqual([]);
    pass(2);
    const [again] = await store.nudges.claimDue(DUE, 20);
    expect(again && (await store.nudges.deliver(again, async () => {}))).toBe(true);
  });
});

describe("several processes on one PostgreSQL", () => {
  test("deliver each nudge once", async () => {
    const first = await openServerStore();
    const second = await openStore({
      databaseUrl: first.url,
      dataDir: "",
      clock: new SettableClock(NOW),
      log: quietLog,
    });
    try {
      for (let chat = 1; chat <= 60; chat += 1) {
        const id = await settle(first.store, -chat);
        await first.store.households.within(id, (journal) => journal.addReminder(morning({ chatId: -chat })));
      }
      const delivered: number[] = [];
      const ticker = async ({ nudges }: Store) => {
        for (;;) {
          const due = await nudges.claimDue(DUE, 20);
          if (due.length === 0) return;
          for (const nudge of due) {
            await nudges.deliver(nudge, async (journal, { chatId }) => {
              await journal.say({ chatId: chatId ?? 0, text: "morning", urgency: 2 });
              delivered.push(chatId ?? 0);
            });
          }
        }
      };
      await Promise.all([ticker(first.store), ticker(second)]);
      expect(delivered).toHaveLength(60);
      expect(new Set(delivered).size).toBe(60);
      expect(await first.store.outbox.backlog()).toBe(60);
    } finally {
      await second.close();
      await first.end();
    }
  });
});
