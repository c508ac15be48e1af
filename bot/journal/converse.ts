import type { CareAnswer } from "../horticulture/answers.js";
import type { Caution } from "../horticulture/cautions.js";
import type { InGroup, SubjectLike } from "../horticulture/coverage.js";
import type { InterpretContext } from "../language/context.js";
import type { CareDetail, Interpretation, Question } from "../language/interpretation.js";
import { choicesFor } from "./choices.js";
import { amend, edited, undoLatest } from "./correct.js";
import { careInstead } from "./due-or-care.js";
import { instruct } from "./instruct.js";
import { inventoryAsked } from "./inventory.js";
import { historyAsked, lastDone } from "./look-up.js";
import type { Answer, Outcome } from "./outcome.js";
import { type PendingQuestion, pendingOf, remember } from "./pending.js";
import type { ReminderKind } from "./ports.js";
import { readingsAsked } from "./readings.js";
import { record } from "./record.js";
import { interpretContext, type Scope } from "./scope.js";

type CareQuestion =
  | Extract<Question, { about: "name" }>
  | (Extract<Question, { about: "care" }> & CareDetail);

/** What the journal is given to think with: the reader of sentences and the trade. */
export interface Mind {
  interpret(message: string, context: InterpretContext): Interpretation;
  /** A reply to a question just asked: the rest of an entry that lacked something. */
  interpretReply(message: string, context: InterpretContext, pending: PendingQuestion): Interpretation;
  /** "thanks", "good morning": words that want no answer. */
  isCourtesy(message: string): boolean;
  /** Whether a message touches the collection at all: a plant, an act, a reading. */
  isOnTopic(message: string, context: InterpretContext): boolean;
  inGroup: InGroup;
  /** Cautions that an act on these plants calls for, the closest first. */
  cautions(act: string, subjects: readonly SubjectLike[]): Caution[];
  care(question: CareQuestion, scope: Scope): Promise<CareAnswer>;
  due(question: Extract<Question, { about: "due" }>, scope: Scope): Promise<Answer>;
  calculate(question: Extract<Question, { about: "calculate" }>, scope: Scope): Promise<Answer>;
}
export type { PendingQuestion };

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
  const reply = pending ? mind.interpretReply(text, context, pending) : null;
  if (pending && reply?.kind === "log") {
    // The words of both messages belong to the entry.
    scope.utterance = { ...scope.utterance, text: `${pending.text}\n${text}` };
  }
  const interpretation =
    reply && reply.kind !== "none" && reply.kind !== "unclear"
      ? reply
      : await readAsSpoken(scope, mind, context);
  return remember(scope, await act(scope, mind, interpretation, options));
}

/** One person and the bot: in such a group there is nobody else to speak to. */
const ALONE_WITH_BOT = 2;

/**
 * Reads the message as it was spoken. Alone with the bot, what would be left to the others in a larger group is taken
 * as meant for it; talk that does not touch the collection stays unanswered there too.
 */
async function readAsSpoken(scope: Scope, mind: Mind, context: InterpretContext): Promise<Interpretation> {
  const { text, addressed } = scope.utterance;
  const read = mind.interpret(text, context);
  if (read.kind !== "none" || addressed) return read;
  const alone = (scope.chat?.memberCount ?? Number.POSITIVE_INFINITY) <= ALONE_WITH_BOT;
  const tried = mind.interpret(text, { ...context, addressed: true });
  if (!alone) return (await answersAlarm(scope, tried)) ? tried : read;
  if (tried.kind === "none" && mind.isOnTopic(text, context)) {
    scope.utterance = { ...scope.utterance, addressed: true };
  }
  return tried;
}

/** "I'll go and look", "all fine again": said to nobody, while the bot waits to hear who looks after a danger. */
async function answersAlarm(scope: Scope, { instruction }: Interpretation): Promise<boolean> {
  if (instruction?.do !== "claim" && instruction?.do !== "all_well") return false;
  const kinds: ReminderKind[] = ["danger", "danger_again"];
  return (await scope.store.reminders({ kinds, state: "waiting" })).length > 0;
}

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
      return interpretation.question
        ? {
            kind: "answer",
            answer: await answer(scope, mind, interpretation.question, interpretation.detail),
          }
        : { kind: "silent" };
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
  const { instruction, further } = interpretation;
  if (!instruction) return { kind: "silent" };
  switch (instruction.do) {
    case "undo":
      return undoLatest(scope);
    case "amend":
      return amend(scope, instruction.change, interpretation);
    case "forget":
      if (interpretation.erase) return { kind: "not_yet", what: "erase_the_journal" };
      return instruct(scope, [instruction], options.mayChangeSettings);
    default:
      return instruct(scope, [instruction, ...(further ?? [])], options.mayChangeSettings);
  }
}

async function answer(
  scope: Scope,
  mind: Mind,
  question: Question,
  detail: CareDetail = {},
): Promise<Answer> {
  switch (question.about) {
    case "last":
      return lastDone(scope, question);
    case "reading":
      return readingsAsked(scope, question);
    case "history":
      return historyAsked(scope, question);
    case "inventory":
      return inventoryAsked(scope, question);
    case "care":
      return { about: "care", answer: await mind.care({ ...question, ...detail }, scope) };
    case "name":
      return { about: "care", answer: await mind.care(question, scope) };
    case "due": {
      const care = careInstead(scope, question);
      return care ? { about: "care", answer: await mind.care(care, scope) } : mind.due(question, scope);
    }
    case "calculate":
      return mind.calculate(question, scope);
    case "why":
      return { about: "why", lines: scope.chat?.state.why ?? [] };
  }
}
