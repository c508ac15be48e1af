import fc from "fast-check";
import { Temporal } from "temporal-polyfill";
import { describe, expect, test } from "vitest";
import { EMPTY_HOUSEHOLD, type InterpretContext } from "../../bot/language/context.js";
import { interpret } from "../../bot/language/index.js";
import type { Interpretation } from "../../bot/language/interpretation.js";
import { says } from "../../bot/language/item.js";
import { mark } from "../../bot/language/mark.js";
import { normalise } from "../../bot/language/normalise.js";
import { readTokens } from "../../bot/language/spelling.js";
import { tokenise } from "../../bot/language/tokenise.js";
import { contextOf, readCorpus, vocabulary } from "./support/corpus.js";

const context = (addressed: boolean): InterpretContext => ({
  ...EMPTY_HOUSEHOLD,
  now: "2027-01-15T09:00",
  zone: "Europe/Warsaw",
  addressed,
});
/** Words of the corpus that a known misspelling hides from the test; see the two lines it names. */
const MOST_LOST = 2;

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

  test("means the same twice, with characters of every kind", () => {
    const sign = fc.constantFrom(
      ..."\u200B\u200F\u202E\u2066\u00AD\uFEFF\uFFFD\u0000\u00A0\n\t💧🌵👩‍🌾½°′″”’„–—−",
      "'",
      '"',
      "<b>",
      "&amp;",
      "\\",
      "%",
      "\uD800",
    );
    const text = fc
      .array(
        fc.oneof(sign, fc.constantFrom("watered the aloes", "min 4", " ", "3/4", "1:200"), fc.string()),
        {
          maxLength: 60,
        },
      )
      .map((parts) => parts.join(""));
    fc.assert(
      fc.property(text, fc.boolean(), (written, addressed) => {
        const found = interpret(written, context(addressed), vocabulary());
        expect(interpret(written, context(addressed), vocabulary())).toEqual(found);
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

const LINES = readCorpus(new URL("./corpus/", import.meta.url));
const LOGS = LINES.filter((line) => interpret(line.text, contextOf(line), vocabulary()).kind === "log");

/** Words of a text as they are looked up. */
const wordsOf = (text: string): string[] =>
  tokenise(normalise(text), vocabulary().lexicon.language.writing).flatMap((token) =>
    token.kind === "word" ? [token.key] : [],
  );

/** Every word that an interpretation carries, in a slot or as remainder. */
const carried = (found: Interpretation): Set<string> =>
  new Set([...wordsOf(JSON.stringify(found.entries ?? [])), ...wordsOf(found.remainder ?? "")]);

describe("a log", () => {
  test("carries every word that has no meaning of its own, as a slot or as remainder", () => {
    const lost = LOGS.flatMap((line) => {
      const words = carried(interpret(line.text, contextOf(line), vocabulary()));
      const tokens = vocabulary().edges.trim(readTokens(normalise(line.text), contextOf(line), vocabulary()));
      return (
        mark(tokens, contextOf(line), vocabulary())
          .filter((item) => item.token.kind === "word" && item.senses.length === 0)
          // "leaves falling": a word that a rule knows by itself tells the act.
          .filter((item) => !says(item, "falls"))
          .filter((item) => !item.time && !item.measure && !item.subject && !words.has(item.token.key))
          .map((item) => `${item.token.text} (${line.text})`)
      );
    });
    expect(LOGS.length).toBeGreaterThan(1500);
    expect(lost.length, lost.join("\n")).toBeLessThanOrEqual(MOST_LOST);
  });

  test("keeps a word that nobody knows, wherever it stands", () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...LOGS),
        fc.constantFrom("qworbl", "zyxvek", "plimfort", "xubberly"),
        fc.nat({ max: 100 }),
        (line, strange, share) => {
          const words = line.text.split(" ");
          words.splice(Math.round((words.length * share) / 100), 0, strange);
          const text = words.join(" ");
          const found = interpret(text, contextOf(line), vocabulary());
          expect(
            found.kind !== "log" || carried(found).has(strange),
            `${text}\n${JSON.stringify(found)}`,
          ).toBe(true);
        },
      ),
      { numRuns: 800 },
    );
  });

  test("keeps what stands behind the part that is read", () => {
    const tail = "and so on ".repeat(500);
    const found = interpret(`watered the aloes. ${tail}zyxvek`, context(false), vocabulary());
    expect(found.kind).toBe("log");
    expect(found.remainder?.endsWith("zyxvek")).toBe(true);
  });

  test("lies in the past, whenever it is written", () => {
    const year = fc.record({
      day: fc.integer({ min: 0, max: 365 }),
      minute: fc.integer({ min: 0, max: 24 * 60 - 1 }),
    });
    fc.assert(
      fc.property(fc.constantFrom(...LOGS), year, (line, { day, minute }) => {
        const now = Temporal.PlainDateTime.from("2027-01-01T00:00").add({ days: day, minutes: minute });
        const at = now.toString({ smallestUnit: "minute" });
        const found = interpret(line.text, { ...contextOf(line), now: at }, vocabulary());
        for (const { when } of found.kind === "log" ? (found.entries ?? []) : []) {
          // "this morning" may be said an hour or two before six, "flowers open tonight" in the afternoon.
          const ahead = when?.grain === "part" ? 2 : when?.grain === "night" ? 6 : 0;
          const latest = now.add({ hours: ahead }).toString({ smallestUnit: "minute" });
          expect(!when || when.from <= latest, `${line.text} at ${at}: ${JSON.stringify(when)}`).toBe(true);
        }
      }),
      { numRuns: 800 },
    );
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
