import type { CareAnswer } from "../horticulture/answers.js";
import type { Caution } from "../horticulture/cautions.js";
import type { InGroup, SubjectLike } from "../horticulture/coverage.js";
import type { InterpretContext } from "../language/context.js";
import type { Entry, Instruction, Interpretation, Missing, Question } from "../language/interpretation.js";
import { amend, edited, undoLatest } from "./correct.js";
import { instruct } from "./instruct.js";
import { historyAsked, inventoryAsked, lastDone, readingsAsked } from "./look-up.js";
import type { Answer, Choice, Outcome } from "./outcome.js";
import { record } from "./record.js";
import { interpretContext, type Scope } from "./scope.js";

/** What the journal is given to think with: the reader of sentences and the trade. */
export interface Mind {
  interpret(message: string, context: InterpretContext): Interpretation;
  /** A reply to a question just asked: the rest of an entry that lacked something. */
  interpretReply(message: string, context: InterpretContext, pending: PendingQuestion): Interpretation;
  /** "thanks", "good morning": words that want no answer. */
  isCourtesy(message: string): boolean;
  inGroup: InGroup;
  /** Cautions that an act on these plants calls for, the closest first. */
  cautions(act: string, subjects: readonly SubjectLike[]): Caution[];
  care(question: Extract<Question, { about: "care" | "name" }>, scope: Scope): Promise<CareAnswer>;
  due(question: Extract<Question, { about: "due" }>, scope: Scope): Promise<Answer>;
  calculate(question: Extract<Question, { about: "calculate" }>, scope: Scope): Promise<Answer>;
}

/** What was asked back about an unclear message. */
export interface PendingQuestion {
  missing: Missing[];
  partial: Partial<Entry>;
}
interface PendingState extends PendingQuestion {
  authorId: string;
  at: string;
  text: string;
}

/** A question asked back is forgotten after this: what comes later is a message of its own. */
const PENDING_MINUTES = 15;
const RECENT_GENERA = 6;

export interface ConverseOptions {
  edited?: boolean;
  /** Whether this author may change settings here. */
  mayChangeSettings: boolean;
}

/** Takes one message: logs it, answers it, asks back, or stays silent. */
export async function converse(scope: Scope, mind: Mind, options: ConverseOptions): Promise<Outcome> {
  const context = interpretContext(scope);
  const text = scope.utterance.text;
  if (options.edited) return remember(scope, await edited(scope, mind.interpret(text, context)));
  const pending = pendingOf(scope);
  let interpretation = pending ? mind.interpretReply(text, context, pending) : mind.interpret(text, context);
  if (pending && (interpretation.kind === "none" || interpretation.kind === "unclear")) {
    interpretation = mind.interpret(text, context);
  }
  // The words of both messages belong to the entry.
  if (pending && interpretation.kind === "log") {
    scope.utterance = { ...scope.utterance, text: joinedText(pending.text, text) };
  }
  return remember(scope, await act(scope, mind, interpretation, options));
}

const joinedText = (first: string, second: string): string => `${first}\n${second}`;

async function act(
  scope: Scope,
  mind: Mind,
  interpretation: Interpretation,
  options: ConverseOptions,
): Promise<Outcome> {
  switch (interpretation.kind) {
    case "log":
      return {
        kind: "logged",
        note: interpretation.remainder ?? null,
        ...(await record(scope, interpretation)),
      };
    case "ask":
      return interpretation.question ? answer(scope, mind, interpretation.question) : { kind: "silent" };
    case "instruct":
      return obey(scope, interpretation, options);
    case "unclear":
      return {
        kind: "unclear",
        interpretation,
        missing: interpretation.missing ?? ["act"],
        choices: choicesFor(scope, interpretation),
      };
    case "none":
      if (!scope.utterance.addressed || mind.isCourtesy(scope.utterance.text)) return { kind: "silent" };
      return { kind: "not_understood", words: scope.utterance.text };
  }
}

async function obey(
  scope: Scope,
  interpretation: Interpretation,
  options: ConverseOptions,
): Promise<Outcome> {
  const instruction: Instruction | undefined = interpretation.instruction;
  if (!instruction) return { kind: "silent" };
  switch (instruction.do) {
    case "undo":
      return undoLatest(scope);
    case "amend":
      return amend(scope, instruction.change, interpretation);
    default:
      return instruct(scope, [instruction, ...(interpretation.further ?? [])], options.mayChangeSettings);
  }
}

