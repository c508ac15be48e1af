import { type ChildProcess, fork } from "node:child_process";
import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";
import { Temporal } from "temporal-polyfill";
import { SettableClock } from "../../bot/clock.js";
import type { SendLimits } from "../../bot/messenger/delivery/limits.js";
import type { Fault } from "../../bot/messenger/stand-in/faults.js";
import { type StandIn, startStandIn } from "../../bot/messenger/stand-in/stand-in.js";
import { ensureMorning } from "../../bot/nudges/nudging.js";
import { openStore } from "../../db/store.js";
import { quietLog } from "../support/pglite.js";
import { freshDatabase } from "../support/postgres.js";
import { addHolding } from "./club.js";
import type { WorkerOrder } from "./delivery-worker.js";

/** Many chats due in the same hour, two processes on one PostgreSQL, and a service that fails at random. */

export interface HourOptions {
  chats: number;
  limits: SendLimits;
  /** How often each thing goes wrong, of all calls. */
  faults: { tooMany: number; error: number; dropBefore: number; dropAfter: number };
  processes: number;
  /** Called after so many messages came through, once: to kill a process, say. */
  at?: { messages: number; act: (workers: ChildProcess[], respawn: (later: number) => void) => void };
  timeoutSeconds: number;
}

export interface HourResult {
  /** Messages that reached each chat. */
  perChat: Map<number, number>;
  /** Chats in which a message was sent whose answer never arrived. */
  unanswered: Set<number>;
  faults: Record<keyof HourOptions["faults"], number>;
  /** Sends the stand-in refused for being too fast, faults left out. */
  violations: number;
  /** From the first message to the last, in seconds, and how many came in that time. */
  seconds: number;
  messages: number;
  /** Calls a second, failed ones too, from the 20th part of the messages to the last but so many. */
  callsPerSecond: number;
  /** Until every reminder was handled, in seconds. */
  plannedSeconds: number | null;
  seedSeconds: number;
}

const SEEDED = "2027-01-14T08:00:00Z";
const DUE = "2027-01-15T08:00:00Z";
const FIRST_USER = 100_000;

export async function runHour(options: HourOptions): Promise<HourResult> {
  const { url, drop } = await freshDatabase();
  const real = { now: () => Temporal.Now.instant() };
  const standIn = await startStandIn({
    clock: real,
    limits: { overall: options.limits.perSecond, chatSeconds: 1, groupMinute: 20 },
    keepMessages: 5,
  });
  try {
    const began = performance.now();
    const chats = await seed(url, standIn, options.chats);
    const seedSeconds = (performance.now() - began) / 1000;
    return { ...(await run(url, standIn, chats, options)), seedSeconds };
  } finally {
    await standIn.close();
    await drop();
  }
}

/** Households whose morning is due in the same hour, each with one plant never watered, which is worth a question. */
async function seed(url: string, standIn: StandIn, count: number): Promise<number[]> {
  const clock = new SettableClock(Temporal.Instant.from(SEEDED));
  const store = await openStore({ databaseUrl: url, dataDir: "", clock, log: quietLog });
  const chats = Array.from({ length: count }, (_, index) => FIRST_USER + index);
  for (const id of chats) {
    standIn.people.addUser({ id, name: `Keeper ${id}` });
    standIn.people.startPrivate(id);
  }
  standIn.world.sent.length = 0;
  for (let from = 0; from < count; from += 200) {
    await store.inbox.receive(
      chats.slice(from, from + 200).map((chatId) => ({
        updateId: 1,
        chatId,
        chatKind: "private",
        chatTitle: null,
        body: {},
      })),
    );
  }
  // What came in is dealt with: only the outbox is the point here.
  const left = [...chats];
  const furnish = async () => {
    for (let chatId = left.pop(); chatId !== undefined; chatId = left.pop()) {
      const household = (await store.inbox.householdOf(chatId)) as string;
      await store.households.within(household, async (here) => {
        const minute = String(chatId % 60).padStart(2, "0");
        await here.updateHousehold({ reminderTime: `07:${minute}` });
        await addHolding(here, "Aloe", null);
        await ensureMorning(here, clock.now(), "UTC");
      });
    }
  };
  await Promise.all(Array.from({ length: 8 }, furnish));
  await store.close();
  return chats;
}

