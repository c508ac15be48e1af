import { describe, expect, test } from "vitest";
import { interpret } from "../../bot/language/index.js";
import { sameFrame } from "./support/compare.js";
import { contextOf, readCorpus, vocabulary } from "./support/corpus.js";

const WRAPPED: readonly (readonly [name: string, wrap: (text: string) => string])[] = [
  ["ok so", (text) => `ok so ${text}`],
  ["Right,", (text) => `Right, ${text}`],
  ["btw", (text) => `btw ${text}`],
  ["FYI", (text) => `FYI ${text}`],
  ["morning all,", (text) => `morning all, ${text}`],
  ["quick update:", (text) => `quick update: ${text}`],
  ["just to say", (text) => `just to say ${text}`],
  ["a trailing lol", (text) => `${text} lol`],
  ["trailing thanks", (text) => `${text} thanks`],
  ["a smile", (text) => `${text} 😅`],
];
/** Of the messages that are read right, how many may change. */
const MOST_CHANGED = 0.01;

describe("words around a message", () => {
  const lines = readCorpus(new URL("./corpus/", import.meta.url), () => true)
    .filter((_, index) => index % 3 === 0)
    .filter((line) => sameFrame(interpret(line.text, contextOf(line), vocabulary()), line.expect));

  test.each(WRAPPED)("change nothing: %s", (_, wrap) => {
    const changed = lines.filter(
      (line) => !sameFrame(interpret(wrap(line.text), contextOf(line), vocabulary()), line.expect),
    );
    expect(lines.length).toBeGreaterThan(500);
    expect(changed.length / lines.length).toBeLessThanOrEqual(MOST_CHANGED);
  });

  test.each(["lol", "thanks all", "ok so", "morning all 😅"])("alone are nothing: %j", (text) => {
    const [line] = lines;
    if (!line) throw new Error("no corpus");
    expect(interpret(text, { ...contextOf(line), addressed: false }, vocabulary()).kind).toBe("none");
  });
});
