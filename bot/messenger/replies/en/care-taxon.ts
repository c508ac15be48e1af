import type { TaxonAnswer } from "../../../horticulture/answers.js";
import type { Caution } from "../../../horticulture/cautions.js";
import { type CareSaid, nameOf, said } from "./care-said.js";
import {
  grounds,
  limits,
  months,
  ownLines,
  standingLine,
  tableWords,
  temperatures,
  watering,
  windowState,
} from "./care-words.js";
import { capital } from "./entries.js";
import { difference, list, type Manner, temperature } from "./figures.js";

const today = (manner: Manner) => manner.now.toZonedDateTimeISO(manner.zone).toPlainDate();

/** "Gasteria, winter, kept cool" */
function head(answer: TaxonAnswer): string {
  const cool =
    answer.at.season === "winter" && answer.care.least.dry < 10
      ? answer.at.meanMinC < 10
        ? ", kept cool"
        : ", kept warm"
      : "";
  return `${capital(nameOf(answer.asked, answer.accepted))}, ${answer.at.season}${cool}`;
}

/** A rule that speaks for more than the taxon says so. */
function caveat(answer: TaxonAnswer): string | null {
  if (answer.rank === "family" || answer.rank === "group") return null;
  if (answer.speaksFor === "family") return `No rule of its own: this is its family's, ${answer.by}.`;
  if (answer.speaksFor === "group") return `No rule of its own: this is the general one for ${answer.by}.`;
  return null;
}

function placeLine(answer: TaxonAnswer): string | null {
  const { at, place } = answer;
  if (answer.seasonAsked || at.season === at.calendar) return null;
  const weeks = Math.max(1, Math.round(Math.abs(at.shiftDays) / 7));
  const by = weeks === 1 ? "a week" : `${weeks} weeks`;
  const how = at.shiftDays > 0 ? "ahead of" : "behind";
  return `${place ?? "The place"} runs about ${by} ${how} the calendar: ${at.season} there.`;
}

const cautionText = (caution: Caution): string => `Caution: ${caution.text.replace(/\.$/, "")}.`;

export function taxonLines(answer: TaxonAnswer, manner: Manner): CareSaid {
  const { care, taxon } = answer;
  const now = today(manner);
  const own = ownLines(care, now, manner);
  const yours = answer.standings.map((standing) => standingLine(standing, answer, manner));
  const basis = grounds(answer.basis, answer.source);
  const cautions = answer.cautions.map(cautionText);
  const normal = care.rule.normal === "" ? null : `Normal now: ${tableWords(care.rule.normal, answer)}.`;
  const todo = care.rule.todo === "" ? null : `${capital(tableWords(care.rule.todo, answer))}.`;
  const remarks = care.rule.remarks === "" ? null : `${capital(tableWords(care.rule.remarks, answer))}.`;
  const water = `${head(answer)}: ${watering(care.mode, care.days)}. ${limits(care.least, manner)}`;
  const about = [caveat(answer), placeLine(answer)];
  /** The last of the short lines carries the basis. */
  const closing = (line: string | undefined) => (line === undefined ? basis : `${line} ${basis}`);
  const grown = `${capital(care.rule.phase)}; a ${taxon.cycle}.`;

  if (answer.sign) return said([signLine(answer), ...about, basis], [todo, ...yours, remarks]);
  if (answer.verdict) {
    return said([verdictLine(answer, manner), ...own, ...about, basis], [remarks, ...yours]);
  }
  switch (answer.topic) {
    case "water":
      return said(
        [water, ...about, ...own, ...yours.slice(0, -1), closing(yours.at(-1))],
        [normal, todo, remarks],
      );
    case "temperature":
      return said(
        [`${head(answer)}: ${lower(limits(care.least, manner))}`, frost(answer), ...about, ...own, basis],
        [remarks],
      );
    case "light":
      return said(
        [`${head(answer)}: ${tableWords(care.rule.light, answer)}.`, ...about, basis],
        [normal, todo],
      );
    case "feed":
      return said([`${head(answer)}: feed ${tableWords(care.rule.feed, answer)}.`, ...about, basis], [grown]);
    case "repot":
      return said(
        [repotLine(answer, manner), todo, ...cautions, grounds(taxon.basis, null)],
        [...about, remarks],
      );
    case "sow":
      return said(
        [sowLine(answer, manner), ...cautions, ...about, grounds(taxon.basis, null)],
        [taxon.remarks === "" ? null : `${capital(taxon.remarks)}.`],
      );
    case "rest":
      return said([restLine(answer), normal, todo, basis], [...about, water, ...yours, remarks]);
    case "hazard":
      return said(
        cautions.length > 0
          ? cautions
          : [
              `${nameOf(answer.asked, answer.accepted)}: no caution in the tables. That is no promise that it is harmless; a vet or a poison line knows more.`,
            ],
      );
    case "any":
      return said(
        [water, ...about, ...own, [grown, todo].filter(Boolean).join(" "), ...yours.slice(0, 1), basis],
        [
          ...yours.slice(1),
          normal,
          `Light: ${tableWords(care.rule.light, answer)}. Feed: ${tableWords(care.rule.feed, answer)}.`,
          repotLine(answer, manner),
          sowLine(answer, manner),
          ...cautions,
          remarks,
        ],
      );
  }
}

