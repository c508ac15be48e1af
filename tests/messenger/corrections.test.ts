import { rmSync } from "node:fs";
import { setTimeout as sleep } from "node:timers/promises";
import { pino } from "pino";
import { Temporal } from "temporal-polyfill";
import { afterAll, beforeAll, beforeEach, expect, test } from "vitest";
import { type App, startApp } from "../../bot/app.js";
import { SettableClock } from "../../bot/clock.js";
import { type StandIn, startStandIn } from "../../bot/messenger/stand-in/stand-in.js";
import type { Sent } from "../../bot/messenger/stand-in/world.js";
import { shippedParts } from "../../bot/shipped.js";
import { freshDataDir } from "../support/pglite.js";

/** Mistakes put right over HTTP: by a button, by answering a line, by a sentence. */

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

const press = async (line: Sent | undefined, label: string, who: keyof typeof people = "Ines") => {
  standIn.people.press(group, people[who], line?.messageId ?? 0, label);
  return settle();
};
const answering = (line: Sent | undefined) => ({ replyTo: line?.messageId ?? 0 });

test("a correction that answers a confirmation changes that entry, not the latest", async () => {
  const [aloes] = await say("watered the aloes");
  await say("watered the gasterias");
  expect(await hear("no, that was yesterday", "Tomasz", answering(aloes))).toMatch(
    /^Changed: Aloe.*yesterday/,
  );
  expect(await hear("@areole when did we last water the aloes?")).toMatch(/yesterday by Ines/);
  expect(await hear("@areole when did we last water the gasterias?")).toMatch(/today by Ines/);
});

test("undo pressed again only notes that it was", async () => {
  const [line] = await say("watered the aloes");
  expect(texts(await press(line, "Undo"))).toMatch(/^Undone: Aloe/);
  expect(texts(await press(line, "Undo", "Tomasz"))).not.toMatch(/Undone|Nothing/);
  expect(await hear("undo", "Tomasz", answering(line))).toBe("Already undone.");
});

test("undo under a change brings back what stood before; then there is nothing to lose", async () => {
  await say("watered the aloes");
  const [changed] = await say("@areole no, that was yesterday");
  expect(changed?.text).toMatch(/^Changed:.*yesterday/);
  const [back] = await press(changed, "Undo");
  expect(back?.text).toMatch(/^Changed back: Aloe.*today/);
  expect(texts(await press(back, "Undo"))).toMatch(/^Undone: Aloe/);
});

test("heating off for no cause is asked about; that it failed is an alarm", async () => {
  const [line] = await say("turned the heater off");
  expect(line?.text).toMatch(/heating off, today\.\nSwitched off, or has it failed\?$/);
  const [warning] = await press(line, "It failed");
  expect(warning?.text).toMatch(/^❄ Heating off, Shade House: failure\.\nLook first at the heater/);
});

test("a sum is answered with its caution and says where it is from", async () => {
  const [sum] = await say("@areole will a 2 kW heater hold 5 degrees if it drops to -12?");
  expect(sum?.text).toMatch(/^2 kW holds 5 °C at −12 °C outdoors if the house loses no more than 118 W\/K\./);
  expect(sum?.text).toMatch(/no guarantee/);
  expect(texts(await press(sum, "Why"))).toMatch(/Loss W\/K/);
});

test("a dew point takes from the journal what was just read", async () => {
  await say("88% in the shade house now");
  expect(await hear("@areole what is the dew point at 10 degrees?")).toMatch(
    /^Dew point 8\.1 °C, for air of 10 °C and 88 %/,
  );
});
