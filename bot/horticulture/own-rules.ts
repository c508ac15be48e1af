import type { Temporal } from "temporal-polyfill";
import type { Range, Season, WaterMode } from "./care.js";
import { type InGroup, type PlantLike, type SubjectLike, statementCovers } from "./coverage.js";
import type { RuleNow } from "./lookup.js";

/** The group's own practice, said in words; it goes before the table. */
export interface OwnCareRule {
  subjects: readonly SubjectLike[];
  /** Whole year if absent. */
  season?: Season;
  /** "every 10 days" */
  everyDays?: { from: number; to: number };
  /** An act never done: "never water the lithops". */
  never?: string;
  /** "stay above 14", °C. */
  leastC?: number;
  saidBy: string;
  saidOn: Temporal.PlainDate;
  /** As it was said. */
  words: string;
}

/** One thing that an own rule put in the place of the table's. */
export type Override =
  | { what: "interval"; own: Range; book: Range | null; bookMode: WaterMode; rule: OwnCareRule }
  | { what: "never"; act: string; rule: OwnCareRule }
  | { what: "least"; ownC: number; book: { dry: number; moist: number }; rule: OwnCareRule };

/** What holds for a plant: the table's rule with the group's own practice over it. */
export interface CareNow extends RuleNow {
  least: { dry: number; moist: number };
  /** In the order they were said; empty where the table speaks alone. */
  overrides: Override[];
}

/** Own rules that speak of the plant in that season, in the order they were said. */
export function ownRulesFor(
  plant: PlantLike,
  season: Season,
  rules: readonly OwnCareRule[],
  inGroup: InGroup,
): OwnCareRule[] {
  return rules
    .filter((rule) => rule.season === undefined || rule.season === season)
    .filter((rule) => statementCovers({ subjects: rule.subjects }, plant, inGroup))
    .sort((a, b) => a.saidOn.toString().localeCompare(b.saidOn.toString()));
}

/**
 * The rule with the group's own practice over it; a later rule goes before an earlier one. An own interval where the
 * table keeps the plant dry is taken as sips. The rule itself stays in the result, so that both can be shown.
 */
export function applyOwnRules(now: RuleNow, own: readonly OwnCareRule[]): CareNow {
  const care: CareNow = { ...now, least: now.rule.least, overrides: [] };
  for (const rule of own) {
    if (rule.everyDays) {
      const days: Range = [rule.everyDays.from, Math.max(rule.everyDays.from, rule.everyDays.to)];
      care.overrides.push({ what: "interval", own: days, book: now.days, bookMode: now.mode, rule });
      care.days = days;
      if (care.mode === "none") care.mode = "sips";
      care.turn = null;
    }
    if (rule.never !== undefined) {
      care.overrides.push({ what: "never", act: rule.never, rule });
      if (rule.never === "water") {
        care.mode = "none";
        care.days = null;
        care.turn = null;
        care.restEndedDaysAgo = null;
      }
    }
    if (rule.leastC !== undefined) {
      care.overrides.push({ what: "least", ownC: rule.leastC, book: now.rule.least, rule });
      care.least = { dry: rule.leastC, moist: rule.leastC };
    }
  }
  return care;
}
