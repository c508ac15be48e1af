import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { ChatPaces, Pace, PUBLIC_LIMITS } from "../../../bot/messenger/delivery/limits.js";
import { backOffSeconds } from "../../../bot/messenger/delivery/pause.js";

/** The most messages in any half-open window of that length. */
function busiest(times: readonly number[], windowMs: number): number {
  return Math.max(
    0,
    ...times.map((start) => times.filter((at) => at >= start && at < start + windowMs).length),
  );
}

describe("the pace over all chats", () => {
  test("is never above the limit in any second, whenever messages come, and close to it when many wait", () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 400 }), { minLength: 50, maxLength: 200 }), (pauses) => {
        const pace = new Pace(30);
        const sent: number[] = [];
        let now = 0;
        for (const pauseMs of pauses) {
          now = pace.next(now + pauseMs);
          pace.took(now);
          sent.push(now);
        }
        expect(busiest(sent, 1000)).toBeLessThanOrEqual(30);
      }),
    );
    const pace = new Pace(30);
    let now = 0;
    for (let message = 0; message < 3000; message += 1) {
      now = pace.next(now);
      pace.took(now);
    }
    expect(3000 / (now / 1000)).toBeGreaterThan(30 * 0.95);
  });

  test("lets a single message out at once", () => {
    expect(new Pace(30).next(5000)).toBe(5000);
  });
});

describe("the pace of one chat", () => {
  const send = (chatId: number, count: number) => {
    const paces = new ChatPaces(PUBLIC_LIMITS);
    const sent: number[] = [];
    let next = 0;
    for (let message = 0; message < count; message += 1) {
      sent.push(next);
      next = paces.took(chatId, next);
    }
    return sent;
  };

  test("is three at once and then one a second for a person", () => {
    expect(send(7, 6)).toEqual([0, 0, 0, 1000, 2000, 3000]);
  });

  test("is at most twenty in any minute for a group", () => {
    const sent = send(-7, 70);
    expect(busiest(sent, 60_000)).toBe(20);
    expect((sent.at(-1) ?? 0) / 60_000).toBeLessThan(3.2);
  });

  test("of one chat says nothing about another", () => {
    const paces = new ChatPaces(PUBLIC_LIMITS);
    for (let message = 0; message < 20; message += 1) paces.took(-1, 0);
    expect(paces.took(-1, 0)).toBeGreaterThan(60_000);
    expect(paces.took(-2, 0)).toBe(0);
  });
});

describe("the wait before another attempt", () => {
  test.each([
    [1, 1],
    [2, 2],
    [5, 16],
    [12, 300],
    [50, 300],
  ])("after attempt %i is %i s, give or take a tenth", (attempts, seconds) => {
    expect(backOffSeconds(attempts, () => 0.5)).toBeCloseTo(seconds, 5);
    expect(backOffSeconds(attempts, () => 0)).toBeCloseTo(seconds * 0.9, 5);
    expect(backOffSeconds(attempts, () => 1)).toBeCloseTo(seconds * 1.1, 5);
  });
});
