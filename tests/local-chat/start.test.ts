import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import { rmSync } from "node:fs";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { systemClock } from "../../bot/clock.js";
import { startStandIn } from "../../bot/messenger/stand-in/stand-in.js";
import { freshDataDir } from "../support/pglite.js";

// Each test starts the whole program several times.
vi.setConfig({ testTimeout: 240_000 });

const ROOT = join(import.meta.dirname, "../..");
const NOW = ["--now", "2027-01-15T09:00", "--zone", "Europe/Warsaw"];
let dataDir: string;
const children: ChildProcess[] = [];

interface Ended {
  code: number | null;
  out: string;
  err: string;
}

/** The program as `npm start` runs it, without what this test's own environment would add. */
function start(args: string[], env: Record<string, string> = {}) {
  const child = spawn(process.execPath, ["--import", "tsx", "bot/main.ts", ...args], {
    cwd: ROOT,
    env: { PATH: process.env.PATH, HOME: process.env.HOME, DATA_DIR: dataDir, ...env },
  });
  children.push(child);
  let out = "";
  let err = "";
  child.stdout.on("data", (chunk) => {
    out += String(chunk);
  });
  child.stderr.on("data", (chunk) => {
    err += String(chunk);
  });
  const ended = new Promise<Ended>((resolve) => child.on("close", (code) => resolve({ code, out, err })));
  return { child, ended, out: () => out };
}
function script(lines: string[], ...options: string[]): Promise<Ended> {
  const { child, ended } = start(["--data", dataDir, ...NOW, ...options]);
  child.stdin.end(lines.map((line) => `${line}\n`).join(""));
  return ended;
}
/** Waits for it while the program runs; its end before that fails the test, with what it said. */
async function until(condition: () => boolean, run: ReturnType<typeof start>): Promise<void> {
  let end: Ended | null = null;
  void run.ended.then((ended) => {
    end = ended;
  });
  while (!condition()) {
    if (end !== null) expect.fail(`it ended too soon: ${JSON.stringify(end)}`);
    await sleep(20);
  }
}

async function freePort(): Promise<number> {
  const server = createServer().listen(0, "127.0.0.1");
  await once(server, "listening");
  const { port } = server.address() as AddressInfo;
  server.close();
  await once(server, "close");
  return port;
}

beforeEach(async () => {
  dataDir = await freshDataDir();
});
afterEach(() => {
  for (const child of children.splice(0)) child.kill("SIGKILL");
  rmSync(dataDir, { recursive: true, force: true });
});

describe("without a token", () => {
  test("the local chat logs, undoes and remembers over a restart", async () => {
    const first = await script(
      ["watered the aloes", "lovely weather today", "watered the gasterias", "/press Undo"],
      "--as",
      "Ines",
    );
    expect(first).toMatchObject({ code: 0, err: "" });
    expect(first.out).toMatch(/^BOT_TOKEN is not set: .*\nAreole: /);
    expect(first.out).toMatch(/Areole: Aloe.*watered, today\.\n {2}\[1\] Undo/);
    expect(first.out).not.toContain("weather");
    expect(first.out).toMatch(/Undone: Gasteria/);

    const second = await script(
      ["@areole when did we last water the aloes?", "@areole when did we last water the gasterias?"],
      "--as",
      "Tomasz",
    );
    expect(second.code).toBe(0);
    const [opening, aloes, gasterias, ...more] = second.out.trimEnd().split("\n");
    expect(opening).toContain("local chat");
    expect(aloes).toMatch(/^Areole: Aloe.*Ines/);
    expect(gasterias).toMatch(/^Areole: /);
    expect(gasterias).not.toContain("Ines");
    expect(more).toEqual([]);
  });

  test("SIGTERM ends it as the end of the input does", async () => {
    const run = start(["--data", dataDir, ...NOW]);
    run.child.stdin.write("watered the aloes\n");
    await until(() => run.out().includes("Aloe:"), run);
    run.child.kill("SIGTERM");
    expect((await run.ended).code).toBe(0);
    const again = await script(["@areole when did we last water the aloes?"]);
    expect(again.out).toMatch(/Areole: Aloe/);
  });

  test("a second one on the same journal is refused, naming the first", async () => {
    const run = start(["--data", dataDir, ...NOW]);
    run.child.stdin.write("watered the aloes\n");
    await until(() => run.out().includes("Aloe:"), run);
    const second = await script(["watered the gasterias"]);
    expect(second.code).toBe(1);
    expect(second.err).toContain(String(run.child.pid));
    expect(second.err).not.toContain(" at ");
  });
});

