import { expect, test } from "vitest";
import { interpret } from "../../bot/language/index.js";
import type { CareDetail } from "../../bot/language/interpretation.js";
import { contextOf, vocabulary } from "./support/corpus.js";

/** What a question of care asks about in particular stands beside the question. */
test.each<[string, CareDetail | undefined]>([
  ["can melocactus take 6 °C?", { value: { value: 6, unit: "Cel" } }],
  ["can adeniums take 5 degrees", { value: { value: 5, unit: "Cel" } }],
  ["is it normal that my euphorbia drops its leaves?", { sign: "leaf_drop" }],
  ["my lithops is shrivelling, is that normal", { sign: "shrivel" }],
  ["how cold can lithops get", undefined],
  ["does gasteria need water in winter?", undefined],
])("%s", (text, detail) => {
  const line = {
    id: "",
    household: "baltic",
    now: "2027-01-15T09:00",
    addressed: true,
    text,
    expect: { kind: "ask" as const },
  };
  const { kind, question, detail: found } = interpret(text, contextOf(line), vocabulary());
  expect({ kind, about: question?.about, found }).toEqual({ kind: "ask", about: "care", found: detail });
  expect(question).not.toHaveProperty("value");
  expect(question).not.toHaveProperty("sign");
});
