import type { CareAnswer, TaxonAnswer, WhyStep } from "./answers.js";

/**
 * The chain behind an answer: name, rule row, the group's own rules, season and phase used, last entry, source.
 * Empty for an answer that no rule stands behind.
 */
export function whyOf(answer: CareAnswer): WhyStep[] {
  if (answer.kind === "several") return answer.answers.flatMap(whyOfTaxon);
  if (answer.kind === "taxon") return whyOfTaxon(answer);
  if (answer.kind === "name") {
    const { as, accepted, note } = answer.name;
    return as === null ? [] : [{ step: "name", asked: as, accepted, note }];
  }
  return [];
}

function whyOfTaxon(answer: TaxonAnswer): WhyStep[] {
  const { care, at } = answer;
  const steps: WhyStep[] = [];
  if (answer.asked !== answer.accepted) {
    steps.push({ step: "name", asked: answer.asked, accepted: answer.accepted, note: answer.nameNote });
  }
  steps.push({
    step: "rule",
    by: answer.by,
    speaksFor: answer.speaksFor,
    season: care.rule.season,
    file: care.rule.at.file,
    line: care.rule.at.line,
    remarks: care.rule.remarks,
  });
  for (const rule of new Set(care.overrides.map((override) => override.rule)))
    steps.push({ step: "own", rule });
  steps.push({
    step: "season",
    at,
    place: answer.place,
    asked: answer.seasonAsked,
    hemisphere: answer.hemisphere,
  });
  if (care.turn) steps.push({ step: "turn", other: care.turn.other.season, days: care.days });
  steps.push({ step: "phase", phase: care.rule.phase, cycle: answer.taxon.cycle });
  for (const standing of answer.standings) steps.push({ step: "last", standing });
  steps.push({ step: "source", basis: answer.basis, source: answer.source });
  return steps;
}