describe("with a token", () => {
  test("works at the messenger, stops at SIGTERM and goes on where it was", async () => {
    const standIn = await startStandIn({ clock: systemClock });
    const { people, world } = standIn;
    const port = await freePort();
    const env = {
      BOT_TOKEN: standIn.token,
      BOT_API_ROOT: standIn.url,
      PORT: String(port),
      TIME_ZONE: "Europe/Warsaw",
    };

    const first = start([], env);
    await until(() => world.updates.polled, first);
    const health = await fetch(`http://127.0.0.1:${port}/healthz`);
    expect([health.status, await health.json()]).toMatchObject([200, { ok: true }]);
    const ines = people.addUser({ name: "Ines" }).id;
    const group = people.addGroup({ title: "Glasshouse", members: [ines], admins: [ines] });
    people.addBot(group, ines);
    people.say(group, ines, "watered the aloes");
    await until(() => world.sent.some(({ text }) => text.includes("Aloe:")), first);
    people.say(group, ines, "watered the gasterias");
    first.child.kill("SIGTERM");
    const ended = await first.ended;
    expect(ended.code).toBe(0);
    expect(ended.out).toContain('"at work"');
    expect(ended.out).toContain('"stopped"');
    expect(ended.out + ended.err).not.toMatch(/aloes|gasterias|stand-in/);

    const second = start([], env);
    await until(() => world.sent.some(({ text }) => text.includes("Gasteria")), second);
    people.say(group, ines, "@areole when did we last water the aloes?");
    await until(() => world.sent.some(({ text }) => /Aloe.*by Ines/.test(text)), second);
    expect(world.sent.filter(({ text }) => text.includes("Gasteria:"))).toHaveLength(1);
    second.child.kill("SIGINT");
    expect((await second.ended).code).toBe(0);
    await standIn.close();
  });

  test("has updates brought to its address where one is given", async () => {
    const standIn = await startStandIn({ clock: systemClock });
    const { people, world } = standIn;
    const port = await freePort();
    const env = { BOT_TOKEN: standIn.token, BOT_API_ROOT: standIn.url, PORT: String(port) };
    const run = start([], { ...env, WEBHOOK_URL: `http://127.0.0.1:${port}/areole` });
    await until(() => run.out().includes("at work"), run);
    const ines = people.addUser({ name: "Ines" }).id;
    people.startPrivate(ines);
    people.say(ines, ines, "watered the aloes");
    await until(() => world.sent.some(({ text }) => text.includes("Aloe:")), run);
    expect(world.counts.get("getUpdates")).toBeUndefined();
    run.child.kill("SIGTERM");
    expect((await run.ended).code).toBe(0);
    await standIn.close();
  });

  test("a refused token ends the start with one sentence", async () => {
    const standIn = await startStandIn({ clock: systemClock });
    const { ended } = start([], { BOT_TOKEN: "1234567:of-nobody", BOT_API_ROOT: standIn.url });
    const { code, err } = await ended;
    expect(code).toBe(1);
    expect(err.trim().split("\n")).toHaveLength(1);
    expect(err).toContain("BOT_TOKEN must be");
    expect(err).not.toContain("of-nobody");
    await standIn.close();
  });
});

test("a wrong setting ends the start with its name and what it should be", async () => {
  const { child, ended } = start([], { PORT: "eighty", LOG_LEVEL: "loud" });
  child.stdin?.end();
  expect(await ended).toMatchObject({
    code: 1,
    out: "",
    err: expect.stringMatching(/^PORT must be .*\nLOG_LEVEL must be one of .*\n$/),
  });
});
