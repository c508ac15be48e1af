import { describe, expect, test } from "vitest";
import { type HourResult, runHour } from "./hour.js";

/** The published 30 a second, six times over, on both sides: what is tested is that each chat is told once. */
const LIMITS = { perSecond: 180, chatBurst: 3, groupPerMinute: 20 };
const FAULTS = { tooMany: 0.04, error: 0.04, dropBefore: 0.03, dropAfter: 0.03 };

const doubled = (result: HourResult): number[] =>
  [...result.perChat].filter(([, count]) => count > 1).map(([chatId]) => chatId);
const missed = (result: HourResult): number[] =>
  [...result.perChat].filter(([, count]) => count === 0).map(([chatId]) => chatId);

describe("400 chats due in the same hour, two processes, a service that fails at random", () => {
  test("each chat is told exactly once, twice only where the service never answered", async () => {
    const result = await runHour({
      chats: 400,
      limits: LIMITS,
      faults: FAULTS,
      processes: 2,
      timeoutSeconds: 100,
    });
    expect(missed(result)).toEqual([]);
    expect(doubled(result).filter((chatId) => !result.unanswered.has(chatId))).toEqual([]);
    // The test bites: everything that can go wrong did.
    expect(Object.values(result.faults).every((count) => count > 0)).toBe(true);
    expect(result.unanswered.size).toBeGreaterThan(0);
  }, 150_000);

  test("both processes killed in the middle, and started again later: nothing is lost", async () => {
    const result = await runHour({
      chats: 200,
      limits: LIMITS,
      faults: { tooMany: 0, error: 0, dropBefore: 0, dropAfter: 0 },
      processes: 2,
      at: {
        messages: 60,
        act: (workers, respawn) => {
          for (const worker of workers) worker.kill("SIGKILL");
          // Late enough that what they held is free again.
          respawn(150);
        },
      },
      timeoutSeconds: 100,
    });
    expect(missed(result)).toEqual([]);
    // At most what was under way when they went: its answers were never taken in.
    expect(doubled(result).length).toBeLessThanOrEqual(64);
  }, 150_000);
});
