import type {
  AskedSubject,
  CareQuestion,
  Circumstances,
  KnownPlant,
  TaxonAnswer,
  Verdict,
} from "./answers.js";
import { SEASONS, type Season } from "./care.js";
import { cautionsFor } from "./cautions.js";
import { subjectCovers } from "./coverage.js";
import type { CareKnowledge } from "./knowledge.js";
import type { FoundRules } from "./lookup.js";
import type { CareNow } from "./own-rules.js";
import { type PlaceSeason, placeSeason, seasonAsked } from "./place-season.js";
import type { ResolvedTaxon } from "./resolution.js";
import { seasonOfMonth } from "./seasons.js";
import { signIn } from "./signs.js";
import { plain, singulars } from "./spelling.js";
import { byPlace, careFor, placeNamed, seasonIn, standingOf } from "./standing.js";
import { windowOn } from "./windows.js";

/** Above this, "can it take" asks about heat, of which the table says nothing. */
const HEAT_FROM_C = 30;

/** The season a question is about: the one it names, else that of the place the plants stand in. */
export function seasonOfQuestion(
  question: CareQuestion,
  placeName: string | null,
  circumstances: Circumstances,
): { at: PlaceSeason; asked: boolean } {
  if (question.season) return { at: seasonAsked(question.season), asked: true };
  if (question.month !== undefined) {
    const middle = circumstances.date.with({ day: 15, month: question.month });
    const at = placeSeason(middle, { latitude: circumstances.latitude ?? null }, circumstances.hemisphere);
    return { at, asked: true };
  }
  const at = seasonIn(placeNamed(placeName, circumstances), circumstances);
  if (valueC(question) !== null && at.season !== "winter") return { at: seasonAsked("winter"), asked: true };
  return { at, asked: false };
}

/** The temperature asked about, °C. */
export function valueC(question: CareQuestion): number | null {
  if (!question.value) return null;
  const { value, unit } = question.value;
  return unit === "[degF]" ? ((value - 32) * 5) / 9 : value;
}

/** Place that a question about these plants is about: the one named, the only one they stand in, or the default. */
function placeOf(
  question: CareQuestion,
  plants: readonly KnownPlant[],
  circumstances: Circumstances,
): string | null {
  if (question.place) return placeNamed(question.place, circumstances)?.name ?? null;
  const places = new Set(plants.map((plant) => plant.place));
  const [only] = places;
  if (places.size === 1 && only != null) return only;
  return circumstances.defaultPlace ?? null;
}

/** A plant of the taxon that nobody has yet, for own rules said of it. */
const imagined = (name: ResolvedTaxon): KnownPlant => ({
  genus: name.genus ?? name.accepted,
  species: name.species,
  cultivar: name.cultivar,
  tag: null,
  name: null,
  place: null,
  count: null,
  lastWatered: null,
});

/** The person's own word where it is another name; a plural is none. */
function wordFor(written: string | null, accepted: string): string {
  if (written === null || singulars(plain(written)).includes(plain(accepted))) return accepted;
  return written;
}

/** Answers a question about one taxon that something speaks for. */
export function answerTaxon(
  question: CareQuestion,
  subject: AskedSubject,
  name: ResolvedTaxon,
  found: FoundRules,
  knowledge: CareKnowledge,
  circumstances: Circumstances,
): TaxonAnswer {
  const { inGroup, lookup } = knowledge;
  const { date, hemisphere } = circumstances;
  const wanted = question.place ? placeNamed(question.place, circumstances)?.name : undefined;
  const plants = circumstances.plants.filter(
    (plant) => subjectCovers(subject, plant, inGroup) && (wanted === undefined || plant.place === wanted),
  );
  const place = placeOf(question, plants, circumstances);
  const { at, asked } = seasonOfQuestion(question, place, circumstances);
  const care = careFor(found, at, plants[0] ?? imagined(name), circumstances, inGroup);
  const value = valueC(question);
  const standings = [...byPlace(plants)].map(([standsIn, held]) => {
    const known = placeNamed(standsIn, circumstances);
    const now = careFor(found, seasonIn(known, circumstances), held[0] as KnownPlant, circumstances, inGroup);
    return standingOf(held, now, known, standsIn, date);
  });
  return {
    kind: "taxon",
    topic: question.topic,
    asked: wordFor(subject.as ?? name.as, name.accepted),
    accepted: name.accepted,
    rank: name.rank,
    nameNote: name.note,
    taxon: found.taxon,
    speaksFor: found.speaksFor,
    by: found.by.name,
    at,
    seasonAsked: asked,
    place,
    hemisphere,
    care,
    rules: found.rules,
    restsIn: SEASONS.filter((season) => found.rules[season].phase === "resting"),
    repot: windowOn(found.taxon.repot, date, hemisphere),
    repotDry: found.taxon.repot.some((month) => found.rules[seasonOfMonth(month)].water.mode === "none"),
    sow: windowOn(found.taxon.sow, date, hemisphere),
    verdict: value === null ? null : verdictOn(value, care, found, at.season),
    sign: question.sign === undefined ? null : signIn(question.sign, found, at.season, lookup),
    standings,
    cautions: cautionsFor(name, question.topic, knowledge.cautions, found.taxon.groups),
    basis: care.rule.basis,
    source: lookup.table.sources.get(care.rule.source ?? "") ?? null,
    taxonSource: lookup.table.sources.get(found.taxon.source ?? "") ?? null,
  };
}

/** Half a kelvin is within the reading of a thermometer: 41 °F stands for 5 °C. */
const TOLERANCE_K = 0.3;

function verdictOn(value: number, care: CareNow, found: FoundRules, season: Season): Verdict {
  const { least } = care;
  const facts = { valueC: value, season, least, frostDry: found.taxon.frostDry };
  if (value >= HEAT_FROM_C) return { ...facts, answer: "not known" };
  if (value >= least.moist - TOLERANCE_K) return { ...facts, answer: "yes" };
  if (value >= least.dry - TOLERANCE_K) return { ...facts, answer: "only dry" };
  return { ...facts, answer: "no" };
}
