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
  const found = knowledge.lookup.find(resolved.accepted, resolved.family);
  if (found) return answerTaxon(question, subject, resolved, found, knowledge, circumstances);
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
  // Where authorities differ stands with the word that was typed.
  const typed = knowledge.index.resolve(subject.as);
  return typed.kind === "taxon" && typed.genus === resolved.genus
    ? { ...resolved, note: typed.note }
    : resolved;
}

/** Answers what a plant is called now. @param text the name as typed */
export function answerName(text: string, knowledge: CareKnowledge): CareAnswer {
  const name = knowledge.index.resolve(text);
  if (name.kind !== "taxon") return name;
  return nameAnswer(name, knowledge);
}

function nameAnswer(name: ResolvedTaxon, knowledge: CareKnowledge): NameAnswer {
  const found = knowledge.lookup.find(name.accepted, name.family);
  return {
    kind: "name",
    name,
    alsoCalled: knowledge.index.namesOf(name.accepted),
    speaksFor: found?.speaksFor ?? null,
  };
}
