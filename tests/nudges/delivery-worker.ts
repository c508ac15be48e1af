import { Api } from "grammy";
import { pino } from "pino";
import { Temporal } from "temporal-polyfill";
import { SettableClock, systemClock } from "../../bot/clock.js";
import type { SendLimits } from "../../bot/messenger/delivery/limits.js";
import { runSender } from "../../bot/messenger/delivery/sender.js";
import { englishVoice } from "../../bot/messenger/replies/en/voice.js";
import { createSender } from "../../bot/messenger/sender.js";
import { Nudging } from "../../bot/nudges/nudging.js";
import { openStore } from "../../db/store.js";
import { KNOWLEDGE, TASKS } from "./collection.js";

/** One of several processes that nudge and send on the same PostgreSQL; a program of its own for test and bench. */
export interface WorkerOrder {
  databaseUrl: string;
  apiRoot: string;
  token: string;
  /** Where the journal's clock stands. */
  now: string;
  limits: SendLimits;
  /** Seconds by which its clock for leases is ahead: as if it had come so much later. */
  later: number;
}

const order = JSON.parse(process.env.WORKER_ORDER ?? "") as WorkerOrder;
const clock = new SettableClock(Temporal.Instant.from(order.now));
const log = pino({ level: "silent" });
const pulse = { now: () => systemClock.now().add({ seconds: order.later }) };
const store = await openStore({ databaseUrl: order.databaseUrl, dataDir: "", clock, log, pulse });
const ending = new AbortController();
process.on("SIGTERM", () => ending.abort());
const nudging = new Nudging({
  queue: store.nudges,
  households: store.households,
  clock,
  log,
  workers: store.width,
  knowledge: KNOWLEDGE,
  tasks: TASKS,
  voice: englishVoice(KNOWLEDGE.cautions),
  fallbackZone: "UTC",
});
const sending = runSender({
  outbox: store.outbox,
  send: createSender(new Api(order.token, { apiRoot: order.apiRoot }), log),
  signal: ending.signal,
  log,
  limits: order.limits,
  pulse,
});
process.send?.("ready");
let planned = false;
while (!ending.signal.aborted) {
  await nudging.tick();
  if (!planned) process.send?.("planned");
  planned = true;
  await new Promise((resolve) => setTimeout(resolve, 200));
}
await sending;
await store.close();
process.exit(0);
