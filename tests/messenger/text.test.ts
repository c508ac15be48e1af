import fc from "fast-check";
import type { MessageEntity } from "grammy/types";
import { describe, expect, test } from "vitest";
import { addressing } from "../../bot/messenger/addressed.js";
import { MENU, sentenceOf } from "../../bot/messenger/commands.js";
import { escapeHtml, shorten, TEXT_LIMIT } from "../../bot/messenger/html.js";
import { HANDFUL, settingsRight } from "../../bot/messenger/rights.js";
import { plainOfHtml } from "../../bot/messenger/stand-in/html.js";
import { entitiesOf } from "../../bot/messenger/stand-in/world.js";

const ME = { id: 7, username: "areole", first_name: "Areole" };
const words = fc.string({ unit: "binary", maxLength: 200 });
const sentence = fc.stringMatching(/^[a-z0-9 ,.!?°%-]{0,60}$/);

describe("text on its way out", () => {
  test("reads the same after escaping, whatever it holds", () => {
    fc.assert(
      fc.property(words, (text) => {
        expect(plainOfHtml(escapeHtml(text))).toBe(text);
      }),
    );
  });

  test("is cut to the limit without half a character", () => {
    fc.assert(
      fc.property(words, fc.integer({ min: 2, max: 100 }), (text, limit) => {
        const cut = shorten(text, limit);
        expect(cut.length).toBeLessThanOrEqual(limit);
        expect(/[\ud800-\udbff](?![\udc00-\udfff])/.test(cut)).toBe(false);
        if (text.length <= limit) expect(cut).toBe(text);
        else expect(cut.endsWith("…")).toBe(true);
      }),
    );
  });

  test.each([
    ["one two three four", 14, "one two three…"],
    ["first line\nsecond line", 16, "first line…"],
    ["unbroken", 5, "unbr…"],
    ["🌵🌵🌵", 4, "🌵…"],
  ])("cuts %j to %i as %j", (text, limit, cut) => expect(shorten(text, limit)).toBe(cut));

  test("fits the messenger's limit when every character is escaped", () => {
    expect(plainOfHtml(escapeHtml("<".repeat(TEXT_LIMIT)))).toHaveLength(TEXT_LIMIT);
  });
});

describe("text on its way in", () => {
  const read = (text: string, isPrivate = false) =>
    addressing(text, entitiesOf(text) as MessageEntity[], ME, isPrivate);

  test("loses a mention wherever it stands, and nothing else", () => {
    fc.assert(
      fc.property(sentence, sentence, (before, after) => {
        const { text, byWords } = read(`${before} @areole ${after}`);
        const letters = (value: string) => value.replaceAll(/[^a-z0-9°%]/g, "");
        expect(letters(text)).toBe(letters(before + after));
        expect(byWords).toBe(true);
      }),
    );
  });

  test("is never a reason to fail", () => {
    fc.assert(
      fc.property(fc.string({ unit: "binary", maxLength: 4096 }), fc.boolean(), (text, isPrivate) => {
        expect(typeof read(text, isPrivate).text).toBe("string");
      }),
    );
  });

  test("keeps offsets right behind characters of two units", () => {
    expect(read("🌵🌵 @areole what is due?")).toMatchObject({ text: "🌵🌵 what is due?", byWords: true });
  });

  test("knows a person without a handle by the entity", () => {
    const entities = [
      { type: "text_mention", offset: 0, length: 6, user: { id: 7, is_bot: true, first_name: "A" } },
    ];
    expect(addressing("Areole what is due?", entities as MessageEntity[], ME, false)).toMatchObject({
      text: "what is due?",
      byWords: true,
    });
  });

  test("reads an unknown command in a private chat as its words", () => {
    expect(read("/water_aloes today", true)).toMatchObject({ text: "water aloes today", elsewhere: false });
  });
});

describe("commands", () => {
  test("have a name and a description the messenger takes, and a sentence", () => {
    for (const { command, description } of MENU) {
      expect(command).toMatch(/^[a-z0-9_]{1,32}$/);
      expect(description.length).toBeLessThan(60);
      expect(sentenceOf(command, "")).toBeTruthy();
    }
  });
});

describe("settings", () => {
  const group = (people: number | null, administrators: number[] | null) =>
    ({ kind: "supergroup", memberCount: people === null ? null : people + 1, administrators }) as const;
  test.each([
    [{ ...group(null, null), kind: "private" } as const, 1, "yes"],
    [group(HANDFUL, null), 1, "yes"],
    [group(HANDFUL + 1, [2]), 1, "no"],
    [group(HANDFUL + 1, [2, 1]), 1, "yes"],
    [group(HANDFUL + 1, [2]), null, "yes"],
    [group(HANDFUL + 1, null), 1, "unknown"],
    [group(null, [2]), 1, "unknown"],
    [group(null, [2, 1]), 1, "yes"],
  ])("in %j user %j: %s", (chat, user, right) => expect(settingsRight(chat, user)).toBe(right));
});
