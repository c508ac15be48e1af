import { rmSync } from "node:fs";
import { setTimeout as sleep } from "node:timers/promises";
import { pino } from "pino";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { type App, startApp } from "../../bot/app.js";
import { SettableClock } from "../../bot/clock.js";
import { type StandIn, startStandIn } from "../../bot/messenger/stand-in/stand-in.js";
import { freshDataDir } from "../support/pglite.js";
import { EchoDesk } from "../support/stand-in-edge.js";
import { START } from "../support/stand-in-memory.js";

/** The messenger's own limits are a matter of the sender's tests; here a reply may follow at once. */
const NO_LIMITS = { perSecond: 1_000, chatBurst: 1_000, groupPerMinute: 1_000_000 };

let standIn: StandIn;
let app: App;
let desk: EchoDesk;
let dataDir: string;
let ines: number;
let group: number;
const clock = new SettableClock(START);

async function start(): Promise<void> {
  app = await startApp({
    token: standIn.token,
    apiRoot: standIn.url,
    databaseUrl: null,
    dataDir,
    clock,
    zone: "Europe/Warsaw",
    log: pino({ level: "silent" }),
    limits: NO_LIMITS,
    desk: () => desk,
    nudging: () => ({ tick: async () => {} }),
  });
}
async function settle(): Promise<void> {
  for (let quiet = 0; quiet < 2; await sleep(5))
    quiet = standIn.idle() && (await app.idle()) && standIn.idle() ? quiet + 1 : 0;
}
const said = (chatId = group) =>
  standIn.world.sent.filter((sent) => sent.chatId === chatId && !sent.notice).map(({ text }) => text);

beforeEach(async () => {
  dataDir = await freshDataDir();
  standIn = await startStandIn({ clock });
  desk = new EchoDesk();
  ines = standIn.people.addUser({ name: "Ines" }).id;
  group = standIn.people.addGroup({ title: "Glasshouse", kind: "group", members: [ines], admins: [ines] });
  await start();
  standIn.people.addBot(group, ines);
  await settle();
  standIn.world.sent.length = 0;
});
afterEach(async () => {
  await app.stop();
  await standIn.close();
  rmSync(dataDir, { recursive: true, force: true });
});

