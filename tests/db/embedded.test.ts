import { spawn } from "node:child_process";
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { SettableClock, systemClock } from "../../bot/clock.js";
import { createCluster } from "../../db/embedded/create.js";
import { birthOf, lockDir } from "../../db/embedded/lock.js";
import { openEmbedded, startParams } from "../../db/embedded/open.js";
import { openStore } from "../../db/store.js";
import { freshDataDir, openEmbeddedStore, quietLog } from "../support/pglite.js";
import { drain, update, watering } from "./examples.js";

const SINCE = "2027-01-15T08:00:00Z";

describe("the lock of a data directory", () => {
  let dir: string;
  const path = () => join(dir, "areole.lock");
  const written = (change: object) => {
    writeFileSync(
      path(),
      JSON.stringify({
        pid: process.pid,
        host: (JSON.parse(readFileSync(path(), "utf8")) as { host: string }).host,
        since: SINCE,
        birth: birthOf(process.pid),
        token: "another",
        ...change,
      }),
    );
  };
  beforeEach(() => {
    dir = mkdtempSync(join(tmpdir(), "areole-lock-"));
  });
  afterEach(() => rmSync(dir, { recursive: true, force: true }));

  test("names its holder to whoever comes second, and is free after release", async () => {
    const lock = await lockDir(dir, SINCE);
    await expect(lockDir(dir, SINCE)).rejects.toMatchObject({
      name: "DataDirBusyError",
      holder: { pid: process.pid, since: SINCE },
      message: expect.stringContaining(`in use by process ${process.pid}`),
    });
    lock.release();
    expect(readdirSync(dir)).toEqual([]);
    (await lockDir(dir, SINCE)).release();
  });

  test("of a process that is gone is taken over", async () => {
    const child = spawn(process.execPath, ["-e", ""]);
    await new Promise((resolve) => child.once("exit", resolve));
    const lock = await lockDir(dir, SINCE);
    written({ pid: child.pid });
    await expect(lockDir(dir, SINCE)).resolves.toBeDefined();
    lock.release();
  });

  test("spoilt by a power cut is taken over", async () => {
    writeFileSync(path(), "");
    (await lockDir(dir, SINCE)).release();
    expect(existsSync(path())).toBe(false);
  });

  test("of an earlier process whose number was given again is taken over", async () => {
    const lock = await lockDir(dir, SINCE);
    written({ birth: "another boot 42" });
    const taken = await lockDir(dir, SINCE);
    taken.release();
    lock.release();
  });

  test("of another machine holds while it beats, and is taken over when it does not", async () => {
    const lock = await lockDir(dir, SINCE);
    written({ host: "another-machine", token: "beating" });
    const beating = setInterval(() => writeFileSync(path(), readFileSync(path())), 300);
    await expect(lockDir(dir, SINCE)).rejects.toMatchObject({ holder: { host: "another-machine" } });
    clearInterval(beating);
    (await lockDir(dir, SINCE)).release();
    lock.release();
  });

  test("left by a dead process is taken over by exactly one of many", async () => {
    for (let round = 0; round < 10; round += 1) {
      const first = await lockDir(dir, SINCE);
      written({ birth: "another boot 42" });
      const takers = await Promise.allSettled(Array.from({ length: 8 }, () => lockDir(dir, SINCE)));
      const won = takers.filter((taker) => taker.status === "fulfilled");
      expect(won).toHaveLength(1);
      for (const taker of won) taker.value.release();
      first.release();
    }
  });
});

describe("the embedded database", () => {
  test("synchronises with the disk once a commit, and is called durable for it", async () => {
    const dataDir = await freshDataDir();
    const { engine, syncs } = await openEmbedded({ dataDir, pulse: systemClock });
    try {
      for (let round = 0; round < 5; round += 1) {
        const before = syncs();
        await engine.rows(`insert into meta (key, value) values ('round ${round}', '')`);
        expect(syncs() - before).toBe(1);
      }
      const before = syncs();
      await engine.rows(`select * from meta`);
      expect(syncs()).toBe(before);
      const settings = await engine.rows<{ name: string; setting: string }>(
        `select name, setting from pg_settings where name in ('fsync', 'wal_sync_method', 'full_page_writes', 'shared_buffers')
         order by 1`,
      );
      expect(settings).toEqual([
        { name: "fsync", setting: "on" },
        { name: "full_page_writes", setting: "on" },
        { name: "shared_buffers", setting: "2048" },
        { name: "wal_sync_method", setting: "fsync" },
      ]);
      expect(startParams()).not.toContain("-F");
    } finally {
      await engine.close();
      rmSync(dataDir, { recursive: true, force: true });
    }
  });

  test("is made beside its place and renamed; what an interrupted start left is cleared away", async () => {
    const seed = join(await freshDataDir(), "journal");
    const dir = mkdtempSync(join(tmpdir(), "areole-new-"));
    writeFileSync(join(dir, "journal.new-left-behind"), "");
    await createCluster(dir, seed);
    expect(readdirSync(dir)).toEqual(["journal"]);
    const made = statSync(join(dir, "journal", "PG_VERSION")).mtimeMs;
    await createCluster(dir, seed);
    expect(statSync(join(dir, "journal", "PG_VERSION")).mtimeMs).toBe(made);
    rmSync(dir, { recursive: true, force: true });
  });

  test("is made from nothing, and keeps what was written over a restart", async () => {
    const dataDir = join(mkdtempSync(join(tmpdir(), "areole-first-")), "data");
    const open = () => openStore({ dataDir, clock: systemClock, log: quietLog });
    const first = await open();
    expect(first.durable).toEqual({ ok: true, reason: null });
    await first.inbox.receive([update(1)]);
    await drain(first, async (_update, journal) => void (await journal.addEntry(watering())));
    await first.inbox.receive([update(2)]);
    await first.close();
    expect(existsSync(join(dataDir, "areole.lock"))).toBe(false);
    const second = await open();
    await drain(second, async ({ updateId }, journal) => {
      expect(updateId).toBe(2);
      expect(await journal.entries({})).toHaveLength(1);
    });
    await second.close();
    rmSync(dataDir, { recursive: true, force: true });
  });

  test("says what is wrong with a directory it cannot use", async () => {
    const dir = mkdtempSync(join(tmpdir(), "areole-file-"));
    const file = join(dir, "file");
    writeFileSync(file, "");
    const opening = openStore({ dataDir: file, clock: systemClock, log: quietLog });
    await expect(opening).rejects.toMatchObject({ name: "DataDirError", dataDir: file });
    rmSync(dir, { recursive: true, force: true });
  });
});

