import { runHour } from "../nudges/hour.js";
import { beginRun, endRun } from "../support/postgres.js";
import type { Row } from "./row.js";

/**
 * All chats due in the same hour, two processes on one PostgreSQL, the stand-in holding the bot to the limits and
 * failing at random. The published 30 messages a second would take 20,000 chats eleven minutes: sender and stand-in
 * are given the same limit SCALE times as high, so that the run tests the same code against the same rule in less
 * time. A second run without faults and at the published limit itself shows the rate that is held there.
 */
const CHATS = Number(process.env.BENCH_CHATS ?? 20_000);
const SCALE = Number(process.env.BENCH_SCALE ?? 3);
const PUBLISHED = 30;
const FAULTS = { tooMany: 0.01, error: 0.01, dropBefore: 0.005, dropAfter: 0.005 };
const NO_FAULTS = { tooMany: 0, error: 0, dropBefore: 0, dropAfter: 0 };

const limits = (perSecond: number) => ({ perSecond, chatBurst: 3, groupPerMinute: 20 });
const thousands = (value: number): string => Math.round(value).toLocaleString("en");

export async function benchDelivery(): Promise<Row[]> {
  const dir = beginRun();
  try {
    return [...(await atTheLimit()), ...(await theHour())];
  } finally {
    endRun(dir);
  }
}

async function atTheLimit(): Promise<Row[]> {
  const chats = 1_200;
  const result = await runHour({
    chats,
    limits: limits(PUBLISHED),
    faults: NO_FAULTS,
    processes: 2,
    timeoutSeconds: 200,
  });
  const rate = result.callsPerSecond;
  return [
    {
      name: `${thousands(chats)} chats at the published ${PUBLISHED}/s`,
      figure: `${rate.toFixed(1)} calls/s`,
      beside: `allowed ${PUBLISHED}/s: ${(rate / PUBLISHED).toFixed(3)}`,
      note: `${thousands(result.seconds)} s; ${result.violations} refused as too fast`,
    },
  ];
}

async function theHour(): Promise<Row[]> {
  const perSecond = PUBLISHED * SCALE;
  const result = await runHour({
    chats: CHATS,
    limits: limits(perSecond),
    faults: FAULTS,
    processes: 2,
    timeoutSeconds: (CHATS / perSecond) * 6 + 120,
  });
  const counts = [...result.perChat];
  const missing = counts.filter(([, count]) => count === 0).length;
  const doubled = counts.filter(([, count]) => count > 1);
  const unexplained = doubled.filter(([chatId]) => !result.unanswered.has(chatId)).length;
  // Calls that failed took their share of the limit too.
  const rate = result.callsPerSecond;
  return [
    {
      name: `${thousands(CHATS)} chats due in one hour, limit ${perSecond}/s (${SCALE} times the published)`,
      figure: `${thousands(result.seconds)} s`,
      beside: `${rate.toFixed(1)} calls/s of ${perSecond} allowed: ${(rate / perSecond).toFixed(3)}`,
      note: `at the published limit ${Math.round(CHATS / PUBLISHED / 60)} min`,
    },
    {
      name: "  chats told exactly once",
      figure: thousands(CHATS - missing - doubled.length),
      note: `never ${missing}; twice ${doubled.length}, of these ${unexplained} without a lost answer`,
    },
    {
      name: "  what went wrong on purpose",
      figure: `${thousands(Object.values(result.faults).reduce((sum, count) => sum + count, 0))} calls`,
      note: `429 ${result.faults.tooMany}, 500 ${result.faults.error}, dropped before ${result.faults.dropBefore}, after ${result.faults.dropAfter}; refused as too fast ${result.violations}`,
    },
    {
      name: "  mornings planned and put into the outbox",
      figure:
        result.plannedSeconds === null
          ? "not finished"
          : `${thousands(CHATS / result.plannedSeconds)} households/s`,
      note: "two processes, beside the sending",
    },
  ];
}
