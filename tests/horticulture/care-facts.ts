import { type RuleSet, SEASONS, type Season } from "../../bot/horticulture/care.js";
import { cautionsFor } from "../../bot/horticulture/cautions.js";
import type { FoundRules } from "../../bot/horticulture/lookup.js";
import { seasonOfMonth } from "../../bot/horticulture/seasons.js";
import type { Row } from "../../db/care/csv.js";
import { type Compared, knowledge } from "./knowledge.js";

/** How one row of the published care facts is compared with the table. */

/** A keeping temperature may differ by this from a published one; growers' figures scatter more than that. */
const LEAST_TOLERANCE_K = 3;

const GENERAL: Readonly<Record<string, string>> = {
  "(cacti general)": "cacti",
  "(epiphytic cacti)": "epiphytic cacti",
  "(mesembs general)": "mesembs",
  "(Stapelieae general)": "stapeliads",
  // Winter-growing succulents as a whole: the mesembs that are sown in autumn stand for them.
  "(succulents, winter-growing)": "Conophytum",
  "(succulents, spring-growing shrubby mesembs)": "Lampranthus",
};

const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
const FULL = [
  "January",
  "February",
  "March",
  "April",
  "May",
  "June",
  "July",
  "August",
  "September",
  "October",
  "November",
  "December",
];

export function subjectOf(row: Row): string {
  const genus = row.get("genus");
  const general = GENERAL[genus];
  if (general) return general;
  const species = row.get("species");
  return /^[a-z]/.test(species) ? `${genus} ${species}` : genus;
}

function rulesFor(row: Row): FoundRules {
  const subject = subjectOf(row);
  const name = knowledge.index.resolve(subject);
  if (name.kind !== "taxon") throw new Error(`${row.get("id")}: ${subject} is ${name.kind}`);
  const found = knowledge.lookup.find(name.accepted, name.family);
  if (!found) throw new Error(`${row.get("id")}: nothing speaks for ${name.accepted}`);
  return found;
}

const numbers = (text: string): [number, number] => {
  const found = [...text.matchAll(/(?<![\d.])-?\d+(?:\.\d+)?/g)].map(Number);
  const dashed = /^(-?\d+(?:\.\d+)?)-(\d+(?:\.\d+)?)$/.exec(text);
  if (dashed) return [Number(dashed[1]), Number(dashed[2])];
  return [found[0] as number, (found[1] ?? found[0]) as number];
};

const overlaps = (a: readonly number[], b: readonly number[]): boolean =>
  (a[0] as number) <= (b[1] as number) && (b[0] as number) <= (a[1] as number);

/** Months named in a text: "Jan-Mar (heated) or Apr-May", "April", "autumn-winter". */
export function monthsIn(text: string): number[] {
  const months = new Set<number>();
  const word = MONTHS.map((month, i) => `${FULL[i]}|${month}`).join("|");
  for (const [, from = "", to] of text.matchAll(new RegExp(`(${word})(?:-(${word}))?`, "g"))) {
    const index = (name: string) => MONTHS.indexOf(name.slice(0, 3)) + 1;
    for (let month = index(from); ; month = (month % 12) + 1) {
      months.add(month);
      if (month === index(to ?? from)) break;
    }
  }
  for (const season of SEASONS) {
    if (text.toLowerCase().includes(season)) {
      for (let month = 1; month <= 12; month++) if (seasonOfMonth(month) === season) months.add(month);
    }
  }
  return [...months];
}

const seasonOf = (row: Row, otherwise: Season): Season =>
  SEASONS.find((season) => season === row.get("season")) ?? otherwise;

/** Seasons that lie in a span of months by more than half. */
const seasonsIn = (months: readonly number[]): Season[] =>
  SEASONS.filter((season) => months.filter((month) => seasonOfMonth(month) === season).length >= 2);

const words = (rules: RuleSet, of: (rules: RuleSet, season: Season) => string): string =>
  SEASONS.map((season) => of(rules, season)).join(" | ");

type Check = (row: Row, found: FoundRules) => { ours: string; agrees: boolean };

