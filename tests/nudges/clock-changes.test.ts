import { Temporal } from "temporal-polyfill";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { SettableClock } from "../../bot/clock.js";
import type { Id, JournalStore } from "../../bot/journal/ports.js";
import { morningInstant } from "../../bot/nudges/due-instant.js";
import { Nudging } from "../../bot/nudges/nudging.js";
import { mornings } from "../../bot/nudges/schedule.js";
import { openEmbeddedStore, type TestStore } from "../support/pglite.js";
import { addHolding, addWatering } from "./club.js";
import { KNOWLEDGE, TASKS } from "./collection.js";
import { plainVoice } from "./plain-voice.js";

/** Zones with a change of clocks in every part of the world, with a morning that falls into the gap or the overlap. */
const CASES = [
  ["Europe/Berlin", "02:30"],
  ["Europe/Warsaw", "07:30"],
  ["Europe/London", "01:30"],
  ["America/New_York", "02:00"],
  ["America/Santiago", "00:00"],
  ["Australia/Sydney", "02:59"],
  // Half an hour: 02:00 to 02:30.
  ["Australia/Lord_Howe", "02:15"],
  ["Pacific/Auckland", "02:30"],
  ["Asia/Tokyo", "06:00"],
  ["UTC", "00:00"],
] as const;
const EVERY_DAY = [1, 2, 3, 4, 5, 6, 7];
const LEAP_YEAR = 2028;

describe("every day of a leap year", () => {
  test.each(CASES)(
    "%s at %s has one morning, at its time or the first minute after a gap",
    (zone, reminderTime) => {
      const household = { reminderTime, reminderDays: EVERY_DAY };
      const start = Temporal.PlainDate.from(`${LEAP_YEAR}-01-01`);
      let now = start.toZonedDateTime(zone).toInstant().subtract({ milliseconds: 1 });
      for (let index = 0; index < 366; index++) {
        const [next] = mornings(household, zone, now);
        if (!next) throw new Error("no morning");
        expect(next.date.toString()).toBe(start.add({ days: index }).toString());
        const local = next.at.toZonedDateTimeISO(zone);
        expect(local.toPlainDate().toString()).toBe(next.date.toString());
        const wanted = next.date.toPlainDateTime(reminderTime);
        if (!local.toPlainDateTime().equals(wanted)) {
          const before = next.at.subtract({ milliseconds: 1 }).toZonedDateTimeISO(zone).toPlainDateTime();
          expect(Temporal.PlainDateTime.compare(before, wanted)).toBeLessThan(0);
          expect(Temporal.PlainDateTime.compare(local.toPlainDateTime(), wanted)).toBeGreaterThan(0);
        }
        now = next.at;
      }
    },
  );

  test("in an overlap the first of the two", () => {
    const at = (zone: string, date: string, time: string) =>
      morningInstant(Temporal.PlainDate.from(date), time, zone).toString();
    expect(at("Europe/Berlin", "2028-10-29", "02:30")).toBe("2028-10-29T00:30:00Z");
    expect(at("Europe/Berlin", "2028-03-26", "02:30")).toBe("2028-03-26T01:00:00Z");
    expect(at("Australia/Lord_Howe", "2028-04-02", "01:45")).toBe("2028-04-01T14:45:00Z");
    expect(at("Australia/Lord_Howe", "2028-10-01", "02:15")).toBe("2028-09-30T15:30:00Z");
  });
});

/** Days around a change of clocks in 2028, with the zones that change and one that does not. */
const CHANGES = [
  ["2028-03-10T12:00:00Z", "2028-03-14T12:00:00Z", ["America/New_York", "UTC"]],
  ["2028-03-24T12:00:00Z", "2028-03-28T12:00:00Z", ["Europe/Berlin", "Europe/London"]],
  [
    "2028-03-30T12:00:00Z",
    "2028-04-04T12:00:00Z",
    ["Australia/Lord_Howe", "Australia/Sydney", "Pacific/Auckland"],
  ],
  ["2028-09-28T12:00:00Z", "2028-10-03T12:00:00Z", ["Australia/Lord_Howe", "Australia/Sydney"]],
  ["2028-10-27T12:00:00Z", "2028-10-31T12:00:00Z", ["Europe/Berlin", "Europe/London", "Europe/Warsaw"]],
  ["2028-11-03T12:00:00Z", "2028-11-07T12:00:00Z", ["America/New_York", "UTC"]],
] as const;
const TIMES = new Map<string, string>(CASES);

