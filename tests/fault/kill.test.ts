import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { systemClock } from "../../bot/clock.js";
import { openStore } from "../../db/store.js";
import { freshDataDir, quietLog } from "../support/pglite.js";
import { freshDatabase } from "../support/postgres.js";
import { printed, startChild } from "./child.js";
import { FaultMessenger } from "./messenger.js";
import { randomFrom, runSeed } from "./random.js";

const MESSAGES = 300;
const CHATS = 5;

async function embedded() {
  const dataDir = await freshDataDir();
  return {
    args: ["dir", dataDir],
    open: () => openStore({ dataDir, clock: systemClock, log: quietLog }),
    drop: async () => rmSync(dataDir, { recursive: true, force: true }),
  };
}
async function server() {
  const { url, drop } = await freshDatabase();
  const open = () => openStore({ databaseUrl: url, dataDir: "", clock: systemClock, log: quietLog });
  return { args: ["url", url], open, drop };
}

describe.each([
  ["PGlite", embedded],
  ["PostgreSQL", server],
] as const)("a bot on %s that is killed again and again", (name, make) => {
  test(`logs each of ${MESSAGES} messages exactly once and answers each at least once`, async () => {
    const seed = runSeed();
    const random = randomFrom(seed);
    const ground = await make();
    const messenger = new FaultMessenger(MESSAGES, CHATS);
    const url = await messenger.listen();
    let kills = 0;
    for (let finished = false; !finished; ) {
      const child = startChild("bot-child.ts", [url, String(MESSAGES), ...ground.args]);
      // Killed some requests after its start, and a little later: anywhere between receiving, handling and sending.
      let requests = 15 + Math.floor(random() * 75);
      const delay = random() * 15;
      messenger.onRequest = () => {
        requests -= 1;
        if (requests === 0) setTimeout(() => child.process.kill("SIGKILL"), delay);
      };
      const { code, signal, err } = await child.ended;
      if (signal === "SIGKILL") kills += 1;
      else if (code === 0) finished = true;
      else throw new Error(`seed ${seed}: the bot ended with ${code}: ${err}`);
    }
    messenger.close();
    const store = await ground.open();
    const logged: (string | number | null)[] = [];
    for (let chat = 1; chat <= CHATS; chat += 1) {
      const household = (await store.inbox.householdOf(-chat)) ?? "";
      const entries = await store.households.within(household, (journal) => journal.entries({}));
      logged.push(...entries.map(({ messageId }) => messageId));
    }
    const twice = [...messenger.received.values()].filter((times) => times > 1).length;
    process.stdout.write(`  ${name}, seed ${seed}: ${kills} kills, ${twice} replies sent twice\n`);
    const all = Array.from({ length: MESSAGES }, (_, index) => index + 1);
    expect(logged.sort((a, b) => Number(a) - Number(b))).toEqual(all);
    expect([...messenger.received.keys()].sort()).toEqual(all.map((id) => `m${id}`).sort());
    expect(kills).toBeGreaterThan(2);
    await store.close();
    await ground.drop();
  }, 300_000);
});

describe("a second process on the same data directory", () => {
  test("is refused and told who has it", async () => {
    const dataDir = await freshDataDir();
    const store = await openStore({ dataDir, clock: systemClock, log: quietLog });
    const second = await startChild("hold-child.ts", [dataDir]).ended;
    expect(second.code).toBe(3);
    expect(second.out).toContain(`in use by process ${process.pid}`);
    await store.close();
    const third = startChild("hold-child.ts", [dataDir]);
    await printed(third, "open");
    third.process.kill("SIGTERM");
    expect((await third.ended).code).toBe(0);
    rmSync(dataDir, { recursive: true, force: true });
  });

  test("takes over the lock of one that was killed", async () => {
    const dataDir = await freshDataDir();
    const first = startChild("hold-child.ts", [dataDir]);
    await printed(first, "open");
    await expect(openStore({ dataDir, clock: systemClock, log: quietLog })).rejects.toMatchObject({
      name: "DataDirBusyError",
      holder: { pid: first.process.pid },
    });
    first.process.kill("SIGKILL");
    await first.ended;
    const store = await openStore({ dataDir, clock: systemClock, log: quietLog });
    expect(store.durable.ok).toBe(true);
    await store.close();
    rmSync(dataDir, { recursive: true, force: true });
  });

  test("finds half a database of a start that was killed, and makes a whole one", async () => {
    const dataDir = mkdtempSync(join(tmpdir(), "areole-half-"));
    const first = startChild("hold-child.ts", [dataDir]);
    await new Promise((resolve) => setTimeout(resolve, 2500));
    first.process.kill("SIGKILL");
    await first.ended;
    const store = await openStore({ dataDir, clock: systemClock, log: quietLog });
    expect(store.durable.ok).toBe(true);
    await store.close();
    rmSync(dataDir, { recursive: true, force: true });
  });
});
