import type { CareAnswer } from "../../../horticulture/answers.js";
import { whyOf } from "../../../horticulture/why.js";
import type { LoggedEntry } from "../../../journal/outcome.js";
import { careWhyLines } from "./care-why.js";
import { actWord } from "./entries.js";
import { list, type Manner } from "./figures.js";

/** The chain behind a care answer, a line a link. */
export const whyLines = (answer: CareAnswer, manner: Manner): string[] =>
  careWhyLines(whyOf(answer), manner).map(({ what, value }) => `${what}: ${value}.`);

/** How a log was read and what was assumed. */
export function whyLogged(entries: readonly LoggedEntry[]): string[] {
  const [first] = entries;
  if (!first) return [];
  const words = first.entry.rawText.replaceAll("\n", " / ");
  const assumed = [
    ...(entries.some((logged) => logged.assumed.place)
      ? ["the place, from where they stand or the default"]
      : []),
    ...(entries.some((logged) => logged.assumed.when) ? ["the time, the moment of writing"] : []),
  ];
  return [
    `Your words: “${words}”.`,
    `Read as: ${list([...new Set(entries.map((logged) => actWord(logged.entry.act)))])}.`,
    ...(assumed.length > 0 ? [`Assumed: ${list(assumed)}.`] : []),
  ];
}
