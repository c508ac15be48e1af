import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { Writable } from "node:stream";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { SettableClock } from "../../bot/clock.js";
import { type Health, serveHealth } from "../../bot/health.js";
import { createLog } from "../../bot/log.js";
import { type BotEdge, createBotEdge } from "../../bot/messenger/edge.js";
import { MessengerError } from "../../bot/messenger/errors.js";
import { type StandIn, startStandIn } from "../../bot/messenger/stand-in/stand-in.js";
import { secretOf } from "../../bot/messenger/webhook.js";
import { EchoDesk } from "../support/stand-in-edge.js";
import { MemoryStore, START } from "../support/stand-in-memory.js";

let standIn: StandIn;
let edge: BotEdge;
let health: Health;
let store: MemoryStore;
let desk: EchoDesk;
let url: string;
let ines: number;
let group: number;
let logged: string;

async function freePort(): Promise<number> {
  const server = createServer();
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  const { port } = server.address() as AddressInfo;
  await new Promise((resolve) => server.close(resolve));
  return port;
}

const open = (address: string) => {
  const clock = new SettableClock(START);
  const destination = new Writable({
    write(chunk, _encoding, done) {
      logged += String(chunk);
      done();
    },
  });
  return createBotEdge({
    token: standIn.token,
    apiRoot: standIn.url,
    inbox: store,
    households: store,
    desk,
    clock,
    zone: "UTC",
    log: createLog("warn", destination),
    webhook: { url: address },
  });
};

async function settle(): Promise<void> {
  for (let quiet = 0; quiet < 3; await new Promise((resolve) => setTimeout(resolve, 3))) {
    const worked = await store.work((update, bound) => edge.handle(update, bound));
    quiet = worked === 0 && standIn.idle() && edge.idle() ? quiet + 1 : 0;
  }
}
const post = (body: string, headers: Record<string, string> = {}) =>
  fetch(url, { method: "POST", body, headers });
const heard = () => desk.messages.map(({ text }) => text);

beforeEach(async () => {
  logged = "";
  standIn = await startStandIn({ clock: new SettableClock(START) });
  store = new MemoryStore();
  desk = new EchoDesk();
  ines = standIn.people.addUser({ name: "Ines" }).id;
  group = standIn.people.addGroup({ title: "Glasshouse", members: [ines] });
  url = `http://127.0.0.1:${await freePort()}/areole`;
  edge = await open(url);
  const { path, answer } = edge.webhook ?? { path: "", answer: () => {} };
  health = await serveHealth(Number(new URL(url).port), {}, { [path]: answer });
  await edge.start();
  standIn.people.addBot(group, ines);
  await settle();
});
afterEach(async () => {
  await edge.stop();
  await health.close();
  await standIn.close();
});

describe("updates brought to the webhook", () => {
  test("are stored before they are answered, in order within a chat", async () => {
    for (let number = 0; number < 20; number++) standIn.people.say(group, ines, `message ${number}`);
    await settle();
    expect(heard()).toEqual(Array.from({ length: 20 }, (_, number) => `message ${number}`));
    expect(standIn.world.counts.get("getUpdates")).toBeUndefined();
    expect(edge.healthy()).toBe(true);
  });

  test("come again until the store has taken them", async () => {
    let failures = 2;
    store.failing = () => failures-- > 0;
    standIn.people.say(group, ines, "watered the aloes by moonlight");
    await settle();
    expect(heard()).toEqual(["watered the aloes by moonlight"]);
    expect(standIn.courier.refusals).toBe(2);
    expect(logged).toContain("an update could not be stored");
    expect(logged).not.toContain("moonlight");
  });

  test("hold up nobody when the store never takes one", async () => {
    store.failing = (update) => JSON.stringify(update.body).includes("poison");
    standIn.people.say(group, ines, "poison");
    standIn.people.say(group, ines, "fine");
    await settle();
    expect(heard()).toEqual(["fine"]);
  });

  test("are taken from nobody else", async () => {
    const secret = { "x-telegram-bot-api-secret-token": secretOf(standIn.token) };
    const update = JSON.stringify({ update_id: 9_999 });
    expect((await post(update)).status).toBe(401);
    expect((await post(update, { "x-telegram-bot-api-secret-token": "guess" })).status).toBe(401);
    expect((await post("{", secret)).status).toBe(400);
    expect((await post("null", secret)).status).toBe(400);
    expect((await post(JSON.stringify({ update_id: 1, x: "y".repeat(1_100_000) }), secret)).status).toBe(400);
    expect((await fetch(url)).status).toBe(405);
    expect((await post(update, secret)).status).toBe(200);
  });
});

test("the start names the variable when the service does not take the address", async () => {
  const other = await open("http://bench.example/areole");
  await expect(other.start()).rejects.toThrow(MessengerError);
  await expect(other.start()).rejects.toThrow(/WEBHOOK_URL/);
});