describe("statements prepared on the embedded database", () => {
  test.each([
    ["a quote", "it's; drop table meta; --"],
    ["a backslash", "C:\\'\\\\ \\n"],
    ["a dollar sign", "$1 $$ $body$"],
    ["no ASCII", "🌵 Kaktus, ß, 仙人掌"],
    ["nothing", ""],
  ])("take %s as it is, the first time and later", async (_what, text) => {
    const dataDir = await freshDataDir();
    const { engine } = await openEmbedded({ dataDir, pulse: systemClock });
    try {
      for (let time = 0; time < 4; time += 1) {
        const rows = await engine.rows(
          `select $1::text as text, $2::bigint as number, $3::boolean as yes, $4::float8 as share, $5::text as none`,
          [text, -1001234567890, true, 0.1, null],
        );
        expect(rows).toEqual([{ text, number: -1001234567890, yes: true, share: 0.1, none: null }]);
      }
    } finally {
      await engine.close();
      rmSync(dataDir, { recursive: true, force: true });
    }
  });

  test("go on after one of them failed, first or later", async () => {
    const dataDir = await freshDataDir();
    const { engine } = await openEmbedded({ dataDir, pulse: systemClock });
    const insert = (key: string) =>
      engine.rows(`insert into meta (key, value) values ($1, '') returning key`, [key]);
    try {
      await insert("a");
      for (let time = 0; time < 4; time += 1)
        await expect(insert("a")).rejects.toMatchObject({ sqlstate: "23505" });
      expect(await insert("b")).toEqual([{ key: "b" }]);
      await expect(insert("b")).rejects.toMatchObject({ sqlstate: "23505" });
      expect(await insert("c")).toEqual([{ key: "c" }]);
      for (let time = 0; time < 3; time += 1) {
        await expect(engine.rows(`select nothing from nowhere where 1 = $1`, [1])).rejects.toMatchObject({
          sqlstate: "42P01",
        });
      }
    } finally {
      await engine.close();
      rmSync(dataDir, { recursive: true, force: true });
    }
  });
});

describe("housekeeping", () => {
  test("removes finished messages after three days, keeps the journal", async () => {
    const pulse = new SettableClock(systemClock.now());
    const { store, end } = await openEmbeddedStore(systemClock, { pulse });
    try {
      await store.inbox.receive([update(1), update(2)]);
      await drain(store, async ({ chatId }, journal) => {
        await journal.addEntry(watering());
        await journal.say({ chatId, text: "logged" });
      });
      for (const item of await store.outbox.claim(10, pulse.now())) {
        await store.outbox.settle(item, { kind: "sent", messageId: 9 });
      }
      expect(await store.maintain()).toEqual({ removed: 0 });
      pulse.set(pulse.now().add({ hours: 71 }));
      expect(await store.maintain()).toEqual({ removed: 0 });
      pulse.set(pulse.now().add({ hours: 7 }));
      expect(await store.maintain()).toEqual({ removed: 3 });
      const household = (await store.inbox.householdOf(update(1).chatId)) ?? "";
      await store.households.within(household, async (journal) => {
        expect(await journal.entries({})).toHaveLength(2);
      });
      const [waiting] = await store.outbox.claim(10, pulse.now());
      expect(waiting?.message.text).toBe("logged");
    } finally {
      await end();
    }
  });

  test("keeps the care table as the files have it", async () => {
    const { store, end } = await openEmbeddedStore();
    try {
      const rows = [{ taxon: "Aloe", season: "winter", columns: { interval_days: "21-42" } }];
      expect(await store.careRules.load("one", rows)).toBe(true);
      expect(await store.careRules.load("one", [])).toBe(false);
      expect(await store.careRules.all()).toEqual(rows);
      expect(await store.careRules.load("two", [])).toBe(true);
      expect(await store.careRules.all()).toEqual([]);
    } finally {
      await end();
    }
  });
});
