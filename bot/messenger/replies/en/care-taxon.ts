import type { TaxonAnswer } from "../../../horticulture/answers.js";
import { SEASONS } from "../../../horticulture/care.js";
import type { Caution } from "../../../horticulture/cautions.js";
import { type CareSaid, grounded, nameOf, said } from "./care-said.js";
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

/** "Haworthia, winter" */
const plainHead = (answer: TaxonAnswer): string =>
  `${capital(nameOf(answer.asked, answer.accepted))}, ${answer.at.season}`;

/** A place that can fall below what the plants take: said where temperature is spoken of. */
function floorLine(answer: TaxonAnswer, manner: Manner): string | null {
  const low = answer.standings.find((standing) => standing.floorTooLowC !== null);
  if (!low || low.floorTooLowC === null) return null;
  return `${low.place ?? "The place"} is kept above ${temperature(low.floorTooLowC, manner)} only: too cold for yours there.`;
}

/** A rule that speaks for more than the taxon says so. */
function caveat(answer: TaxonAnswer): string | null {
  if (answer.rank === "family" || answer.rank === "group") return null;
  if (answer.speaksFor === "family")
    return `No rule of its own: this is its family's, ${answer.by}; one of yours would go before it.`;
  if (answer.speaksFor === "group")
    return `No rule of its own: this is the general one for ${answer.by}; one of yours would go before it.`;
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

/** What the rule of any season says to do about one thing: "repot dry from late January". */
function taskOn(answer: TaxonAnswer, pattern: RegExp, manner: Manner): string | null {
  const told = SEASONS.map((season) => answer.rules[season].todo).find((todo) => pattern.test(todo));
  return told === undefined ? null : sentence(tableWords(told, answer, manner));
}

const sentence = (text: string): string | null =>
  text === "" ? null : `${capital(text.replace(/\.$/, ""))}.`;

export function taxonLines(answer: TaxonAnswer, manner: Manner): CareSaid {
  const { care, taxon } = answer;
  const { rule } = care;
  const own = ownLines(care, today(manner), manner);
  const yours = answer.standings.map((standing) => standingLine(standing, answer, manner));
  const basis = grounds(answer.basis, answer.source);
  const taxonBasis = grounds(taxon.basis, answer.taxonSource);
  const cautions = answer.cautions.map(cautionText);
  const normal = rule.normal === "" ? null : `Normal now: ${tableWords(rule.normal, answer, manner)}.`;
  const todo = sentence(tableWords(rule.todo, answer, manner));
  const remarks = sentence(tableWords(rule.remarks, answer, manner));
  const water = `${head(answer)}: ${watering(care.mode, care.days)}. ${limits(care.least, manner)}`;
  const about = [caveat(answer), placeLine(answer)];
  const floor = floorLine(answer, manner);
  const grown = `${capital(rule.phase)}; a ${taxon.cycle}.`;
  const light = `Light: ${tableWords(rule.light, answer, manner)}. Feed: ${tableWords(rule.feed, answer, manner)}.`;

  if (answer.sign) return grounded([signLine(answer, manner), ...about], basis, [todo, ...yours, remarks]);
  if (answer.verdict) {
    return grounded([verdictLine(answer, manner), floor, ...own, ...about], basis, [remarks, ...yours]);
  }
  switch (answer.topic) {
    case "water":
      return grounded([water, ...about, ...own, ...yours], basis, [normal, todo, remarks]);
    case "temperature": {
      const least = `${plainHead(answer)}: ${lower(limits(care.least, manner))}`;
      return grounded([least, frost(answer), floor, ...own, ...about], basis, [remarks]);
    }
    case "light":
      return grounded([`${plainHead(answer)}: ${tableWords(rule.light, answer, manner)}.`, ...about], basis, [
        normal,
        todo,
      ]);
    case "feed":
      return grounded(
        [`${plainHead(answer)}: feed ${tableWords(rule.feed, answer, manner)}.`, ...about],
        basis,
        [grown],
      );
    case "repot": {
      const first = grounded([repotLine(answer, manner), taskOn(answer, /\bpot|repot/i, manner)], taxonBasis);
      return said(
        [...first.lines, ...cautions],
        [...about, sentence(tableWords(taxon.remarks, answer, manner))],
      );
    }
    case "sow": {
      const first = grounded([sowLine(answer, manner), taskOn(answer, /\bsow|seed/i, manner)], taxonBasis);
      return said(
        [...first.lines, ...cautions],
        [...about, sentence(tableWords(taxon.remarks, answer, manner))],
      );
    }
    case "rest":
      return grounded([restLine(answer), normal, todo], basis, [...about, water, ...yours, remarks]);
    case "hazard": {
      const aid = [...new Set(answer.cautions.map((caution) => caution.firstAid))];
      const [first] = answer.cautions;
      if (!first) return said([noCaution(answer)]);
      return said(
        [...cautions.slice(0, 3), grounds(first.basis, first.source)],
        [...aid, ...cautions.slice(3)],
      );
    }
    case "any": {
      const [first = null, ...others] = [...own, ...yours, ...about].filter((line) => line !== null);
      return grounded([water, `${grown} ${todo ?? ""}`.trim(), first, cautionHeads(answer)], basis, [
        ...others,
        floor,
        normal,
        light,
        repotLine(answer, manner, null),
        sowLine(answer, manner, null),
        ...cautions,
        remarks,
      ]);
    }
  }
}

/** "Caution: irritant latex burns skin and eyes; CITES Appendix I." */
function cautionHeads(answer: TaxonAnswer): string | null {
  const heads = answer.cautions.map((caution) => caution.text.split(":")[0] as string);
  return heads.length === 0 ? null : `Caution: ${heads.slice(0, 2).join("; ")}.`;
}

const noCaution = (answer: TaxonAnswer): string =>
  `${nameOf(answer.asked, answer.accepted)}: no caution in the tables. That is no promise that it is harmless; a vet or a poison line knows more.`;

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

function signLine(answer: TaxonAnswer, manner: Manner): string {
  const sign = answer.sign as NonNullable<TaxonAnswer["sign"]>;
  const name = capital(nameOf(answer.asked, answer.accepted));
  const { season } = answer.at;
  const words = tableWords(sign.words, answer, manner);
  const calm = /rest|dead|dormant/.test(words) ? "" : " It rests, it is not dead.";
  const whose = sign.of === null ? name : (sign.of.replace(/^(\S+) \[(.+)\]$/, "$1, $2") as string);
  if (sign.normal === true) return `Yes, normal in ${season}. ${whose}: ${words}.${calm}`;
  if (sign.normal === false && sign.seasons.length > 0) {
    return `${whose}: normal in ${list(sign.seasons)} (${words}), not in ${season}. Feel the stem: firm is rest, soft is rot.`;
  }
  if (sign.normal === false) return `${name}: no, that is never part of its rest. Look at it soon.`;
  return `${name}, ${season}: the table knows nothing like it as normal. Feel stem and roots: firm is rest, soft is rot.`;
}

const nameWord = (answer: TaxonAnswer): string => capital(nameOf(answer.asked, answer.accepted));
const headed = (name: string | null, text: string): string =>
  name === null ? capital(text) : `${name}: ${text}`;

/** @param name null where the name has just been said */
function repotLine(answer: TaxonAnswer, manner: Manner, name: string | null = nameWord(answer)): string {
  const { repot, taxon } = answer;
  if (repot.months.length === 0) return headed(name, "the table gives no month for repotting.");
  const years = taxon.repotEveryYears;
  const every =
    years === null ? "" : `, every ${years[0] === years[1] ? years[0] : `${years[0]} to ${years[1]}`} years`;
  const dry = answer.repotDry ? " in bone-dry substrate" : "";
  return headed(
    name,
    `repot ${months(repot.months)}${dry}${years?.[1] === 1 ? ", every year" : every}; ${windowState(repot, today(manner))}.`,
  );
}

function sowLine(answer: TaxonAnswer, manner: Manner, name: string | null = nameWord(answer)): string {
  const { sow } = answer;
  const { celsius, days } = answer.taxon.germination;
  if (sow.months.length === 0) return headed(name, "the table gives no month for sowing.");
  const warm = celsius === null ? "" : ` at ${temperatures(celsius, manner)}`;
  const first = days === null ? "" : ` First seedlings after ${days[0]} to ${days[1]} days.`;
  return headed(name, `sow ${months(sow.months)}${warm}; ${windowState(sow, today(manner))}.${first}`);
}

function restLine(answer: TaxonAnswer): string {
  const name = capital(nameOf(answer.asked, answer.accepted));
  const rests = answer.restsIn.length === 0 ? "has no marked rest" : `rests in ${list(answer.restsIn)}`;
  return `${name}, a ${answer.taxon.cycle}, ${rests}; ${answer.at.season}: ${answer.care.rule.phase}.`;
}
