import { seasonOfQuestion, valueC } from "./answer-taxon.js";
import type { CareQuestion, Circumstances, KnownPlant, ListAnswer, ListItem } from "./answers.js";
import { BASES, type Basis } from "./care.js";
import { subjectCovers } from "./coverage.js";
import type { CareKnowledge } from "./knowledge.js";
import { ruleAt } from "./lookup.js";
import { applyOwnRules } from "./own-rules.js";
import { byPlace, careFor, placeNamed, seasonIn, standingOf } from "./standing.js";

/** "which of our plants want water in winter", "what must not go below 10": goes over the household's plants. */
export function answerList(
  question: CareQuestion,
  knowledge: CareKnowledge,
  circumstances: Circumstances,
): ListAnswer {
  const value = valueC(question);
  const place = question.place ? (placeNamed(question.place, circumstances)?.name ?? null) : null;
  const group = question.subjects?.find((subject) => subject.group !== undefined)?.group ?? null;
  const { at, asked } = seasonOfQuestion(
    question,
    place ?? circumstances.defaultPlace ?? null,
    circumstances,
  );
  const plants = circumstances.plants.filter(
    (plant) =>
      (place === null || plant.place === place) &&
      (question.subjects ?? [{ all: true }]).some((subject) =>
        subjectCovers(subject, plant, knowledge.inGroup),
      ),
  );
  const withoutRule: string[] = [];
  const all =
    circumstances.plants.length > 0
      ? itemsOf(plants, asked ? at : null, knowledge, circumstances, withoutRule)
      : itemsOfTable(at, group, knowledge);
  const answers = (item: ListItem) =>
    value === null ? item.care.mode !== "none" : item.care.least.dry >= value - 0.3;
  const also = (item: ListItem) => value === null || (!answers(item) && item.care.least.moist >= value - 0.3);
  return {
    kind: "list",
    about: value === null ? "water" : "not below",
    season: at.season,
    seasonAsked: asked,
    place,
    group,
    valueC: value,
    ofHousehold: circumstances.plants.length > 0,
    items: all.filter(answers),
    others: all.filter((item) => !answers(item) && also(item)),
    withoutRule,
    basis: weakest(all.map((item) => item.care.rule.basis)),
  };
}

/** Household's plants, by taxon and place. @param at null: each at its own place's season today */
function itemsOf(
  plants: readonly KnownPlant[],
  at: ReturnType<typeof seasonOfQuestion>["at"] | null,
  knowledge: CareKnowledge,
  circumstances: Circumstances,
  withoutRule: string[],
): ListItem[] {
  const taxa = new Map<string, KnownPlant[]>();
  for (const plant of plants) {
    const species = plant.species ? `${plant.genus} ${plant.species}` : plant.genus;
    const found = knowledge.lookup.find(species);
    // A species that nothing speaks for by itself is told with its genus.
    const name =
      found && found.speaksFor !== "species" && found.speaksFor !== "section" ? plant.genus : species;
    taxa.set(name, [...(taxa.get(name) ?? []), plant]);
  }
  const items: ListItem[] = [];
  for (const [accepted, held] of [...taxa].sort(([a], [b]) => a.localeCompare(b))) {
    const found = knowledge.lookup.find(accepted, knowledge.index.familyOf(accepted));
    if (!found) {
      withoutRule.push(accepted);
      continue;
    }
    for (const [standsIn, some] of byPlace(held)) {
      const known = placeNamed(standsIn, circumstances);
      const here = seasonIn(known, circumstances);
      const first = some[0] as KnownPlant;
      const now = careFor(found, here, first, circumstances, knowledge.inGroup);
      const care = at ? careFor(found, at, first, circumstances, knowledge.inGroup) : now;
      const standing = standingOf(some, now, known, standsIn, circumstances.date);
      const counts = some.map((plant) => plant.count ?? (plant.tag ? 1 : null));
      const count = counts.some((one) => one === null)
        ? null
        : counts.reduce<number>((sum, one) => sum + (one ?? 0), 0);
      items.push({
        accepted,
        place: standsIn,
        count,
        care,
        speaksFor: found.speaksFor,
        daysAgo: standing.daysAgo,
        state: standing.state,
      });
    }
  }
  return items;
}

function itemsOfTable(
  at: ReturnType<typeof seasonOfQuestion>["at"],
  group: string | null,
  knowledge: CareKnowledge,
): ListItem[] {
  const items: ListItem[] = [];
  for (const taxon of knowledge.lookup.table.taxa.values()) {
    if (taxon.rank !== "genus" || !knowledge.lookup.table.rules.has(taxon.name)) continue;
    if (group !== null && !knowledge.inGroup(taxon.name, null, group)) continue;
    const found = knowledge.lookup.find(taxon.name);
    if (!found) continue;
    const care = applyOwnRules(ruleAt(found.rules, at), []);
    items.push({
      accepted: taxon.name,
      place: null,
      count: null,
      care,
      speaksFor: found.speaksFor,
      daysAgo: null,
      state: care.mode === "none" ? "keep dry" : "never noted",
    });
  }
  return items.sort((a, b) => a.accepted.localeCompare(b.accepted));
}

/** A list is as sure as its least sure row. */
function weakest(bases: readonly Basis[]): Basis {
  return bases.reduce<Basis>(
    (least, basis) => (BASES.indexOf(basis) > BASES.indexOf(least) ? basis : least),
    "published",
  );
}
