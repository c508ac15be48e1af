import { answerList } from "./answer-list.js";
import { answerTaxon } from "./answer-taxon.js";
import type {
  AskedSubject,
  CareAnswer,
  CareQuestion,
  Circumstances,
  NameAnswer,
  TaxonAnswer,
} from "./answers.js";
import type { CareKnowledge } from "./knowledge.js";
import type { Resolution, ResolvedTaxon } from "./resolution.js";

/**
 * Answers a question about care from the table, the group's own rules and what the household has.
 * Pure: date, place, readings and plants come with the circumstances.
 * @example answerCare({ topic: "water", subjects: [{ genus: "Gasteria" }], season: "winter" }, knowledge, around)
 */
export function answerCare(
  question: CareQuestion,
  knowledge: CareKnowledge,
  circumstances: Circumstances,
): CareAnswer {
  const subjects = question.subjects ?? [];
  const overAll = subjects.length === 0 || subjects.some((subject) => subject.all);
  const listed = question.topic === "water" || question.topic === "any" || question.value !== undefined;
  if (overAll) {
    if (!listed) return { kind: "no subject", topic: question.topic };
    return answerList(question, knowledge, circumstances);
  }
  const answers: TaxonAnswer[] = [];
  const withoutRule: string[] = [];
  let last: CareAnswer | null = null;
  for (const subject of subjects) {
    const answer = answerSubject(question, subject, knowledge, circumstances);
    if (answer.kind === "taxon") answers.push(answer);
    else {
      last = answer;
      withoutRule.push(subject.as ?? subject.genus ?? subject.group ?? "");
    }
  }
  const [only] = answers;
  if (only && subjects.length === 1) return only;
  if (answers.length === 0 && last) return last;
  return { kind: "several", answers, withoutRule };
}

function answerSubject(
  question: CareQuestion,
  subject: AskedSubject,
  knowledge: CareKnowledge,
  circumstances: Circumstances,
): CareAnswer {
  const resolved = nameOf(subject, knowledge, circumstances);
  if (resolved.kind !== "taxon") return resolved;
  const found = knowledge.lookup.findResolved(resolved);
  if (found) {
    const meant =
      resolved.genus !== null && subject.genus !== undefined && resolved.genus !== subject.genus
        ? { genus: resolved.genus, species: resolved.species ?? undefined, as: subject.as ?? subject.genus }
        : subject;
    return answerTaxon(question, meant, resolved, found, knowledge, circumstances);
  }
  if (subject.group !== undefined) {
    return answerList({ ...question, subjects: [subject] }, knowledge, circumstances);
  }
  const { asked, accepted, family } = resolved;
  return { kind: "no rule", asked: subject.as ?? asked, accepted, family };
}

/** The accepted name of a subject; a tagged plant's is looked up among the household's. */
function nameOf(subject: AskedSubject, knowledge: CareKnowledge, circumstances: Circumstances): Resolution {
  if (subject.genus === undefined && (subject.tag !== undefined || subject.name !== undefined)) {
    const word = (subject.tag ?? subject.name ?? "").toLowerCase();
    const plant = circumstances.plants.find(
      (known) => known.tag?.toLowerCase() === word || known.name?.toLowerCase() === word,
    );
    if (!plant) return { kind: "unknown", asked: subject.tag ?? subject.name ?? "" };
    const name = plant.species ? `${plant.genus} ${plant.species}` : plant.genus;
    const resolved = knowledge.index.resolve(name);
    return resolved.kind === "taxon" ? { ...resolved, as: subject.tag ?? subject.name ?? null } : resolved;
  }
  const written = [subject.genus ?? subject.group ?? "", subject.species ?? ""].join(" ").trim();
  const resolved = knowledge.index.resolve(written);
  if (resolved.kind !== "taxon" || subject.as === undefined) return resolved;
  return withTypedWord(resolved, knowledge.index.resolve(subject.as), knowledge, circumstances);
}

/**
 * The word that was typed may say more than the name it was read as: where authorities differ, or that it is used for
 * several plants. Then it is asked which, unless the household has but one of them.
 */
function withTypedWord(
  read: ResolvedTaxon,
  typed: Resolution,
  knowledge: CareKnowledge,
  circumstances: Circumstances,
): Resolution {
  if (typed.kind === "taxon") {
    return typed.genus === read.genus ? { ...read, note: typed.note, section: typed.section } : read;
  }
  if (typed.kind !== "ambiguous") return read;
  const held = typed.candidates.filter((name) =>
    circumstances.plants.some((plant) => plant.genus === name.split(" ")[0]),
  );
  const [only] = held;
  return held.length === 1 && only !== undefined ? knowledge.index.resolve(only) : typed;
}

/** Answers what a plant is called now. @param text the name as typed */
export function answerName(text: string, knowledge: CareKnowledge): CareAnswer {
  const name = knowledge.index.resolve(text);
  if (name.kind !== "taxon") return name;
  return nameAnswer(name, knowledge);
}

function nameAnswer(name: ResolvedTaxon, knowledge: CareKnowledge): NameAnswer {
  const found = knowledge.lookup.findResolved(name);
  return {
    kind: "name",
    name,
    alsoCalled: knowledge.index.namesOf(name.accepted),
    speaksFor: found?.speaksFor ?? null,
  };
}
