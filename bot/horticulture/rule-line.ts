import { SEASONS, type Season, type Source } from "./care.js";
import { type Caution, cautionsFor } from "./cautions.js";
import type { CareLookup, FoundRules } from "./lookup.js";
import { turnMonthWords } from "./months.js";
import type { Rank } from "./names.js";
import { type Hemisphere, turnMonths } from "./seasons.js";
import type { TaxonIndex } from "./taxon-index.js";

/** What the table says of one name, as one line of `npm run rules -- --json`. */
export interface RuleLine {
  asked: string;
  accepted: string | null;
  rank: Rank | null;
  speaksFor: "species" | "genus" | "group" | "family" | null;
  candidates?: string[];
  /** Near names of a doubtful spelling. */
  nearest?: string[];
  family?: string | null;
  /** The row that speaks, where it is not the accepted name itself. */
  by?: string;
  cultivar?: string;
  fieldNumber?: string;
  cycle?: string;
  repot?: number[];
  repotEveryYears?: readonly [number, number] | null;
  sow?: number[];
  germination?: { celsius: readonly [number, number] | null; days: readonly [number, number] | null };
  budTrigger?: string;
  frostDry?: boolean;
  cautions?: string[];
  seasons?: Record<Season, SeasonLine>;
}

export interface SeasonLine {
  phase: string;
  water: { mode: string; days: readonly [number, number] | null };
  least: { dry: number; moist: number };
  light: string;
  feed: string;
  normal: string;
  do: string;
  basis: string;
  source: string | null;
}

/** Source in words: "Royal Horticultural Society, Epiphyllum profile". */
export function sourceName(source: Source | undefined): string | null {
  if (!source) return null;
  const year = source.year === "" ? "" : `, ${source.year}`;
  return source.author === "" || source.title.startsWith(source.author)
    ? `${source.title}${year}`
    : `${source.author}, ${source.title}${year}`;
}

/** A section is a part of its genus that a species belongs to; for a line it speaks for the species named. */
function spokenFor(found: FoundRules, rank: Rank): RuleLine["speaksFor"] {
  if (found.speaksFor !== "section") return found.speaksFor;
  return rank === "species" ? "species" : "genus";
}

export function ruleLine(
  asked: string,
  index: TaxonIndex,
  lookup: CareLookup,
  hemisphere: Hemisphere,
  cautions: readonly Caution[],
): RuleLine {
  const name = index.resolve(asked);
  const none = { asked, accepted: null, rank: null, speaksFor: null };
  switch (name.kind) {
    case "unknown":
      return none;
    case "doubtful":
      return { ...none, nearest: name.nearest };
    case "ambiguous":
      return { ...none, candidates: name.candidates };
    case "taxon":
      break;
  }
  const found = lookup.findResolved(name);
  const known = {
    asked,
    accepted: name.accepted,
    rank: name.rank,
    speaksFor: found ? spokenFor(found, name.rank) : null,
    ...(name.candidates.length > 0 ? { candidates: name.candidates } : {}),
    family: name.family,
    ...(name.cultivar ? { cultivar: name.cultivar } : {}),
    ...(name.fieldNumber ? { fieldNumber: name.fieldNumber } : {}),
  };
  if (!found) return known;
  const { taxon, rules, by } = found;
  const words = (text: string) => turnMonthWords(text, hemisphere);
  const seasons = Object.fromEntries(
    SEASONS.map((season) => {
      const rule = rules[season];
      const line: SeasonLine = {
        phase: rule.phase,
        water: rule.water,
        least: rule.least,
        light: words(rule.light),
        feed: words(rule.feed),
        normal: words(rule.normal),
        do: words(rule.todo),
        basis: rule.basis,
        source: sourceName(lookup.table.sources.get(rule.source ?? "")),
      };
      return [season, line];
    }),
  ) as Record<Season, SeasonLine>;
  return {
    ...known,
    ...(by.name === name.accepted ? {} : { by: by.name }),
    cycle: taxon.cycle,
    repot: turnMonths(taxon.repot, hemisphere),
    repotEveryYears: taxon.repotEveryYears,
    sow: turnMonths(taxon.sow, hemisphere),
    germination: taxon.germination,
    budTrigger: words(taxon.budTrigger),
    frostDry: taxon.frostDry,
    cautions: cautionsFor(name, "hazard", cautions, taxon.groups).map((caution) => caution.text),
    seasons,
  };
}
