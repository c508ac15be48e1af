import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { EMPTY_HOUSEHOLD, type InterpretContext } from "../../bot/language/context.js";
import { interpret } from "../../bot/language/index.js";
import type { Interpretation } from "../../bot/language/interpretation.js";
import { contextOf, readCorpus, vocabulary } from "./support/corpus.js";

const context = (addressed: boolean): InterpretContext => ({
  ...EMPTY_HOUSEHOLD,
  now: "2027-01-15T09:00",
  zone: "Europe/Warsaw",
  addressed,
});
const meaning = (found: Interpretation): string =>
  JSON.stringify({ ...found, remainder: undefined, partial: undefined });

/** Plain statements whose meaning no courtesy can change. */
const STATEMENTS = readCorpus(new URL("./corpus/", import.meta.url), (file) =>
  file.startsWith("acts-"),
).filter(
  (line) =>
    line.expect.kind === "log" && !/[?!.😅]$/u.test(line.text) && line.expect.entries?.[0]?.act !== "note",
);

describe("any text", () => {
  test("never throws and always has a kind", () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 300, unit: "grapheme" }), fc.boolean(), (text, addressed) => {
        const found = interpret(text, context(addressed), vocabulary());
        return ["log", "ask", "instruct", "unclear", "none"].includes(found.kind);
      }),
      { numRuns: 400 },
    );
  });

  test("means the same twice", () => {
    const words = fc.constantFrom(
      ..."watered the aloes and 3 of last week's at 7 12 cm min 4 °C last night not until Monday with neem 1:200 everything except L-014 due when".split(
        " ",
      ),
    );
    fc.assert(
      fc.property(fc.array(words, { maxLength: 25 }), fc.boolean(), (list, addressed) => {
        const text = list.join(" ");
        expect(interpret(text, context(addressed), vocabulary())).toEqual(
          interpret(text, context(addressed), vocabulary()),
        );
      }),
      { numRuns: 300 },
    );
  });

  test("leaves its context as it was", () => {
    const given = context(true);
    const before = JSON.stringify(given);
    interpret("watered the aloes yesterday, min 4 in the long house", given, vocabulary());
    expect(JSON.stringify(given)).toBe(before);
  });

  test.each([
    ["letters", "a".repeat(4096)],
    ["slashes", "1/".repeat(2048)],
    ["quotes", "\"'".repeat(2048)],
    ["ranges", "3 to 4 ".repeat(585)],
    ["plants", "aloe ".repeat(819)],
    ["markup", "<b>&lt;watered</b> the aloes'; DROP TABLE journal; -- ".repeat(75)],
    ["emoji", "💧🌵".repeat(1000)],
    ["directions", "\u202Ewatered\u202C \u200Fthe\u200F aloes"],
  ])("survives %s", (_, text) => {
    expect(() => interpret(text, context(true), vocabulary())).not.toThrow();
  });

  test("reads through characters nobody sees", () => {
    const plain = interpret("watered the aloes", context(false), vocabulary());
    expect(interpret("\u200Ewat\u200Bered the\u00A0aloes\u2060", context(false), vocabulary())).toEqual(
      plain,
    );
  });
});

describe("a statement", () => {
  test.each([
    ["a full stop", (text: string) => `${text}.`],
    ["thanks", (text: string) => `${text}, thanks`],
    ["a greeting", (text: string) => `hi all, ${text}`],
    ["a capital", (text: string) => text[0]?.toUpperCase() + text.slice(1)],
    ["spaces", (text: string) => `  ${text.replaceAll(" ", "  ")} `],
  ])("means the same with %s", (_, dress) => {
    const changed = STATEMENTS.filter((line) => {
      const where = contextOf(line);
      return (
        meaning(interpret(line.text, where, vocabulary())) !==
        meaning(interpret(dress(line.text), where, vocabulary()))
      );
    }).map((line) => line.text);
    expect(changed.length / STATEMENTS.length, changed.join(" | ")).toBeLessThan(0.02);
  });

  test("lies in the past", () => {
    for (const line of STATEMENTS) {
      for (const entry of interpret(line.text, contextOf(line), vocabulary()).entries ?? []) {
        if (entry.when && entry.when.grain !== "week" && entry.when.grain !== "month")
          expect(entry.when.from <= line.now, line.text).toBe(true);
      }
    }
  });

  test("keeps every word that no table knows", () => {
    const known = new Set(["qworbl", "zyxvek", "plimfor"]);
    for (const word of known) {
      const found = interpret(
        `watered the aloes on Tuesday, the ${word} looks odd`,
        context(false),
        vocabulary(),
      );
      expect(found.kind).toBe("log");
      expect(found.remainder).toContain(word);
    }
  });
});

describe("names", () => {
  test("no ordinary word is bent into a plant", () => {
    const bent: string[] = [];
    for (const word of vocabulary().lexicon.ordinary) {
      if (vocabulary().phrases.has(word)) continue;
      const found = interpret(`watered the ${word}`, context(false), vocabulary());
      const named = found.entries?.[0]?.subjects?.[0];
      if (named?.genus && named.as) bent.push(`${word} > ${named.genus}`);
    }
    expect(bent.slice(0, 20)).toEqual([]);
  });
});