describe("around the changes of clocks, on the store", () => {
  const clock = new SettableClock(Temporal.Instant.from("2028-03-01T00:00:00Z"));
  let embedded: TestStore;
  let chats = 5_000;

  beforeAll(async () => {
    embedded = await openEmbeddedStore(clock);
  });
  afterAll(() => embedded.end());

  test.each(CHANGES)("from %s to %s: one message on each local date in %j", async (from, to, zones) => {
    clock.set(Temporal.Instant.from(from));
    const { inbox, households: all } = embedded.store;
    const here: Id[] = [];
    for (const zone of zones) {
      const chatId = ++chats;
      await inbox.receive([{ updateId: 1, chatId, chatKind: "private", chatTitle: null, body: {} }]);
      const household = (await inbox.householdOf(chatId)) as Id;
      here.push(household);
      await all.within(household, (store) => furnish(store, zone, TIMES.get(zone) ?? "07:30"));
    }
    const said = await runTo(Temporal.Instant.from(to));
    for (const [index, zone] of zones.entries()) {
      const local = (said.get(here[index] as Id) ?? []).map((at) => at.toZonedDateTimeISO(zone));
      const days = local.map((at) => at.toPlainDate().toString());
      const first = Temporal.PlainDate.from(days[0] as string);
      const span = Temporal.Instant.from(from).until(Temporal.Instant.from(to)).total("hours") / 24;
      expect(days).toEqual(Array.from({ length: span }, (_, ahead) => first.add({ days: ahead }).toString()));
      const wanted = Temporal.PlainTime.from(TIMES.get(zone) ?? "");
      expect(local.filter((at) => !at.toPlainTime().equals(wanted)).length).toBeLessThanOrEqual(1);
    }
    for (const household of here) {
      await all.within(household, (store) => store.updateHousehold({ reminderDays: [] }));
    }
  });

  async function furnish(store: JournalStore, zone: string, reminderTime: string): Promise<void> {
    await store.updateHousehold({ zone, reminderTime, reminderDays: EVERY_DAY });
    await addHolding(store, "Aloe", null);
    await store.addRule({
      rule: { subjects: [{ genus: "Aloe" }], everyDays: { from: 1, to: 1 } },
      saidBy: "Ines",
      saidAt: clock.now(),
      rawText: "we water the aloes daily",
    });
    const yesterday = clock.now().subtract({ hours: 48 }).toString();
    await addWatering(store, "Aloe", null, yesterday.slice(0, 10));
  }

  /** Steps from one due moment to the next; the keeper waters after each message, so that something is due daily. */
  async function runTo(to: Temporal.Instant): Promise<Map<Id, Temporal.Instant[]>> {
    const { store } = embedded;
    const nudging = new Nudging({
      queue: store.nudges,
      households: store.households,
      clock,
      log: { warn: (facts) => expect(facts).toBeNull() },
      workers: 1,
      knowledge: KNOWLEDGE,
      tasks: { tasks: [], frost: TASKS.frost },
      voice: plainVoice,
      fallbackZone: "UTC",
    });
    const said = new Map<Id, Temporal.Instant[]>();
    await nudging.tick();
    for (let due = await store.nudges.nextDue(); due && Temporal.Instant.compare(due, to) < 0; ) {
      if (Temporal.Instant.compare(due, clock.now()) > 0) clock.set(due);
      await nudging.tick();
      for (const item of await store.outbox.claim(100, Temporal.Instant.from("2100-01-01T00:00:00Z"))) {
        await store.outbox.settle(item, { kind: "sent", messageId: null });
        said.set(item.householdId, [...(said.get(item.householdId) ?? []), clock.now()]);
        const on = clock.now().subtract({ hours: 20 }).toString().slice(0, 10);
        await store.households.within(item.householdId, (here) => addWatering(here, "Aloe", null, on));
      }
      due = await store.nudges.nextDue();
    }
    return said;
  }
});
