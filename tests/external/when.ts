import { readWhen } from "../../bot/language/en/phrases.js";
import { vocabulary } from "../language/support/corpus.js";
import type { SetResult } from "./run.js";

export interface WhenLine {
  text: string;
  reference: string;
  expected: { from: string | null; to: string | null; grain: string } | null;
  order?: string;
  core?: boolean;
}

const dayOf = (text: string | null): string | null => (text === null ? null : text.slice(0, 10));

/** Last day that a half-open range touches. */
function lastDay(to: string | null): string | null {
  if (to === null) return null;
  if (to.slice(11, 19).replace(/^00:00(:00)?$/, "") !== "") return to.slice(0, 10);
  return new Date(Date.parse(`${to.slice(0, 10)}T00:00Z`) - 86_400_000).toISOString().slice(0, 10);
}

/** The day a range begins and the last day it touches; parts of a day differ between suites. */
function sameDates(line: WhenLine, from: string, to: string): boolean {
  const wanted = line.expected as NonNullable<WhenLine["expected"]>;
  if (dayOf(wanted.from) !== dayOf(from)) return false;
  if (wanted.to === null) return true;
  const night = from.slice(11, 16) === "18:00" && to.slice(11, 16) === "08:00";
  const moment = from === to;
  const mine = night || moment ? dayOf(from) : lastDay(to);
  const theirs = wanted.from === wanted.to ? dayOf(wanted.to) : lastDay(wanted.to);
  return mine === theirs || to.slice(0, 10) === dayOf(wanted.to);
}

export function checkWhen(lines: readonly WhenLine[]): SetResult[] {
  const check = (set: string, part: readonly WhenLine[]): SetResult => {
    const failures: string[] = [];
    let right = 0;
    for (const line of part) {
      const options = { monthFirst: true, system: "us" as const, dollar: "USD" };
      const found = readWhen(line.text, line.reference.slice(0, 16), vocabulary().lexicon, options);
      if (found && sameDates(line, found.from, found.to)) right++;
      else
        failures.push(
          `${line.reference.slice(0, 16)} ${line.text} | want ${line.expected?.from} ${line.expected?.to} | got ${found?.from} ${found?.to}`,
        );
    }
    return { set, lines: part.length, right, remark: "by date", failures };
  };
  return [
    check(
      "when (core)",
      lines.filter((line) => line.core),
    ),
    check("when (all)", lines),
  ];
}

export function checkWhenNegative(lines: readonly WhenLine[]): SetResult {
  const failures: string[] = [];
  let right = 0;
  for (const line of lines) {
    const found = readWhen(
      line.text,
      (line.reference ?? "2016-11-07T00:00").slice(0, 16),
      vocabulary().lexicon,
      { monthFirst: true, system: "us", dollar: "USD" },
    );
    if (!found) right++;
    else failures.push(`${line.text} | got ${found.from} ${found.to} ${found.grain}`);
  }
  return { set: "when_negative", lines: lines.length, right, remark: "no date seen", failures };
}