describe("the whole way on the real store", () => {
  test("answers each message once, in order", async () => {
    for (let number = 0; number < 60; number++) standIn.people.say(group, ines, `message ${number}`);
    await settle();
    expect(said()).toEqual(Array.from({ length: 60 }, (_, number) => `heard: message ${number}`));
  });

  test("goes on after a stop with what came meanwhile, and says nothing twice", async () => {
    standIn.people.say(group, ines, "before");
    await app.stop();
    standIn.people.say(group, ines, "meanwhile");
    await start();
    standIn.people.say(group, ines, "after");
    await settle();
    expect(said()).toEqual(["heard: before", "heard: meanwhile", "heard: after"]);
  });

  test("a reply waits out 429 and an error of the service, the rest keeps its order", async () => {
    standIn.faults.plan({ kind: "retry_after", seconds: 1, method: "sendMessage" });
    standIn.faults.plan({ kind: "status", code: 502, description: "Bad Gateway", method: "sendMessage" });
    standIn.people.say(group, ines, "one");
    standIn.people.say(group, ines, "two");
    await settle();
    expect(said()).toEqual(["heard: one", "heard: two"]);
    expect(standIn.world.counts.get("sendMessage")).toBeGreaterThanOrEqual(4);
  });

  test("shows settings and places on command", async () => {
    const household = (await app.store.inbox.householdOf(group)) as string;
    standIn.people.say(group, ines, "/places@areole");
    standIn.people.say(group, ines, "/settings@areole");
    await settle();
    expect(said()[0]).toMatch(/^No places yet\. .*“we have a long house kept above 5/);
    expect(said()[1]).toMatch(/^Place not told yet; zone Europe\/Warsaw, assumed; °C\.\nMorning message at /);
    await app.store.households.within(household, async (store) => {
      const kept = { collectionId: null, kind: null };
      const floor = (value: number) => ({ floor: { value, unit: "Cel" }, floorC: value });
      await store.addPlace({ name: "Long House", aliases: ["LH"], isDefault: true, ...floor(5), ...kept });
      await store.addPlace({ name: "Warm Bench", aliases: [], isDefault: false, ...floor(12), ...kept });
      await store.updateHousehold({ location: "Gdansk", zone: "Europe/Warsaw", reminderDays: [1, 6] });
    });
    standIn.people.say(group, ines, "/places@areole");
    standIn.people.say(group, ines, "/settings@areole");
    await settle();
    expect(said()[2]).toBe(
      "Long House (LH): kept above 5 °C; meant where no place is named\nWarm Bench: kept above 12 °C",
    );
    expect(said()[3]).toMatch(
      /^Gdansk; zone Europe\/Warsaw; °C\.\nMorning message at .*, on Mon, Sat; no quiet hours\./,
    );
    expect(desk.messages).toEqual([]);
  });

  test("a message that cannot be handled holds up nobody for ever", async () => {
    desk.answer = ({ text }) => {
      if (text === "poison") throw new Error("cannot be handled");
      return { text };
    };
    standIn.people.say(group, ines, "poison");
    standIn.people.say(group, ines, "fine");
    await settle();
    expect(said()).toEqual(["fine"]);
  });

  test("a group that becomes a supergroup stays the same household", async () => {
    standIn.people.say(group, ines, "one");
    await settle();
    const before = await app.store.inbox.householdOf(group);
    const moved = standIn.people.upgrade(group);
    standIn.people.say(moved, ines, "two");
    await settle();
    expect(await app.store.inbox.householdOf(moved)).toBe(before);
    expect(said(moved)).toEqual(["heard: two"]);
  });

  test("a reply on its way follows the group to its new id", async () => {
    const household = (await app.store.inbox.householdOf(group)) as string;
    const moved = standIn.people.upgrade(group);
    await app.store.households.within(household, (store) => store.say({ chatId: group, text: "late" }));
    await settle();
    expect([...said(group), ...said(moved)]).toEqual(["late"]);
  });

  test("a chat that blocked the bot is let be, others are not", async () => {
    const tomasz = standIn.people.addUser({ name: "Tomasz" }).id;
    standIn.people.startPrivate(tomasz);
    await settle();
    const household = (await app.store.inbox.householdOf(tomasz)) as string;
    standIn.people.block(tomasz);
    await app.store.households.within(household, (store) => store.say({ chatId: tomasz, text: "morning" }));
    standIn.people.say(group, ines, "one");
    await settle();
    expect(said(tomasz)).toHaveLength(1);
    expect(said()).toEqual(["heard: one"]);
    const chat = await app.store.households.within(household, (store) => store.chat(tomasz));
    expect(chat?.active).toBe(false);
  });

  test("knows who may change settings from the record, also after a restart", async () => {
    for (let member = 0; member < 8; member++)
      standIn.people.setMember(group, standIn.people.addUser({ name: `M${member}` }).id, "member");
    await settle();
    await app.stop();
    const rights: string[] = [];
    desk.message = async (message) => {
      rights.push(await message.author.settingsRight());
    };
    await start();
    standIn.people.say(group, ines, "floor 6");
    standIn.people.say(group, 1005, "floor 6");
    await settle();
    expect(rights).toEqual(["yes", "no"]);
    standIn.people.setMember(group, 1005, "administrator");
    clock.set(clock.now().add({ minutes: 1 }));
    for (let turn = 0; turn < 2; turn++) {
      standIn.people.say(group, 1005, "floor 6");
      await settle();
    }
    expect(rights.slice(2)).toEqual(["no", "yes"]);
  });

  test("keeps apart what each chat says", async () => {
    const groups = Array.from({ length: 20 }, (_, number) => {
      const id = standIn.people.addGroup({ title: `Bench ${number}`, members: [ines] });
      standIn.people.addBot(id, ines);
      return id;
    });
    for (let number = 0; number < 5; number++)
      for (const id of groups) standIn.people.say(id, ines, `${id} says ${number}`);
    await settle();
    for (const id of groups)
      expect(said(id).slice(1)).toEqual([0, 1, 2, 3, 4].map((number) => `heard: ${id} says ${number}`));
  });
});