async function run(
  url: string,
  standIn: StandIn,
  chats: number[],
  options: HourOptions,
): Promise<Omit<HourResult, "seedSeconds">> {
  const perChat = new Map<number, number>(chats.map((chatId) => [chatId, 0]));
  const unanswered = new Set<number>();
  const counts = { tooMany: 0, error: 0, dropBefore: 0, dropAfter: 0 };
  const arrived: number[] = [];
  const called: number[] = [];
  const random = seededRandom(20_270_115);
  standIn.faults.take = (method, chatId) => {
    if (method !== "sendMessage" || chatId === undefined) return null;
    called.push(performance.now());
    const fault = chosen(random(), options.faults);
    if (fault === null) return null;
    counts[fault.name] += 1;
    if (fault.name === "dropAfter") unanswered.add(chatId);
    return fault.fault;
  };
  const order: WorkerOrder = {
    databaseUrl: url,
    apiRoot: standIn.url,
    token: standIn.token,
    now: DUE,
    limits: options.limits,
    later: 0,
  };
  const workers: ChildProcess[] = [];
  const began = performance.now();
  let planned = 0;
  let plannedAt: number | null = null;
  const spawn = (later = 0) => {
    const child = fork(join(import.meta.dirname, "delivery-worker.ts"), {
      execArgv: ["--import", "tsx"],
      env: { ...process.env, WORKER_ORDER: JSON.stringify({ ...order, later }) },
      stdio: ["ignore", "inherit", "inherit", "ipc"],
    });
    child.on("message", (text) => {
      if (text !== "planned") return;
      planned += 1;
      if (planned === options.processes) plannedAt = performance.now();
    });
    workers.push(child);
  };
  let acted = false;
  standIn.world.onSent(({ method, chatId }) => {
    if (method !== "sendMessage") return;
    perChat.set(chatId, (perChat.get(chatId) ?? 0) + 1);
    arrived.push(performance.now());
    if (options.at && !acted && arrived.length >= options.at.messages) {
      acted = true;
      options.at.act(workers, spawn);
    }
  });
  for (let index = 0; index < options.processes; index++) spawn();
  try {
    const until = began + options.timeoutSeconds * 1000;
    const missing = () => [...perChat.values()].filter((count) => count === 0).length;
    while (missing() > 0 && performance.now() < until) await sleep(100);
    // A double would come now.
    await sleep(2_500);
  } finally {
    await Promise.all(workers.map(ended));
  }
  return {
    perChat,
    unanswered,
    faults: counts,
    violations: standIn.limits?.violations ?? 0,
    seconds: ((arrived.at(-1) ?? 0) - (arrived[0] ?? 0)) / 1000,
    messages: arrived.length,
    callsPerSecond: held(arrived, called),
    plannedSeconds: plannedAt === null ? null : (plannedAt - began) / 1000,
  };
}

/** The beginning, when nothing is planned yet, and the end, when only what failed is left, say nothing of the rate. */
function held(arrived: readonly number[], called: readonly number[]): number {
  const edge = Math.floor(arrived.length / 20);
  const from = arrived[edge] ?? 0;
  const to = arrived[arrived.length - 1 - edge] ?? 0;
  const calls = called.filter((at) => at >= from && at < to).length;
  return to > from ? (calls * 1000) / (to - from) : 0;
}

async function ended(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const gone = new Promise<void>((resolve) => child.once("exit", () => resolve()));
  child.kill("SIGTERM");
  const forced = setTimeout(() => child.kill("SIGKILL"), 10_000);
  await gone;
  clearTimeout(forced);
}

type FaultName = keyof HourOptions["faults"];

function chosen(roll: number, shares: HourOptions["faults"]): { name: FaultName; fault: Fault } | null {
  const faults: readonly [FaultName, Fault][] = [
    ["tooMany", { kind: "retry_after", seconds: 1 }],
    ["error", { kind: "status", code: 500, description: "Internal Server Error" }],
    ["dropBefore", { kind: "drop", when: "before" }],
    ["dropAfter", { kind: "drop", when: "after" }],
  ];
  let upTo = 0;
  for (const [name, fault] of faults) {
    upTo += shares[name];
    if (roll < upTo) return { name, fault };
  }
  return null;
}

/** Mulberry32: the same faults in every run. */
function seededRandom(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}