async function answer(scope: Scope, mind: Mind, question: Question): Promise<Outcome> {
  switch (question.about) {
    case "last":
      return { kind: "answer", answer: await lastDone(scope, question, mind.inGroup) };
    case "reading":
      return { kind: "answer", answer: await readingsAsked(scope, question) };
    case "history":
      return { kind: "answer", answer: await historyAsked(scope, question, mind.inGroup) };
    case "inventory":
      return { kind: "answer", answer: await inventoryAsked(scope, question, mind.inGroup) };
    case "care":
    case "name": {
      const found = await mind.care(question, scope);
      return { kind: "answer", answer: { about: "care", answer: found } };
    }
    case "due":
      return { kind: "answer", answer: await mind.due(question, scope) };
    case "calculate":
      return { kind: "answer", answer: await mind.calculate(question, scope) };
    case "why":
      return {
        kind: "answer",
        answer: { about: "why", lines: scope.chat?.state.why ?? [] },
      };
  }
}

/** What was asked back of this author in this chat, while it is fresh. */
function pendingOf(scope: Scope): PendingState | null {
  const pending = scope.chat?.state.pending as PendingState | undefined;
  if (!pending || pending.authorId !== scope.author.id) return null;
  const age = scope.utterance.at.epochMilliseconds - Date.parse(pending.at);
  return age >= 0 && age <= PENDING_MINUTES * 60_000 ? pending : null;
}

/** Keeps where the conversation stands: what was asked back, genera just named. */
async function remember(scope: Scope, outcome: Outcome): Promise<Outcome> {
  if (!scope.chat) return outcome;
  const before = scope.chat.state;
  const state = { ...before };
  const pending = pendingOf(scope);
  if (outcome.kind === "unclear") {
    state.pending = {
      missing: outcome.missing,
      partial: outcome.interpretation.partial ?? {},
      authorId: scope.author.id,
      at: scope.utterance.at.toString(),
      text: scope.utterance.text,
    } satisfies PendingState;
  } else if (pending && outcome.kind !== "silent") {
    delete state.pending;
  }
  const genera = generaOf(outcome);
  if (genera.length > 0) {
    state.recentGenera = [...new Set([...genera, ...(before.recentGenera ?? [])])].slice(0, RECENT_GENERA);
  }
  if (JSON.stringify(state) !== JSON.stringify(before)) {
    await scope.store.updateChat(scope.utterance.chatId, { state });
    scope.chat.state = state;
  }
  return outcome;
}

function generaOf(outcome: Outcome): string[] {
  if (outcome.kind === "logged" || outcome.kind === "amended") {
    return outcome.entries.flatMap(({ entry }) =>
      (entry.entry.subjects ?? []).flatMap((subject) => (subject.genus ? [subject.genus] : [])),
    );
  }
  return [];
}

/** Up to three likely completions of an unclear message. */
function choicesFor(scope: Scope, interpretation: Interpretation): Choice[] {
  const missing = interpretation.missing?.[0];
  if (missing === "place") {
    return scope.places.slice(0, 3).map(({ name }) => ({ label: name, words: name }));
  }
  if (missing === "subject") {
    const recent = scope.chat?.state.recentGenera ?? [];
    const known = [...recent, ...scope.plants.map((plant) => plant.genus)];
    const genera = [...new Set(known)].slice(0, 2);
    const choices = genera.map((genus) => ({ label: genus, words: genus }));
    const place = scope.places.find((candidate) => candidate.isDefault);
    choices.push(
      place
        ? { label: `Everything in ${place.name}`, words: `everything in ${place.name}` }
        : { label: "Everything", words: "everything" },
    );
    return choices;
  }
  if (missing === "unit") {
    const units = scope.household.units === "imperial" ? ["fl oz", "cups", "quarts"] : ["ml", "litres"];
    return units.map((unit) => ({ label: unit, words: unit }));
  }
  if (missing === "act") {
    return ["watered", "fed", "repotted"].map((word) => ({ label: word, words: word }));
  }
  return [];
}
