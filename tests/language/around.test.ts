import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { interpret } from "../../bot/language/index.js";
import type { Interpretation } from "../../bot/language/interpretation.js";
import { sameFrame } from "./support/compare.js";
import { contextOf, type Labelled, readCorpus, vocabulary } from "./support/corpus.js";
import {
  CASED,
  CHANGED_BY_OPENING,
  LEADING,
  OPENING,
  TRAILING,
  TYPED,
  type Wrapper,
} from "./support/wrappers.js";

const LINES = readCorpus(new URL("./corpus/", import.meta.url));
const read = (line: Labelled, text: string): Interpretation => interpret(text, contextOf(line), vocabulary());

const around = (line: Labelled, ...wrappers: readonly Wrapper[]): string =>
  wrappers.reduce((text, { wrap }) => wrap(text), line.text);

/** "words as written" come back as they were written: capitals differ there and nowhere else. */
const caseless = (found: Interpretation): Interpretation =>
  JSON.parse(JSON.stringify(found).toLowerCase()) as Interpretation;

const line = fc.constantFrom(...LINES);
const leading = fc.array(fc.constantFrom(...LEADING), { maxLength: 2 });
const trailing = fc.array(fc.constantFrom(...TRAILING), { maxLength: 2 });
const RUNS = { numRuns: 800 };

describe("words and signs around a message", () => {
  test("change nothing, one or two at either side", () => {
    fc.assert(
      fc.property(line, leading, trailing, fc.constantFrom(...TYPED), (one, before, behind, typed) => {
        const text = around(one, ...before, ...behind, typed);
        const [plain, found] = [read(one, one.text), read(one, text)];
        expect(sameFrame(found, plain), `${text}\n${JSON.stringify(found)}\n${JSON.stringify(plain)}`).toBe(
          true,
        );
      }),
      RUNS,
    );
  });

  test("change nothing, written in capitals", () => {
    fc.assert(
      fc.property(line, fc.constantFrom(...CASED), leading, (one, cased, before) => {
        const text = around(one, ...before, cased);
        const [plain, found] = [caseless(read(one, one.text)), caseless(read(one, text))];
        expect(sameFrame(found, plain), `${text}\n${JSON.stringify(found)}\n${JSON.stringify(plain)}`).toBe(
          true,
        );
      }),
      RUNS,
    );
  });

  test("change nothing before a complete sentence, though they may begin a correction", () => {
    fc.assert(
      fc.property(line, fc.constantFrom(...OPENING), leading, (one, opening, before) => {
        const plain = read(one, one.text);
        fc.pre(!CHANGED_BY_OPENING.some(({ when }) => when(plain)));
        const text = around(one, opening, ...before);
        const found = read(one, text);
        expect(sameFrame(found, plain), `${text}\n${JSON.stringify(found)}\n${JSON.stringify(plain)}`).toBe(
          true,
        );
      }),
      RUNS,
    );
  });

  test("change nothing at a sentence's or a clause's edge", () => {
    const aside = fc.constantFrom("lol", "btw", "haha", ":)", "tbh", "😅");
    fc.assert(
      fc.property(aside, aside, (first, second) => {
        const here = LINES.find((one) => one.household === "baltic") as Labelled;
        const plain = read(here, "watered the aloes, fed the hoyas. min 4 last night");
        const text = `watered the aloes ${first}, fed the hoyas ${second}. ${first} min 4 last night`;
        expect(read(here, text)).toEqual(plain);
      }),
    );
  });

  test("that may begin a correction wake few of the messages that are none", () => {
    const silent = LINES.filter((_, i) => i % 3 === 0).filter(
      (one) => one.expect.kind === "none" && read(one, one.text).kind === "none",
    );
    for (const { name, wrap } of OPENING) {
      const woken = silent.filter((one) => read(one, wrap(one.text)).kind !== "none").map((one) => one.text);
      expect(woken.length / silent.length, `${name}: ${woken.join(" | ")}`).toBeLessThan(0.02);
    }
  });

  test.each(["lol", "thanks all", "ok so", "morning all 😅", "cheers :)", "haha!!", "thanks, everyone"])(
    "alone are nothing: %j",
    (text) => {
      const [one] = LINES;
      if (!one) throw new Error("no corpus");
      expect(interpret(text, { ...contextOf(one), addressed: false }, vocabulary()).kind).toBe("none");
    },
  );
});