const CHECKS: Readonly<Record<string, Check>> = {
  min_temp_dry_C: (row, { rules }) => {
    const ours = rules[seasonOf(row, "winter")].least.dry;
    return { ours: `${ours}`, agrees: Math.abs(ours - Number(row.get("value"))) <= LEAST_TOLERANCE_K };
  },
  min_temp_wet_C: (row, { rules }) => {
    const ours = rules[seasonOf(row, "winter")].least.moist;
    return { ours: `${ours}`, agrees: Math.abs(ours - Number(row.get("value"))) <= LEAST_TOLERANCE_K };
  },
  rest_months: (row, { rules }) => {
    const seasons = seasonsIn(monthsIn(row.get("value")));
    const ours = seasons.map((season) => `${season} ${rules[season].phase}, ${rules[season].water.mode}`);
    const resting = (season: Season) =>
      rules[season].phase === "resting" || ["none", "sips"].includes(rules[season].water.mode);
    return { ours: ours.join("; "), agrees: seasons.length > 0 && seasons.every(resting) };
  },
  water_interval_days: (row, { rules }) => {
    const { mode, days } = rules[seasonOf(row, "summer")].water;
    const agrees = days !== null && overlaps(days, numbers(row.get("value")));
    return { ours: days === null ? mode : days.join("-"), agrees };
  },
  water_mode: (row, { rules }) => {
    const { mode } = rules[seasonOf(row, "winter")].water;
    return {
      ours: mode,
      agrees: row.get("value") === "none" ? mode === "none" : ["sips", "light"].includes(mode),
    };
  },
  growth_cycle: (row, { taxon }) => {
    const published = row.get("value") === "opportunistic" ? "opportunist" : row.get("value");
    return { ours: taxon.cycle, agrees: taxon.cycle === published };
  },
  sow_month: (row, { taxon }) => ({
    ours: taxon.sow.join(","),
    agrees: monthsIn(row.get("value")).some((month) => taxon.sow.includes(month)),
  }),
  germination_temp_C: (row, { taxon }) => {
    const range = taxon.germination.celsius;
    return {
      ours: range?.join("-") ?? "",
      agrees: range !== null && overlaps(range, numbers(row.get("value"))),
    };
  },
  germination_days: (row, { taxon }) => {
    const range = taxon.germination.days;
    return {
      ours: range?.join("-") ?? "",
      agrees: range !== null && overlaps(range, numbers(row.get("value"))),
    };
  },
  repot_window: (row, { taxon }) => {
    const value = row.get("value");
    const months = monthsIn(value);
    const every = taxon.repotEveryYears;
    const years = /yearly/.test(value)
      ? [1, 1]
      : /every (\d+)(?:-(\d+))?/
          .exec(value)
          ?.slice(1)
          .map((n) => Number(n ?? 0));
    const span = years ? [years[0] as number, years[1] || (years[0] as number)] : null;
    const inMonths = months.length === 0 || months.some((month) => taxon.repot.includes(month));
    const inYears = span === null || (every !== null && overlaps(every, span));
    return {
      ours: `${taxon.repot.join(",")}; every ${every?.join("-") ?? "?"}`,
      agrees: inMonths && inYears,
    };
  },
  feed: (row, { rules }) =>
    matched(
      row,
      words(rules, (set, season) => set[season].feed),
    ),
  light: (row, { rules }) =>
    matched(
      row,
      words(rules, (set, season) => set[season].light),
    ),
  bud_trigger: (row, { taxon, rules }) =>
    matched(
      row,
      `${taxon.budTrigger} | ${words(rules, (set, season) => `${set[season].todo}; ${set[season].remarks}`)}`,
    ),
  leaf_drop_normal: (row, { rules }) => matched(row, rules[seasonOf(row, "winter")].normal),
  hazard: (row, found) => {
    const name = knowledge.index.resolve(subjectOf(row));
    const told =
      name.kind === "taxon" ? cautionsFor(name, "hazard", knowledge.cautions, found.taxon.groups) : [];
    const rules = words(
      found.rules,
      (set, season) => `${set[season].normal}; ${set[season].todo}; ${set[season].remarks}`,
    );
    return matched(
      row,
      `${told.map((caution) => caution.text).join(" | ")} | ${found.taxon.remarks} | ${rules}`,
    );
  },
};

/** What the table's words must say for a fact told in words. */
const SAYS: Readonly<Record<string, RegExp>> = {
  CF010: /potash/i,
  CF084: /fortnight|14 days|two weeks|2 weeks/i,
  CF134: /second watering|fortnight/i,
  CF211: /sparing|twice|once|months|little|monthly/i,
  CF020: /shade|filtered/i,
  CF078: /dry.*rest|rest/i,
  CF081: /1[0-5]|cool/i,
  CF161: /long nights|short days|nights? (?:over|longer)|1[234] ?h/i,
  CF162: /1[0-9] ?°?C?|cool|warm/i,
  CF163: /weeks|bud|night/i,
  CF165: /long nights|short days|nights? (?:over|longer)|1[234] ?h/i,
  CF023: /black|rot/i,
  CF089: /mould|nectar|honeydew|sooty/i,
  CF115: /rot|split|crack|root/i,
  CF253: /scorch|shade|sun/i,
  CF283: /latex|sap/i,
  CF294: /sap|toxic|eaten|irrita/i,
  CF354: /toxic|poison|sap/i,
  CF244: /old (?:leaf|leaves|pair)|leaves/i,
  CF309: /leaf|leaves|leafless|bare/i,
  CF337: /vine|leaf|leaves|leafless|bare|dies? back|dry/i,
  CF352: /leaf|leaves|leafless|bare/i,
};

function matched(row: Row, text: string): { ours: string; agrees: boolean } {
  const pattern = SAYS[row.get("id")];
  if (!pattern) throw new Error(`${row.get("id")}: no pattern for ${row.get("aspect")}`);
  return { ours: text, agrees: pattern.test(text) };
}

export function compareFact(row: Row): Compared {
  const check = CHECKS[row.get("aspect")];
  if (!check) throw new Error(`${row.get("id")}: unknown aspect ${row.get("aspect")}`);
  return {
    id: row.get("id"),
    what: `${subjectOf(row)} ${row.get("aspect")}${row.get("season") === "any" ? "" : ` in ${row.get("season")}`}`,
    published: `${row.get("value")} ${row.get("unit")}`.trim(),
    source: row.get("source_name"),
    ...check(row, rulesFor(row)),
  };
}
