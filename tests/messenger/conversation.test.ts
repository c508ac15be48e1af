import { rmSync } from "node:fs";
import { setTimeout as sleep } from "node:timers/promises";
import { pino } from "pino";
import { Temporal } from "temporal-polyfill";
import { afterAll, beforeAll, beforeEach, describe, expect, test } from "vitest";
import { type App, startApp } from "../../bot/app.js";
import { SettableClock } from "../../bot/clock.js";
import { type StandIn, startStandIn } from "../../bot/messenger/stand-in/stand-in.js";
import type { Sent } from "../../bot/messenger/stand-in/world.js";
import { shippedParts } from "../../bot/shipped.js";
import { freshDataDir } from "../support/pglite.js";

/** The bot as it is shipped, spoken to over HTTP by the people of an allotment club. */

const NO_LIMITS = { perSecond: 1_000, chatBurst: 1_000, groupPerMinute: 1_000_000 };
const ZONE = "Europe/Warsaw";
/** A Friday, 09:00 in Warsaw. */
const clock = new SettableClock(Temporal.Instant.from("2027-01-15T08:00:00Z"));

let standIn: StandIn;
let app: App;
let dataDir: string;
let group: number;
const people: Record<"Ines" | "Tomasz" | "Priya", number> = { Ines: 0, Tomasz: 0, Priya: 0 };
let seen = 0;

beforeAll(async () => {
  dataDir = await freshDataDir();
  standIn = await startStandIn({ clock });
  const log = pino({ level: "silent" });
  app = await startApp({
    token: standIn.token,
    apiRoot: standIn.url,
    databaseUrl: null,
    dataDir,
    clock,
    zone: ZONE,
    log,
    limits: NO_LIMITS,
    ...shippedParts(clock, ZONE, log),
  });
  for (const name of ["Ines", "Tomasz", "Priya"] as const) people[name] = standIn.people.addUser({ name }).id;
});
afterAll(async () => {
  await app.stop();
  await standIn.close();
  rmSync(dataDir, { recursive: true, force: true });
});

async function settle(): Promise<Sent[]> {
  for (let quiet = 0; quiet < 2; await sleep(2))
    quiet = standIn.idle() && (await app.idle()) && standIn.idle() ? quiet + 1 : 0;
  const sent = standIn.world.sent.slice(seen);
  seen = standIn.world.sent.length;
  return sent;
}
/** What the bot said in a group to what somebody wrote there. */
async function say(
  text: string,
  who: keyof typeof people = "Ines",
  options = {},
  chat = group,
): Promise<Sent[]> {
  standIn.people.say(chat, people[who], text, options);
  return settle();
}
const texts = (sent: Sent[]): string => sent.map(({ text }) => text).join("\n");
const hear = async (...args: Parameters<typeof say>): Promise<string> => texts(await say(...args));

async function found(members = Object.values(people), forum = false): Promise<number> {
  const id = standIn.people.addGroup({ title: "Glasshouse", members, admins: [people.Ines], forum });
  standIn.people.addBot(id, people.Ines);
  await settle();
  return id;
}

beforeEach(async () => {
  group = await found();
  await say("we are near Gdansk");
  await say("we have a shade house kept above 5 and a warm bench at 12");
});

