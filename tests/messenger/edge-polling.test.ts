import { pino } from "pino";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { createBotEdge } from "../../bot/messenger/edge.js";
import { MessengerError } from "../../bot/messenger/errors.js";
import { type EdgeScene, openScene } from "../support/edge-scene.js";

let world: EdgeScene["world"];
let joined: EdgeScene["joined"];
let say: EdgeScene["say"];
let last: EdgeScene["last"];

beforeEach(async () => {
  ({ world, joined, say, last } = await openScene());
});
afterEach(() => world.close());

describe("polling", () => {
  test("asks for the next offset only after the updates are stored", async () => {
    await joined();
    let refuse = true;
    world.store.failing = () => refuse;
    say("watered the aloes");
    await new Promise((resolve) => setTimeout(resolve, 60));
    expect(world.standIn.world.updates.pending).toBe(1);
    refuse = false;
    await world.settle();
    expect(last()?.text).toBe("watered the aloes");
  });

  test("waits as told, and goes on after the service was away", async () => {
    await joined();
    world.standIn.faults.plan({ kind: "retry_after", seconds: 1, method: "getUpdates" });
    world.standIn.faults.plan({
      kind: "status",
      code: 502,
      description: "Bad Gateway",
      method: "getUpdates",
    });
    say("watered the aloes");
    say("watered the gasterias");
    await world.settle();
    expect(world.desk.messages).toHaveLength(2);
    expect(world.edge.healthy()).toBe(true);
  });

  test("passes over the one update that the store never takes", { timeout: 20_000 }, async () => {
    await joined();
    let failures = 0;
    world.store.failing = (update) => {
      const poison = JSON.stringify(update.body).includes("poison");
      if (poison) failures += 1;
      return poison;
    };
    say("poison");
    say("watered the aloes");
    await world.settle();
    expect(world.desk.messages.map(({ text }) => text)).toEqual(["watered the aloes"]);
    expect(failures).toBe(5);
  });

  test("loses nothing while the store is away", { timeout: 20_000 }, async () => {
    await joined();
    let away = true;
    world.store.failing = () => away;
    world.store.backlog = () => Promise.reject(new Error("the store is away"));
    say("watered the aloes");
    await new Promise((resolve) => setTimeout(resolve, 8_000));
    expect(world.standIn.world.updates.pending).toBe(1);
    away = false;
    await world.settle();
    expect(world.desk.messages.map(({ text }) => text)).toEqual(["watered the aloes"]);
  });

  test("handles an update once that the service gives twice", async () => {
    await joined();
    say("watered the aloes");
    await world.settle();
    await world.store.receive(world.store.stored);
    await world.settle();
    expect(world.desk.messages).toHaveLength(1);
  });

  test("stops at once in the middle of a poll and confirms what is stored", async () => {
    await joined();
    say("watered the aloes");
    await world.settle();
    await world.edge.stop();
    expect(world.standIn.world.updates.polled).toBe(false);
    expect(world.standIn.world.updates.pending).toBe(0);
    say("watered the gasterias");
    expect(world.standIn.world.updates.pending).toBe(1);
  });

  test("names the variable when the token is refused", async () => {
    const options = {
      inbox: world.store,
      households: world.store,
      desk: world.desk,
      clock: world.clock,
      zone: "UTC",
    };
    const log = pino({ level: "silent" });
    const call = createBotEdge({ ...options, log, token: "1234567:wrong", apiRoot: world.standIn.url });
    await expect(call).rejects.toThrow(MessengerError);
    await expect(call).rejects.toThrow(/BOT_TOKEN/);
  });
});

test("what the desk throws reaches the inbox, which tries again", async () => {
  await joined();
  world.desk.message = async () => {
    throw new Error("the desk broke");
  };
  say("watered the aloes");
  await expect(world.settle()).rejects.toThrow("the desk broke");
});
