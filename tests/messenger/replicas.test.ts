import { setTimeout as sleep } from "node:timers/promises";
import { pino } from "pino";
import { expect, test } from "vitest";
import { type App, startApp } from "../../bot/app.js";
import { systemClock } from "../../bot/clock.js";
import { type StandIn, startStandIn } from "../../bot/messenger/stand-in/stand-in.js";
import { freshDatabase } from "../support/postgres.js";
import { EchoDesk } from "../support/stand-in-edge.js";

const NO_LIMITS = { perSecond: 1_000, chatBurst: 1_000, groupPerMinute: 1_000_000 };

const warnings: string[] = [];
const log = pino({ level: "warn" }, { write: (line: string) => warnings.push(line) });

const start = (standIn: StandIn, databaseUrl: string): Promise<App> =>
  startApp({
    token: standIn.token,
    apiRoot: standIn.url,
    databaseUrl,
    dataDir: "",
    clock: systemClock,
    zone: "UTC",
    log,
    limits: NO_LIMITS,
    desk: () => new EchoDesk(),
    nudging: () => ({ tick: async () => {} }),
  });

test("two processes on one database share the work; when one stops the other takes over", async () => {
  const { url, drop } = await freshDatabase();
  const standIn = await startStandIn({ clock: systemClock });
  const { people, world } = standIn;
  const ines = people.addUser({ name: "Ines" }).id;
  const groups = [1, 2, 3, 4].map((bench) => people.addGroup({ title: `Bench ${bench}`, members: [ines] }));
  const first = await start(standIn, url);
  const second = await start(standIn, url);
  for (const group of groups) people.addBot(group, ines);

  const said = (group: number) =>
    world.sent
      .filter((sent) => sent.chatId === group && sent.text.startsWith("heard"))
      .map(({ text }) => text);
  const all = () => groups.every((group) => said(group).length >= 20);
  for (let number = 0; number < 20; number++) {
    for (const group of groups) people.say(group, ines, `message ${number}`);
    if (number === 10) void first.stop();
  }
  while (!all()) await sleep(10);
  await first.stop();
  await second.stop();
  for (const group of groups)
    expect(said(group)).toEqual(Array.from({ length: 20 }, (_, number) => `heard: message ${number}`));
  expect(warnings).toEqual([]);
  await standIn.close();
  await drop();
});