describe("a log", () => {
  test("is confirmed by one line that shows what was understood, and undone in one tap by anybody", async () => {
    const [line] = await say("watered the aloes");
    expect(line?.text).toMatch(/^Aloe, Shade House: watered.*, today\.$/);
    expect(line?.silent).toBe(true);
    standIn.people.press(group, people.Tomasz, line?.messageId ?? 0, "Undo");
    expect(texts(await settle())).toMatch(/^Undone \(Ines's\): Aloe/);
    expect(await hear("@areole when did we last water the aloes?")).toMatch(/nothing|never/);
  });

  test("follows the message when that is rewritten", async () => {
    const id = standIn.people.say(group, people.Ines, "watered the aloes");
    await settle();
    standIn.people.say(group, people.Ines, "watered the gasterias", { edit: id });
    expect(texts(await settle())).toContain("Gasteria");
    expect(await hear("@areole when did we last water the gasterias?")).toMatch(/Gasteria.*today.*Ines/);
    expect(await hear("@areole when did we last water the aloes?")).toMatch(/nothing|never/);
  });

  test("is not logged again by an invisible change", async () => {
    const id = standIn.people.say(group, people.Ines, "watered the aloes");
    await settle();
    standIn.people.say(group, people.Ines, "watered the aloes", { edit: id });
    expect(await settle()).toEqual([]);
  });

  test("below the floor is a warning at once, that says by how much and what to check", async () => {
    const [warning] = await say("min 3 last night", "Tomasz");
    expect(warning?.text).toMatch(/Shade House.*min 3 °C, 2 K under its floor of 5 °C/);
    expect(warning?.text).toMatch(/heater|breaker/);
    expect(warning?.silent).toBe(false);
  });
});

describe("talk", () => {
  test.each([
    "watered the wine down a bit, it was strong",
    "haven't watered anything since Christmas",
    "lovely day, isn't it",
    "see you at 5",
    "I need to water the aloes tomorrow",
    "who has the key?",
    "1 < 2 & <b>so on</b>",
  ])("gets silence: %j", async (text) => expect(await say(text, "Priya")).toEqual([]));

  test("gets one clear sentence when it was meant for the bot", async () => {
    const [answer, ...more] = await say("@areole <b>dark</b> & stormy");
    expect(answer?.text).toContain("“<b>dark</b> & stormy”");
    expect(answer?.text).toContain("“watered the aloes”");
    expect(more).toEqual([]);
  });
});

describe("a question", () => {
  test("about care says what to do and from where that is known", async () => {
    const answer = await hear("@areole does gasteria need water in winter?", "Priya");
    expect(answer).toMatch(/^Gasteria, winter/);
    expect(answer).toMatch(/practice|memory|[A-Z]\w+ \d{4}/);
  });

  test("is answered from the journal of this household only", async () => {
    await say("watered the aloes");
    const other = await found([people.Tomasz]);
    expect(await hear("@areole when did we last water the aloes?", "Tomasz", {}, other)).toMatch(
      /nothing|never/,
    );
  });

  test("keeps the collection that a topic was given", async () => {
    const group = await found(undefined, true);
    const topic = standIn.people.addTopic(group, "Orchids");
    const bound = await say("/collection Orchids", "Ines", { thread: topic }, group);
    expect(texts(bound)).toContain("“Orchids”");
    await say("watered the cymbidiums", "Ines", { thread: topic }, group);
    await say("watered the aloes", "Ines", {}, group);
    const household = await app.store.inbox.householdOf(group);
    const entries = await app.store.households.within(household as string, async (store) => {
      const [collection] = await store.collections();
      const kept = await store.entries({ acts: ["water"], collectionId: collection?.id ?? "" });
      return kept.map(({ entry }) => entry.subjects?.[0]?.genus);
    });
    expect(entries).toEqual(["Cymbidium"]);
  });

  test("in a topic is answered in it", async () => {
    group = await found(Object.values(people), true);
    const topic = standIn.people.addTopic(group, "Seedlings");
    const answers = await say("@areole does gasteria need water in winter?", "Ines", { thread: topic });
    expect(answers.map(({ threadId }) => threadId)).toEqual([topic]);
  });

  test("in a private chat needs no mention", async () => {
    standIn.people.startPrivate(people.Priya);
    await settle();
    const answer = await hear("does gasteria need water in winter?", "Priya", {}, people.Priya);
    expect(answer).toMatch(/^Gasteria, winter/);
  });
});

describe("settings", () => {
  test("are an administrator's in a larger group; logging is everybody's", async () => {
    const many = Array.from({ length: 8 }, (_, n) => standIn.people.addUser({ name: `Member ${n}` }).id);
    group = await found([...many, ...Object.values(people)]);
    expect(await hear("@areole we are near Gdansk", "Tomasz")).toMatch(/administrator/);
    expect(await hear("@areole we are near Gdansk", "Ines")).toMatch(/Europe\/Warsaw/);
    expect(await hear("watered the aloes", "Tomasz")).toMatch(/^Aloe.*watered/);
  });
});

describe("while a danger is open", () => {
  test.each([
    ["I'll go and look", "Priya looks after it. I stop repeating; say “all well again” when it is."],
    ["all fine again, it was the fuse", "All well again; the alarm is closed."],
  ])("what nobody is told by name counts: %s", async (text, line) => {
    await say("min 1 in the shade house last night");
    expect(await hear(text, "Priya")).toBe(line);
  });

  test("and else it is talk among people", async () => {
    expect(await hear("I'll go and look", "Priya")).toBe("");
    expect(await hear("all fine again, it was the fuse", "Priya")).toBe("");
  });
});

test("when a plant that nobody has here is due is answered from the table", async () => {
  expect(await hear("when is the next water for gymnocalycium?")).toMatch(/^Gymnocalycium, winter, /);
});

test("what is due comes in the morning, once, and its button logs it", async () => {
  await say("watered the aloes on 20 December");
  clock.set(Temporal.Instant.from("2027-01-16T06:30:00Z"));
  await app.tick();
  await app.tick();
  const mornings = (await settle()).filter(({ chatId }) => chatId === group);
  expect(mornings).toHaveLength(1);
  const [morning] = mornings;
  expect(morning?.text).toMatch(/Shade House:.*aloes 27 days/);
  const press = async (label: RegExp) => {
    const shown = standIn.world.chats.get(group)?.messages.get(morning?.messageId ?? 0);
    const button = shown?.buttons.flat().findIndex(({ text }) => label.test(text)) ?? -1;
    standIn.people.press(group, people.Priya, morning?.messageId ?? 0, button);
    await settle();
  };
  await press(/one by one/i);
  await press(/^aloe/i);
  expect(await hear("@areole when did we last water the aloes?")).toMatch(/Aloe.*watered.*today by Priya/);
});
