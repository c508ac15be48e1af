import type { Temporal } from "temporal-polyfill";
import type { Standing, TaxonAnswer, Window } from "../../../horticulture/answers.js";
import type { Basis, Range, Source, WaterMode } from "../../../horticulture/care.js";
import { monthSpans, turnMonthWords } from "../../../horticulture/months.js";
import type { CareNow, Override, OwnCareRule } from "../../../horticulture/own-rules.js";
import { fahrenheit } from "../../../journal/units.js";
import { capital } from "./entries.js";
import { day, list, type Manner, MONTH_NAMES, number, shortDate, temperature } from "./figures.js";

/** Phrases of care: intervals, limits, grounds. Fragments without a full stop. */

/** "every 2 to 3 weeks", "every 10 to 18 days", "weekly", "every 10 days" */
export function interval([lo, hi]: Range): string {
  if (lo % 7 === 0 && hi % 7 === 0) {
    if (lo === 7 && hi === 7) return "every week";
    const weeks = lo === hi ? `${lo / 7}` : `${lo / 7} to ${hi / 7}`;
    return `every ${weeks} weeks`;
  }
  return lo === hi ? (lo === 1 ? "daily" : `every ${lo} days`) : `every ${lo} to ${hi} days`;
}

const MODES: Readonly<Record<WaterMode, string>> = {
  none: "keep it bone dry",
  sips: "a sip",
  light: "a light watering",
  normal: "water it through",
  generous: "water it well",
};
const AFTER: Readonly<Record<WaterMode, string>> = {
  none: "",
  sips: "",
  light: "",
  normal: ", dry in between",
  generous: ", never quite dry",
};

export function watering(mode: WaterMode, days: Range | null): string {
  if (mode === "none" || days === null) return MODES.none;
  return `${MODES[mode]} ${interval(days)}${AFTER[mode]}`;
}

/** "Dry it takes 5 °C, moist keep it above 8 °C." */
export function limits(least: { dry: number; moist: number }, manner: Manner): string {
  if (least.dry === least.moist) return `Keep it above ${temperature(least.dry, manner)}.`;
  return `Dry it takes ${temperature(least.dry, manner)}, moist keep it above ${temperature(least.moist, manner)}.`;
}

/** "20 to 28 °C" */
export function temperatures([lo, hi]: Range, manner: Manner): string {
  if (lo === hi) return temperature(lo, manner);
  const from = manner.units === "imperial" ? number(fahrenheit(lo), 0) : number(lo);
  return `${from} to ${temperature(hi, manner)}`;
}

/** "from January to March", "in March and in September" */
export function months(of: readonly number[]): string {
  const name = (month: number) => MONTH_NAMES[month - 1] as string;
  return list(
    monthSpans(of).map(([from, to]) => {
      if (from === 1 && to === 12) return "in any month";
      return from === to ? `in ${name(from)}` : `from ${name(from)} to ${name(to)}`;
    }),
  );
}

/** "that is now", "next from Sat 1 Jan, in 27 days" */
export function windowState(window: Window, today: Temporal.PlainDate): string {
  if (window.open) return "that is now";
  return window.opens ? `next from ${day(window.opens, today)}` : "";
}

/** Short name of a source for one line: author or society, without branch or year. */
export function sourceShort(source: Source): string {
  const name = source.author === "" ? source.title : source.author;
  return name.split(/[,;(]/)[0]?.trim() ?? name;
}

/** "Common practice.", "From memory.", "Published: RHS." */
export function grounds(basis: Basis, source: Source | null): string {
  if (basis === "published" && source) return `Published: ${sourceShort(source).replace(/\.$/, "")}.`;
  return `${capital(basis)}.`;
}

export const ownRuleName = (rule: OwnCareRule, today: Temporal.PlainDate): string =>
  `your own rule (${rule.saidBy}, ${shortDate(rule.saidOn, today).replace(/^\w+ /, "")})`;

/** Both the group's practice and the book's. */
export const ownLines = (care: CareNow, today: Temporal.PlainDate, manner: Manner): string[] =>
  care.overrides.map((override) => ownLine(override, care, today, manner));

function ownLine(override: Override, care: CareNow, today: Temporal.PlainDate, manner: Manner): string {
  const whose = capital(ownRuleName(override.rule, today));
  const { mode, days } = care.rule.water;
  switch (override.what) {
    case "interval":
      return `${whose}: ${interval(override.own)}. The book: ${watering(override.bookMode, override.book)}.`;
    case "never": {
      const book = override.act === "water" ? ` The book: ${watering(mode, days)}.` : "";
      return `${whose}: never ${override.act.replaceAll("_", " ")}.${book}`;
    }
    case "least": {
      const { dry, moist } = override.book;
      const apart = `${temperature(dry, manner)} dry, ${temperature(moist, manner)} moist`;
      const book = dry === moist ? temperature(dry, manner) : apart;
      return `${whose}: above ${temperature(override.ownC, manner)}. The book: ${book}.`;
    }
  }
}

const STATES: Readonly<Record<Standing["state"], string>> = {
  "keep dry": "stays dry now",
  "not yet": "not yet due",
  due: "due now",
  overdue: "overdue",
  "too cold": "due, but it was too cold there",
  "never noted": "no watering noted yet",
};

/** "Yours (Long House) had one 19 days ago: due now." */
export function standingLine(standing: Standing, answer: TaxonAnswer, manner: Manner): string {
  const whose = standing.place ? `Yours (${standing.place})` : "Yours";
  const { daysAgo, state } = standing;
  const cold =
    state === "too cold" && standing.coldestC !== null
      ? ` (${temperature(standing.coldestC, manner)}, wants ${temperature(answer.care.least.moist, manner)})`
      : "";
  if (daysAgo === null) return `${whose}: ${STATES[state]}.`;
  const ago = daysAgo === 0 ? "today" : daysAgo === 1 ? "yesterday" : `${daysAgo} days ago`;
  const had = answer.care.mode === "sips" && standing.mode === "sips" ? "had one" : "last had water";
  return `${whose} ${had} ${ago}: ${STATES[state]}${cold}.`;
}

const CELSIUS = /(?<![\d.])(-?\d+(?:\.\d+)?)(?: (to|or|and) (-?\d+(?:\.\d+)?))? ?°C/g;

/** A text of the table as this household reads it: its months and its unit of temperature. */
export function tableWords(
  text: string,
  answer: Pick<TaxonAnswer, "hemisphere">,
  manner: Pick<Manner, "units">,
): string {
  const turned = turnMonthWords(text, answer.hemisphere);
  if (manner.units === "metric") return turned;
  return turned.replace(CELSIUS, (_all, from: string, join?: string, to?: string) => {
    const first = number(fahrenheit(Number(from)), 0);
    return to === undefined ? `${first} °F` : `${first} ${join} ${number(fahrenheit(Number(to)), 0)} °F`;
  });
}
