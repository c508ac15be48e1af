import { describe, expect, test } from "vitest";
import { EMPTY_HOUSEHOLD } from "../../bot/language/context.js";
import { buildVocabulary, interpret, readEnglishLexicon } from "../../bot/language/index.js";
import type { Interpretation } from "../../bot/language/interpretation.js";
import { interpretReply, isCourtesy } from "../../bot/language/reply.js";
import { readNameRows } from "../../db/names/read.js";

const vocabulary = buildVocabulary(readNameRows(), readEnglishLexicon());
const context = {
  ...EMPTY_HOUSEHOLD,
  now: "2027-01-15T09:00",
  zone: "Europe/Warsaw",
  addressed: false,
  places: [{ name: "Long House", aliases: ["LH"], default: true }, { name: "Warm Bench" }],
};

/** What a message and the answer to the question it raised come to. */
function together(message: string, answer: string): Interpretation {
  const {
    kind,
    missing = [],
    partial = {},
  } = interpret(message, { ...context, addressed: true }, vocabulary);
  expect(kind).toBe("unclear");
  return interpretReply(answer, context, { missing, partial }, vocabulary);
}

describe("an answer to a question just asked", () => {
  test.each([
    ["watered", "the aloes", { act: "water", subjects: [{ genus: "Aloe" }] }],
    ["watered", "Gasterias", { act: "water", subjects: [{ genus: "Gasteria" }] }],
    [
      "repotted",
      "aloes and gasterias",
      { act: "repot", subjects: [{ genus: "Aloe" }, { genus: "Gasteria" }] },
    ],
    [
      "watered yesterday",
      "the aloes",
      { act: "water", subjects: [{ genus: "Aloe" }], when: { from: "2027-01-14T00:00" } },
    ],
    ["watered", "Everything in Long House", { act: "water", subjects: [{ all: true }], place: "Long House" }],
    ["aloes", "watered", { act: "water", subjects: [{ genus: "Aloe" }] }],
  ])("%j, then %j", (message, answer, entry) => {
    expect(together(message, answer)).toMatchObject({ kind: "log", entries: [entry] });
  });

  test("that says something else is read as that", () => {
    expect(together("watered", "what's due?")).toMatchObject({ kind: "ask" });
    expect(together("watered", "undo")).toMatchObject({ kind: "instruct" });
    expect(together("watered", "min 4 last night")).toMatchObject({
      kind: "log",
      entries: [{ act: "reading" }],
    });
    for (const talk of [
      "what a day",
      "the aloes look great",
      "did you see the aloes",
      "not sure, maybe Tomasz knows",
    ])
      expect(together("watered", talk).kind, talk).not.toBe("log");
  });

  test("completes a reading by its number", () => {
    const open = {
      missing: ["value" as const],
      partial: { act: "reading" as const, place: "Long House" },
    };
    expect(interpretReply("4", context, open, vocabulary)).toMatchObject({
      kind: "log",
      entries: [
        { act: "reading", place: "Long House", reading: { statistic: "min", value: 4, unit: "Cel" } },
      ],
    });
  });

  test("names the place", () => {
    const open = { missing: ["place" as const], partial: { act: "heat_on" as const } };
    expect(interpretReply("in the LH", context, open, vocabulary)).toEqual({
      kind: "log",
      entries: [{ act: "heat_on", place: "Long House" }],
    });
  });
});

describe("courtesy", () => {
  test.each(["thanks", "Thank you!", "good morning", "thanks a lot 🌵", "hi there"])("is: %j", (text) => {
    expect(isCourtesy(text, vocabulary)).toBe(true);
  });
  test.each(["", "🌵", "thanks for watering", "aloe", "morning reading"])("is not: %j", (text) => {
    expect(isCourtesy(text, vocabulary)).toBe(false);
  });
});
