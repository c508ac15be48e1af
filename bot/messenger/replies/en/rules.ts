import type { HouseholdRule } from "../../../journal/ports.js";
import { list, quantity } from "./figures.js";
import { subjectName } from "./subjects.js";

/** The group's own rule in one breath: "Aloe in summer: water every 10 days (Ines)". */
export function ruleWords({ rule, saidBy }: HouseholdRule): string {
  const what = list(rule.subjects.map((subject) => subjectName(subject)));
  const season = rule.season ? ` in ${rule.season}` : "";
  const parts: string[] = [];
  if (rule.never) parts.push(`never ${rule.never.replaceAll("_", " ")}`);
  if (rule.everyDays) {
    const { from, to } = rule.everyDays;
    parts.push(`water every ${from === to ? from : `${from} to ${to}`} days`);
  }
  if (rule.least) parts.push(`kept above ${quantity(rule.least)}`);
  return `${what}${season}: ${list(parts)} (${saidBy})`;
}

export const keptLine = (rule: HouseholdRule): string =>
  `Kept as your own rule: ${ruleWords(rule)}. It goes before the book's.`;

export const liftedLine = (rules: readonly HouseholdRule[]): string =>
  rules.length === 0
    ? "No rule of your own on that to forget."
    : `Forgotten: ${list(rules.map(ruleWords))}. The book's rule counts again.`;
