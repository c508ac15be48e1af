import { readNumber } from "../../bot/language/en/phrases.js";
import { vocabulary } from "../language/support/corpus.js";
import type { SetResult } from "./run.js";

export interface NumberLine {
  text: string;
  expected: { value: number; kind: string }[];
}

/** Bare number phrases: lines that hold one number and nothing else. */
export function checkNumbers(lines: readonly NumberLine[]): SetResult {
  const bare = lines.filter(
    (line) =>
      line.expected.length === 1 &&
      line.text.trim().split(/\s+/).length <= 8 &&
      !/[a-z]{3,} (is|are|has|have|was) /i.test(line.text),
  );
  const failures: string[] = [];
  let right = 0;
  for (const line of bare) {
    const found = readNumber(line.text, vocabulary().lexicon);
    const wanted = line.expected[0]?.value as number;
    if (found !== undefined && Math.abs(found - wanted) <= 1e-9 * Math.max(1, Math.abs(wanted))) right++;
    else failures.push(`${line.text} | want ${wanted} | got ${found}`);
  }
  return { set: "number", lines: bare.length, right, remark: "bare phrases only", failures };
}
