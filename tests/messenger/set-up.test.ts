import { Temporal } from "temporal-polyfill";
import { beforeAll, describe, expect, test } from "vitest";
import type { Reader } from "../../bot/journal/mind.js";
import type { Household, JournalStore, Place } from "../../bot/journal/ports.js";
import { buildVocabulary, interpret, readEnglishLexicon } from "../../bot/language/index.js";
import { hearingSetUp } from "../../bot/messenger/conversation/set-up.js";
import type { IncomingMessage } from "../../bot/messenger/desk.js";
import { readNameRows } from "../../db/names/read.js";

let reader: Pick<Reader, "interpret">;
beforeAll(() => {
  const vocabulary = buildVocabulary(readNameRows(), readEnglishLexicon());
  reader = { interpret: (message, context) => interpret(message, context, vocabulary) };
});

const FRESH = { latitude: null, places: 0 };
const LOCATED = { latitude: 54.4, places: 0 };
const READY = { latitude: 54.4, places: 1 };

/** What the desk behind is handed: the text, and whether it counts as spoken to the bot. */
async function handed(
  text: string,
  standing: typeof FRESH | typeof LOCATED,
  more: Partial<IncomingMessage> = {},
) {
  const store = {
    household: async () => ({ latitude: standing.latitude }) as Household,
    places: async () => Array.from({ length: standing.places }, () => ({ name: "Long House" }) as Place),
  } as JournalStore;
  const heard: [string, boolean][] = [];
  const behind = {
    message: async (message: IncomingMessage) => void heard.push([message.text, message.addressed]),
    press: async () => undefined,
  };
  const message = {
    text,
    addressed: false,
    edited: false,
    forwarded: false,
    command: null,
    at: Temporal.Instant.from("2027-01-15T08:00:00Z"),
    ...more,
  } as IncomingMessage;
  await hearingSetUp(behind, reader, "Europe/Warsaw").message(message, store);
  return heard[0];
}

describe("in a group that was just greeted", () => {
  test.each([
    "we are near Gdańsk",
    "the glasshouse is in Gdynia",
    "we have a long house kept above 5 and a warm bench at 12",
  ])("%j counts as spoken to the bot", async (text) => {
    expect(await handed(text, FRESH)).toEqual([text, true]);
  });

  test.each([
    "we are near the end",
    "we have visitors in the long house",
    "nice",
    "reading",
    "Gdańsk",
    "watered the aloes",
    "undo",
    "quiet hours 21:00 to 07:00",
  ])("%j is left as it is", async (text) => {
    expect(await handed(text, FRESH)).toEqual([text, false]);
  });

  test("a town alone is an answer when it is said to the bot", async () => {
    expect(await handed("Gdańsk.", FRESH, { addressed: true })).toEqual(["we are near Gdańsk", true]);
    expect(await handed("Gdańsk", LOCATED, { addressed: true })).toEqual(["Gdańsk", true]);
    expect(await handed("no such town", FRESH, { addressed: true })).toEqual(["no such town", true]);
  });

  test.each([{ edited: true }, { forwarded: true }, { command: { name: "due", argument: "" } }])(
    "not so a message with %j",
    async (more) => {
      expect(await handed("we are near Gdańsk", FRESH, more)).toEqual(["we are near Gdańsk", false]);
    },
  );
});

test("places are heard until there is one; then talk is talk", async () => {
  const text = "we have a warm bench kept above 12";
  expect(await handed(text, LOCATED)).toEqual([text, true]);
  expect(await handed(text, READY)).toEqual([text, false]);
});
