import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { SettableClock } from "../../bot/clock.js";
import type { JournalStore, NewReminder } from "../../bot/journal/ports.js";
import type { TestStore } from "../support/pglite.js";
import { BOTH } from "../support/stores.js";
import { at, CLUB_CHAT, NOW, settle, watering } from "./examples.js";

describe.each(BOTH)("the journal's store on %s", (_name, open) => {
  let ground: TestStore;
  let chats = 0;
  beforeAll(async () => {
    ground = await open(new SettableClock(NOW));
  });
  afterAll(() => ground.end());

  /** A household of its own for each test. */
  async function household(): Promise<<T>(work: (store: JournalStore) => Promise<T>) => Promise<T>> {
    chats += 1;
    const id = await settle(ground.store, CLUB_CHAT - chats);
    return (work) => ground.store.households.within(id, work);
  }

  test("a new household has metric units, the northern hemisphere and mornings at half past seven", async () => {
    const within = await household();
    expect(await within((store) => store.household())).toMatchObject({
      name: "Glasshouse",
      zone: null,
      hemisphere: "north",
      units: "metric",
      reminderTime: "07:30",
      reminderDays: [1, 2, 3, 4, 5, 6, 7],
      quietHours: null,
      tasks: {},
      createdAt: NOW,
    });
  });

  test("settings are changed one by one", async () => {
    const within = await household();
    await within((store) =>
      store.updateHousehold({ zone: "Europe/Warsaw", latitude: 54.5, reminderDays: [6, 7] }),
    );
    await within((store) => store.updateHousehold({ quietHours: { from: "22:00", to: "07:00" } }));
    await within((store) => store.updateHousehold({ tasks: { pest_look: { off: true } } }));
    expect(await within((store) => store.household())).toMatchObject({
      zone: "Europe/Warsaw",
      latitude: 54.5,
      reminderDays: [6, 7],
      quietHours: { from: "22:00", to: "07:00" },
      tasks: { pest_look: { off: true } },
    });
  });

  test("a chat keeps where the conversation stands", async () => {
    const within = await household();
    const [chat] = await within((store) => store.chats());
    const chatId = chat?.chatId ?? 0;
    await within((store) =>
      store.updateChat(chatId, {
        state: { recentGenera: ["Aloe"], pending: { ask: "place" } },
        memberCount: 9,
      }),
    );
    expect(await within((store) => store.chat(chatId))).toMatchObject({
      chatId,
      kind: "group",
      active: true,
      memberCount: 9,
      welcomedAt: null,
      state: { recentGenera: ["Aloe"], pending: { ask: "place" } },
    });
    expect(await within((store) => store.chat(12345))).toBeNull();
  });

  test("a topic is bound to a collection, and bound anew", async () => {
    const within = await household();
    await within(async (store) => {
      const chatId = (await store.chats())[0]?.chatId ?? 0;
      const seeds = await store.addCollection("Seed trays");
      const show = await store.addCollection("Show plants");
      expect(await store.addCollection("seed TRAYS")).toEqual(seeds);
      await store.bindTopic(chatId, 7, seeds.id);
      await store.bindTopic(chatId, 7, show.id);
      expect(await store.topicCollection(chatId, 7)).toEqual(show);
      expect(await store.topicCollection(chatId, 8)).toBeNull();
      expect(await store.collections()).toEqual([seeds, show]);
    });
  });

  test("a member is known by user id, then by name, and keeps the newest name", async () => {
    const within = await household();
    await within(async (store) => {
      const priya = await store.meetMember(null, "Priya");
      expect(await store.meetMember(41, "priya")).toEqual({ id: priya.id, userId: 41, name: "priya" });
      expect(await store.meetMember(41, "Priya R.")).toEqual({ id: priya.id, userId: 41, name: "Priya R." });
      expect(await store.meetMember(null, "priya r.")).toMatchObject({ id: priya.id });
      const namesake = await store.meetMember(42, "Priya R.");
      expect(namesake.id).not.toBe(priya.id);
      expect(await store.members()).toHaveLength(2);
    });
  });

  test("places are added once by name, changed and taken away without losing entries", async () => {
    const within = await household();
    const place = await within((store) =>
      store.addPlace({
        collectionId: null,
        name: "Long House",
        aliases: ["the long one"],
        floor: { value: 5, unit: "Cel" },
        floorC: 5,
        kind: "glasshouse",
        isDefault: true,
      }),
    );
    const again = await within((store) => store.addPlace({ ...place, name: "long house", floorC: 6 }));
    expect(again).toEqual(place);
    const plant = await within((store) => store.addPlant({ ...ALOE, placeId: place.id }));
    const entry = await within((store) => store.addEntry(watering({ placeId: place.id })));
    await within((store) => store.updatePlace(place.id, { floorC: 7, aliases: [] }));
    expect(await within((store) => store.places())).toEqual([{ ...place, floorC: 7, aliases: [] }]);
    await within((store) => store.removePlace(place.id));
    expect(await within((store) => store.places())).toEqual([]);
    expect((await within((store) => store.entry(entry.id)))?.placeId).toBe(place.id);
    expect(await within((store) => store.plants())).toEqual([{ ...plant, placeId: null }]);
  });

  test("plants that are gone are listed only when asked for", async () => {
    const within = await household();
    await within(async (store) => {
      const kept = await store.addPlant(ALOE);
      const lost = await store.addPlant({ ...ALOE, tag: "A-2", genus: "Lithops", count: 3 });
      await store.updatePlant(lost.id, { status: "gone", count: 0 });
      expect(await store.plants()).toEqual([kept]);
      expect(await store.plants({ gone: true })).toEqual([kept, { ...lost, status: "gone", count: 0 }]);
    });
  });

  test("an entry comes back as it was written", async () => {
    const within = await household();
    const written = await within((store) =>
      store.addEntry(
        watering({
          act: "reading",
          reading: { quantity: "air_temperature", statistic: "min", value: 3.5 },
          note: "thermometer by the door",
        }),
      ),
    );
    expect(written).toMatchObject({ writtenAt: NOW, retracted: null });
    expect(await within((store) => store.entry(written.id))).toEqual(written);
  });

  test("text that PostgreSQL cannot hold is kept without what it cannot", async () => {
    const within = await household();
    const { id } = await within((store) =>
      store.addEntry(
        watering({ rawText: "wet\u0000 \ud800hands 🌵", entry: { act: "note", text: "a\u0000b\udc00" } }),
      ),
    );
    expect(await within((store) => store.entry(id))).toMatchObject({
      rawText: "wet \ufffdhands 🌵",
      entry: { act: "note", text: "ab\ufffd" },
    });
  });

  test("entries are found by act, time, message, place and author", async () => {
    const within = await household();
    await within(async (store) => {
      const ines = await store.meetMember(1, "Ines");
      const day = (n: number) => ({
        from: at(`2027-01-0${n}T00:00:00Z`),
        to: at(`2027-01-0${n + 1}T00:00:00Z`),
      });
      const first = await store.addEntry(watering({ ...day(1), messageId: 11 }));
      const third = await store.addEntry(watering({ ...day(3), authorId: ines.id, messageId: 12 }));
      const fed = await store.addEntry(watering({ ...day(2), act: "feed", messageId: 12 }));
      const ids = async (filter: Parameters<JournalStore["entries"]>[0]) =>
        (await store.entries(filter)).map(({ id }) => id);
      expect(await ids({})).toEqual([third.id, fed.id, first.id]);
      expect(await ids({ order: "oldest" })).toEqual([first.id, fed.id, third.id]);
      expect(await ids({ order: "written" })).toEqual([fed.id, third.id, first.id]);
      expect(await ids({ acts: ["feed", "mist"] })).toEqual([fed.id]);
      expect(await ids({ acts: [] })).toEqual([]);
      expect(await ids({ limit: 1 })).toEqual([third.id]);
      expect(await ids({ authorId: ines.id })).toEqual([third.id]);
      expect(await ids({ chatId: CLUB_CHAT, messageId: 12 })).toEqual([third.id, fed.id]);
      // Half-open: what ends as the range begins is outside, what begins within is inside.
      expect(await ids({ from: at("2027-01-02T00:00:00Z"), to: at("2027-01-03T00:00:00Z") })).toEqual([
        fed.id,
      ]);
      expect(await ids({ from: at("2027-01-02T23:59:59Z"), to: at("2027-01-03T00:00:01Z") })).toEqual([
        third.id,
        fed.id,
      ]);
    });
  });

  test("an entry without length lies where it starts", async () => {
    const within = await household();
    await within(async (store) => {
      const moment = at("2027-01-02T06:00:00Z");
      const { id } = await store.addEntry(watering({ from: moment, to: moment }));
      const found = await store.entries({ from: moment, to: moment.add({ seconds: 1 }) });
      expect(found.map((entry) => entry.id)).toEqual([id]);
      expect(await store.entries({ from: moment.subtract({ seconds: 1 }), to: moment })).toEqual([]);
    });
  });

  test("undone and amended entries stay, marked, and are undone once", async () => {
    const within = await household();
    await within(async (store) => {
      const ines = await store.meetMember(1, "Ines");
      const wrong = await store.addEntry(watering());
      const right = await store.addEntry(watering({ act: "feed", amends: wrong.id }));
      expect(await store.retract(wrong.id, { reason: "amend", by: ines.id, replacedBy: right.id })).toBe(
        true,
      );
      expect(await store.retract(wrong.id, { reason: "undo", by: null })).toBe(false);
      expect(await store.retract("01a211dd-0000-7000-8000-000000000000", { reason: "undo", by: null })).toBe(
        false,
      );
      expect((await store.entries({})).map(({ id }) => id)).toEqual([right.id]);
      expect(await store.entries({ retracted: true })).toHaveLength(2);
      expect((await store.entry(wrong.id))?.retracted).toEqual({
        reason: "amend",
        by: ines.id,
        at: NOW,
        replacedBy: right.id,
      });
    });
  });

  test("what fails in the middle leaves nothing behind", async () => {
    const within = await household();
    const failing = within(async (store) => {
      await store.addEntry(watering());
      await store.say({ chatId: CLUB_CHAT, text: "never said" });
      throw new RangeError("in the middle");
    });
    await expect(failing).rejects.toThrow(RangeError);
    expect(await within((store) => store.entries({}))).toEqual([]);
  });

  test("own rules stand until they are lifted", async () => {
    const within = await household();
    await within(async (store) => {
      const rule = await store.addRule({
        rule: { subjects: [{ genus: "Lithops" }], never: "water" },
        saidBy: "Tomasz",
        saidAt: NOW,
        rawText: "never water the lithops",
      });
      expect(await store.rules()).toEqual([rule]);
      await store.liftRule(rule.id);
      expect(await store.rules()).toEqual([]);
    });
  });

  test("a reminder exists once by kind, subject and local date", async () => {
    const within = await household();
    await within(async (store) => {
      const morning: NewReminder = {
        kind: "morning",
        subject: "",
        localDate: "2027-01-16",
        dueAt: at("2027-01-16T06:30:00Z"),
        chatId: CLUB_CHAT,
        payload: "7",
      };
      expect(await store.addReminder(morning)).toBe(true);
      expect(await store.addReminder({ ...morning, dueAt: at("2027-01-16T07:30:00Z") })).toBe(false);
      expect(await store.addReminder({ ...morning, localDate: "2027-01-17" })).toBe(true);
      expect(await store.addReminder({ ...morning, kind: "danger", subject: "Long House" })).toBe(true);
      const [first] = await store.reminders({ kinds: ["morning"] });
      expect(first).toMatchObject({ ...morning, state: "waiting" });
      await store.updateReminder(first?.id ?? "", { state: "done" });
      expect(await store.reminders({ kinds: ["morning"], state: "waiting" })).toHaveLength(1);
    });
  });

  test("another household's store sees none of it", async () => {
    const ours = await household();
    const theirs = await household();
    const { id } = await ours((store) => store.addEntry(watering()));
    expect(await theirs((store) => store.entry(id))).toBeNull();
    expect(await theirs((store) => store.entries({ retracted: true }))).toEqual([]);
    expect(await theirs((store) => store.retract(id, { reason: "undo", by: null }))).toBe(false);
  });
});

const ALOE = {
  collectionId: null,
  tag: "A-1",
  name: null,
  genus: "Aloe",
  species: "polyphylla",
  cultivar: null,
  fieldNumber: null,
  count: null,
  potDiameterCm: 12.5,
  potMaterial: "terracotta",
  placeId: null,
  source: null,
  acquiredOn: "2026-05-01",
  sownOn: null,
  status: "alive" as const,
};
