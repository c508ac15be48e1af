import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { Interpretation } from "../../bot/language/interpretation.js";
import { openEmbeddedStore, type TestStore } from "../support/pglite.js";
import { ALOE, clock, Glasshouse, later, watered } from "./glasshouse.js";

let ground: TestStore;
beforeAll(async () => {
  ground = await openEmbeddedStore(clock);
});
afterAll(() => ground.end());

const UNCLEAR: Interpretation = { kind: "unclear", missing: ["subject"], partial: { act: "water" } };
const NONE: Interpretation = { kind: "none" };
const COMPLETE: Interpretation = { kind: "log", entries: [watered(ALOE)] };

describe("a question asked back", () => {
  const asked = async () => {
    const house = await Glasshouse.found(ground.store);
    const { said } = await house.say(UNCLEAR, { text: "watered" });
    expect(said?.text).toBe("Watered. Which ones? Or type it.");
    house.answering(COMPLETE);
    return house;
  };
  test("is answered by the same author, and both messages are the entry's words", async () => {
    const house = await asked();
    const { said } = await house.say(NONE, { text: "the aloes" });
    expect(said?.text).toBe("Aloe, Long House: watered, today.");
    expect(await house.standing()).toMatchObject([{ rawText: "watered\nthe aloes" }]);
  });
  test("is answered once", async () => {
    const house = await asked();
    await house.say(NONE, { text: "the aloes" });
    expect((await house.say(NONE, { text: "the aloes" })).outcome.kind).toBe("silent");
  });
  test.each<[string, (house: Glasshouse) => Promise<Interpretation | undefined>]>([
    ["by another author", async (house) => void (await house.say(NONE, { who: "Tomasz" }))],
    [
      "after a quarter of an hour",
      async (house) => {
        later({ minutes: 16 });
        return void (await house.say(NONE));
      },
    ],
  ])("is not answered %s", async (_what, say) => {
    const house = await asked();
    await say(house);
    expect(await house.standing()).toEqual([]);
  });
  test("gives way to a message of its own", async () => {
    const house = await asked();
    house.answering(NONE);
    const { said } = await house.say({ kind: "log", entries: [{ act: "vent_open" }] });
    expect(said?.text).toBe("Long House: vents open, today.");
  });
  test("offers what was spoken of last, in words that fit a button", async () => {
    const house = await Glasshouse.found(ground.store);
    await house.log(watered({ genus: "Ferocactus" }, ALOE));
    const { said } = await house.say(UNCLEAR);
    expect(said?.buttons?.flat()).toEqual([
      { label: "Ferocacti", data: "say:Ferocactus" },
      { label: "Aloes", data: "say:Aloe" },
      { label: "Everything in Long House", data: "say:everything in Long House" },
    ]);
  });
});

describe("talk", () => {
  test.each<[string, Interpretation, { addressed: boolean; text: string }, string]>([
    ["of others", NONE, { addressed: false, text: "lovely weather" }, "silent"],
    ["that thanks", NONE, { addressed: true, text: "thanks" }, "silent"],
    ["to the bot that means nothing", NONE, { addressed: true, text: "lovely weather" }, "not_understood"],
  ])("%s", async (_what, meaning, spoken, kind) => {
    const house = await Glasshouse.found(ground.store);
    expect((await house.say(meaning, spoken)).outcome.kind).toBe(kind);
    expect(await house.standing()).toEqual([]);
  });
});
