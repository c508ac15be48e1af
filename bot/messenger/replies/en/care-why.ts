import type { WhyStep } from "../../../horticulture/answers.js";
import { interval, ownRuleName, sourceShort } from "./care-words.js";
import { capital } from "./entries.js";
import { day, type Manner, number, temperature } from "./figures.js";

/** One link of the chain in words. */
export interface WhyLine {
  what: string;
  value: string;
}

/** The chain behind a care answer in English, one line a link. */
export function careWhyLines(steps: readonly WhyStep[], manner: Manner): WhyLine[] {
  return steps.map((step) => whyLine(step, manner));
}

function whyLine(step: WhyStep, manner: Manner): WhyLine {
  const today = manner.now.toZonedDateTimeISO(manner.zone).toPlainDate();
  switch (step.step) {
    case "name": {
      const note = step.note === "" ? "" : ` (${step.note})`;
      return { what: "Name", value: `${step.asked} is ${step.accepted} here${note}` };
    }
    case "rule": {
      const remarks = step.remarks === "" ? "" : `; ${step.remarks}`;
      const whose =
        step.speaksFor === "family" || step.speaksFor === "group" ? ` (its ${step.speaksFor})` : "";
      return {
        what: "Rule",
        value: `${step.by}${whose}, ${step.season}: ${step.file}, line ${step.line}${remarks}`,
      };
    }
    case "own":
      return { what: capital(ownRuleName(step.rule, today)), value: `“${step.rule.words}”` };
    case "season":
      return { what: "Season", value: seasonWords(step, manner) };
    case "turn": {
      const eased = step.days === null ? "" : `: ${interval(step.days)}`;
      return { what: "Turn", value: `eased towards ${step.other}${eased}` };
    }
    case "phase":
      return { what: "Phase", value: `${step.phase} (${step.cycle})` };
    case "last": {
      const { place, lastWatered, by } = step.standing;
      const where = place === null ? "" : `, ${place}`;
      if (lastWatered === null) return { what: `Last watered${where}`, value: "not noted" };
      return {
        what: `Last watered${where}`,
        value: `${day(lastWatered, today)}${by === null ? "" : `, ${by}`}`,
      };
    }
    case "source":
      return {
        what: "From",
        value:
          step.source === null
            ? step.basis
            : [sourceShort(step.source), step.source.title, step.source.year, step.source.address]
                .filter((part) => part !== "")
                .join(", "),
      };
  }
}

function seasonWords(step: Extract<WhyStep, { step: "season" }>, manner: Manner): string {
  const { at, place, asked, hemisphere } = step;
  if (asked) return `${at.season}, as asked (${hemisphere})`;
  const where = place === null ? "" : ` in ${place}`;
  if (at.known === "assumed")
    return `${at.season} by the calendar (${hemisphere}); no nights measured${where}`;
  const nights = `${at.known === "floor" ? "floor" : "nights"} of about ${temperature(at.meanMinC, manner)}${where}, usual ${temperature(at.assumedMinC, manner)}`;
  const days = Math.abs(at.shiftDays);
  if (days === 0) return `${at.season}: ${nights}`;
  const shift = `${number(days, 0)} days ${at.shiftDays > 0 ? "ahead of" : "behind"} the calendar`;
  return `${at.season}: ${nights}, so ${shift}${at.heldByLight ? ", held back by short days" : ""}`;
}
