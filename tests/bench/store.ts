import { execFileSync, spawn } from "node:child_process";
import { closeSync, fsyncSync, mkdtempSync, openSync, rmSync, writeFileSync, writeSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import postgres from "postgres";
import { systemClock } from "../../bot/clock.js";
import type { JournalStore } from "../../bot/journal/ports.js";
import type { IncomingUpdate } from "../../bot/messenger/ports.js";
import { openStore, type Store } from "../../db/store.js";
import { textOf, update, watering } from "../db/examples.js";
import { freshDataDir, quietLog } from "../support/pglite.js";
import { beginRun, endRun, freshDatabase } from "../support/postgres.js";
import type { Row } from "./row.js";

const ROUNDS = 3;
const SECONDS = 2;
const BUSY_CHATS = 8;
/** What one poll of the messenger brings at most. */
const POLL = 100;

let lastId = 0;
const next = (chat: number) => update(++lastId, chat);

/** What a plain log does: one entry, one reply. */
async function handle(incoming: IncomingUpdate, journal: JournalStore): Promise<void> {
  const { chatId, updateId: messageId } = incoming;
  await journal.addEntry(watering({ chatId, messageId, rawText: textOf(incoming) }));
  await journal.say({ chatId, text: "Aloe: watered, today", replyTo: messageId });
}

/** Runs `step` for two seconds; what it counted, per second. */
async function rate(step: () => Promise<number>): Promise<number> {
  const start = performance.now();
  let count = 0;
  while (performance.now() - start < SECONDS * 1000) count += await step();
  return count / ((performance.now() - start) / 1000);
}

/** One chat, a message at a time: stored, then handled, each with a commit of its own. */
const oneByOne = (store: Store, chat = -1) =>
  rate(async () => {
    await store.inbox.receive([next(chat)]);
    return store.inbox.work(handle);
  });

/** Several chats side by side, each a message at a time. */
async function sideBySide(store: Store): Promise<number> {
  const rates = await Promise.all(
    Array.from({ length: BUSY_CHATS }, (_, chat) => oneByOne(store, -10 - chat)),
  );
  return rates.reduce((sum, each) => sum + each, 0);
}

/** A full poll of a busy hour, then all of it handled by as many workers as serve. */
const fullPolls = (store: Store) =>
  rate(async () => {
    await store.inbox.receive(Array.from({ length: POLL }, (_, index) => next(-100 - (index % 20))));
    const worker = async (): Promise<number> => {
      let done = 0;
      for (;;) {
        const finished = await store.inbox.work(handle);
        if (finished === 0) return done;
        done += finished;
      }
    };
    const workers = Math.min(store.width, BUSY_CHATS);
    return (await Promise.all(Array.from({ length: workers }, worker))).reduce((sum, each) => sum + each, 0);
  });

/** Writes of 8 KiB with `fsync`, the least any database has to do for a commit. */
function rawSyncs(dir: string): Promise<number> {
  const handleOfFile = openSync(join(dir, "raw"), "w");
  const page = Buffer.alloc(8192, 1);
  return rate(async () => {
    writeSync(handleOfFile, page, 0, page.length, 0);
    fsyncSync(handleOfFile);
    return 1;
  }).finally(() => closeSync(handleOfFile));
}

/** Single-row inserts by pgbench on the same server; null where it is not installed. */
async function pgbench(url: string, clients: number, script: string): Promise<number | null> {
  const { hostname, port, username, pathname } = new URL(url);
  const args = [
    "-n",
    "-f",
    script,
    "-c",
    String(clients),
    "-j",
    "2",
    "-T",
    String(SECONDS),
    "-M",
    "prepared",
  ];
  return new Promise((resolve) => {
    const child = spawn("pgbench", [...args, "-h", hostname, "-p", port, "-U", username, pathname.slice(1)]);
    let out = "";
    child.stdout.on("data", (chunk: Buffer) => {
      out += chunk.toString();
    });
    child.once("error", () => resolve(null));
    child.once("close", () => {
      const tps = /tps = ([\d.]+)/.exec(out);
      resolve(tps ? Number(tps[1]) : null);
    });
  });
}

const median = (values: readonly number[]) =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? 0;
const perSecond = (value: number, unit: string) => `${Math.round(value).toLocaleString("en-GB")} ${unit}/s`;

interface Measured {
  [what: string]: number[];
}
const note = (measured: Measured, what: string, value: number | null) => {
  if (value !== null) measured[what] = [...(measured[what] ?? []), value];
};

async function throughput(dataDir: string, url: string): Promise<Row[]> {
  const embedded = await openStore({ dataDir, clock: systemClock, log: quietLog });
  const server = await openStore({ databaseUrl: url, dataDir: "", clock: systemClock, log: quietLog });
  const sql = postgres(url, { max: 1 });
  await sql.unsafe(`create table bench_rows (id uuid primary key, body text not null)`);
  await sql.end();
  const script = join(dataDir, "insert.sql");
  writeFileSync(
    script,
    `insert into bench_rows values (gen_random_uuid(), 'watered the aloes in the long house');\n`,
  );
  const measured: Measured = {};
  for (let round = 0; round < ROUNDS; round += 1) {
    note(measured, "raw", await rawSyncs(dataDir));
    note(measured, "embedded, one by one", await oneByOne(embedded));
    note(measured, "embedded, polls", await fullPolls(embedded));
    note(measured, "pgbench 1", await pgbench(url, 1, script));
    note(measured, "server, one by one", await oneByOne(server));
    note(measured, "pgbench 8", await pgbench(url, BUSY_CHATS, script));
    note(measured, "server, side by side", await sideBySide(server));
    note(measured, "server, polls", await fullPolls(server));
  }
  await embedded.close();
  await server.close();
  const row = (name: string, what: string, beside: string, besideName: string): Row => {
    const figure = median(measured[what] ?? []);
    const other = measured[beside];
    return {
      name,
      figure: perSecond(figure, "messages"),
      beside: other
        ? `${besideName} ${perSecond(median(other), "commits")}: ${(figure / median(other)).toFixed(2)}`
        : "pgbench is not installed",
    };
  };
  const syncs = "8 KiB write and fsync";
  return [
    row("PGlite, one chat, one by one", "embedded, one by one", "raw", syncs),
    row(`PGlite, polls of ${POLL}`, "embedded, polls", "raw", syncs),
    row("PostgreSQL, one chat, one by one", "server, one by one", "pgbench 1", "pgbench, 1 client"),
    row(
      `PostgreSQL, ${BUSY_CHATS} chats side by side`,
      "server, side by side",
      "pgbench 8",
      "pgbench, 8 clients",
    ),
    row(`PostgreSQL, polls of ${POLL}`, "server, polls", "pgbench 8", "pgbench, 8 clients"),
  ].map((each, index) =>
    index === 0 ? { ...each, note: "a message takes two commits: stored, then handled" } : each,
  );
}

function reopening(dataDir: string): Row[] {
  const tsx = pathToFileURL(createRequire(import.meta.url).resolve("tsx")).href;
  const runs = Array.from({ length: ROUNDS }, () => {
    const script = join(import.meta.dirname, "reopen-child.ts");
    const said = execFileSync(process.execPath, ["--import", tsx, script, dataDir], { encoding: "utf8" });
    return JSON.parse(said) as { openMs: number; rssMb: number; peakMb: number | null };
  });
  const peak = Math.max(...runs.map(({ peakMb }) => peakMb ?? 0));
  return [
    { name: "PGlite, opened again", figure: `${median(runs.map(({ openMs }) => openMs))} ms` },
    {
      name: "PGlite, memory once open",
      figure: `${median(runs.map(({ rssMb }) => rssMb))} MB`,
      note: peak > 0 ? `${peak} MB at most; Node and tsx included` : "Node and tsx included",
    },
  ];
}

/** Durable messages a second through receiving and handling, beside what the disk and pgbench do in the same minutes. */
export async function benchStore(): Promise<Row[]> {
  const run = beginRun();
  const dataDir = await freshDataDir();
  const first = mkdtempSync(join(tmpdir(), "areole-first-"));
  try {
    const start = performance.now();
    await (await openStore({ dataDir: first, clock: systemClock, log: quietLog })).close();
    const firstMs = Math.round(performance.now() - start);
    const { url, drop } = await freshDatabase();
    const rows = await throughput(dataDir, url);
    await drop();
    return [...rows, { name: "PGlite, first start", figure: `${firstMs} ms` }, ...reopening(dataDir)];
  } finally {
    for (const dir of [dataDir, first]) rmSync(dir, { recursive: true, force: true });
    endRun(run);
  }
}