const lower = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);

const frost = (answer: TaxonAnswer): string | null =>
  answer.taxon.frostDry && answer.care.mode === "none" ? "It takes some frost when bone dry." : null;

function verdictLine(answer: TaxonAnswer, manner: Manner): string {
  const verdict = answer.verdict as NonNullable<TaxonAnswer["verdict"]>;
  const { least, valueC } = verdict;
  const name = capital(nameOf(answer.asked, answer.accepted));
  const value = temperature(valueC, manner);
  switch (verdict.answer) {
    case "yes":
      return `Yes: ${name} takes ${value}, also with moist roots (${verdict.season}). ${limits(least, manner)}`;
    case "only dry":
      return `Only dry: ${name} takes ${temperature(least.dry, manner)} with dry roots; moist keep it above ${temperature(least.moist, manner)} (${verdict.season}).`;
    case "no":
      return `No: ${value} is ${difference(least.dry - valueC, manner)} too cold for ${name} (${verdict.season}). ${limits(least, manner)}`;
    case "not known":
      return `${name}: the table says nothing of heat like ${value}. ${limits(least, manner)}`;
  }
}

function signLine(answer: TaxonAnswer): string {
  const sign = answer.sign as NonNullable<TaxonAnswer["sign"]>;
  const name = capital(nameOf(answer.asked, answer.accepted));
  const { season } = answer.at;
  const words = tableWords(sign.words, answer);
  const whose = sign.of === null ? name : (sign.of.replace(/^(\S+) \[(.+)\]$/, "$1, $2") as string);
  if (sign.normal === true) return `Yes, normal in ${season}: ${whose}: ${words}. It rests, it is not dead.`;
  if (sign.normal === false && sign.seasons.length > 0) {
    return `${whose}: normal in ${list(sign.seasons)} (${words}), not in ${season}. Feel the stem: firm is rest, soft is rot.`;
  }
  if (sign.normal === false) return `${name}: no, that is never part of its rest. Look at it soon.`;
  return `${name}, ${season}: the table knows nothing like it as normal. Feel stem and roots: firm is rest, soft is rot.`;
}

function repotLine(answer: TaxonAnswer, manner: Manner): string {
  const name = capital(nameOf(answer.asked, answer.accepted));
  const { repot, taxon } = answer;
  if (repot.months.length === 0) return `${name}: the table gives no month for repotting.`;
  const years = taxon.repotEveryYears;
  const every =
    years === null ? "" : `, every ${years[0] === years[1] ? years[0] : `${years[0]} to ${years[1]}`} years`;
  return `${name}: repot in ${months(repot.months)}${years?.[1] === 1 ? ", every year" : every}; ${windowState(repot, today(manner))}.`;
}

function sowLine(answer: TaxonAnswer, manner: Manner): string {
  const name = capital(nameOf(answer.asked, answer.accepted));
  const { sow } = answer;
  const { celsius, days } = answer.taxon.germination;
  if (sow.months.length === 0) return `${name}: the table gives no month for sowing.`;
  const warm = celsius === null ? "" : ` at ${temperatures(celsius, manner)}`;
  const first = days === null ? "" : ` First seedlings after ${days[0]} to ${days[1]} days.`;
  return `${name}: sow in ${months(sow.months)}${warm}; ${windowState(sow, today(manner))}.${first}`;
}

function restLine(answer: TaxonAnswer): string {
  const name = capital(nameOf(answer.asked, answer.accepted));
  const rests = answer.restsIn.length === 0 ? "has no marked rest" : `rests in ${list(answer.restsIn)}`;
  return `${name}, a ${answer.taxon.cycle}, ${rests}; ${answer.at.season}: ${answer.care.rule.phase}.`;
}
