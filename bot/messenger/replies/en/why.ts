import type { CareAnswer, WhyStep } from "../../../horticulture/answers.js";
import { whyOf } from "../../../horticulture/why.js";
import type { LoggedEntry } from "../../../journal/outcome.js";
import { grounds, interval, ownRuleName } from "./care-words.js";
import { actWord } from "./entries.js";
import { list, type Manner, number, shortDate, temperature } from "./figures.js";

/** The chain behind a care answer, a line a link. */
export function whyLines(answer: CareAnswer, manner: Manner): string[] {
  return whyOf(answer).map((step) => stepLine(step, manner));
}

function stepLine(step: WhyStep, manner: Manner): string {
  const today = manner.now.toZonedDateTimeISO(manner.zone).toPlainDate();
  switch (step.step) {
    case "name":
      return `Name: ${step.asked} is ${step.accepted} here${step.note === "" ? "" : `; ${step.note}`}.`;
    case "rule": {
      const whose =
        step.speaksFor === "species" || step.speaksFor === "genus" ? "" : ` (the ${step.speaksFor}'s)`;
      const remarks = step.remarks === "" ? "" : ` ${step.remarks}.`;
      return `Rule: ${step.by}, ${step.season}${whose}; ${step.file} line ${step.line}.${remarks}`;
    }
    case "own":
      return `Before it goes ${ownRuleName(step.rule, today)}: “${step.rule.words}”.`;
    case "season": {
      if (step.asked) return `Season: ${step.at.season}, as asked.`;
      const { at } = step;
      const shift =
        at.shiftDays === 0
          ? "as on the calendar"
          : `${Math.abs(at.shiftDays)} days ${at.shiftDays > 0 ? "ahead of" : "behind"} the calendar`;
      const known = {
        measured: `nights of ${temperature(at.meanMinC, manner)} measured`,
        floor: `kept at ${temperature(at.meanMinC, manner)}`,
        assumed: "no night readings, so an average house is assumed",
      }[at.known];
      const light = at.dayLengthH === null ? "" : `, days of ${number(at.dayLengthH)} h`;
      return `Season${step.place ? ` in ${step.place}` : ""}: ${at.season}, ${shift} (${known}${light}).`;
    }
    case "turn":
      return `Near the turn to ${step.other}, so the interval is eased${step.days ? ` to ${interval(step.days)}` : ""}.`;
    case "phase":
      return `Phase: ${step.phase}; ${step.cycle}.`;
    case "last": {
      const { standing } = step;
      if (!standing.lastWatered) return `Last watering${at(standing.place)}: none in the journal.`;
      return `Last watering${at(standing.place)}: ${shortDate(standing.lastWatered, today)}${standing.by ? ` by ${standing.by}` : ""}, ${standing.daysAgo} days ago.`;
    }
    case "source":
      return `From: ${grounds(step.basis, step.source)}.`;
  }
}

const at = (place: string | null): string => (place ? ` in ${place}` : "");

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
