import { cautionsOfAct } from "../horticulture/act-cautions.js";
import { answerCare, answerName } from "../horticulture/answer-care.js";
import type { CareAnswer, CareQuestion } from "../horticulture/answers.js";
import type { CareKnowledge } from "../horticulture/knowledge.js";
import type { InterpretContext } from "../language/context.js";
import type { Interpretation } from "../language/interpretation.js";
import { circumstancesOf } from "./circumstances.js";
import type { Mind, PendingQuestion } from "./converse.js";
import type { Scope } from "./scope.js";

/** The reading of sentences, as the language part offers it. */
export interface Reader {
  interpret(message: string, context: InterpretContext): Interpretation;
  interpretReply(message: string, context: InterpretContext, pending: PendingQuestion): Interpretation;
  isCourtesy(message: string): boolean;
  isOnTopic(message: string, context: InterpretContext): boolean;
}

/** Puts language and trade together; what is due and what is computed come from outside. */
export function createMind(
  reader: Reader,
  knowledge: CareKnowledge,
  rest: Pick<Mind, "due" | "calculate">,
): Mind {
  return {
    interpret: reader.interpret,
    interpretReply: reader.interpretReply,
    isCourtesy: reader.isCourtesy,
    isOnTopic: reader.isOnTopic,
    inGroup: knowledge.inGroup,
    cautions: (act, subjects) => cautionsOfAct(act, subjects, knowledge),
    care: (question, scope) => careAnswer(question, scope, knowledge),
    ...rest,
  };
}

async function careAnswer(
  question: Parameters<Mind["care"]>[0],
  scope: Scope,
  knowledge: CareKnowledge,
): Promise<CareAnswer> {
  if (question.about === "name") return answerName(question.text, knowledge);
  const { about: _, ...asked } = question;
  const around = await circumstancesOf(scope.store, scope, scope.utterance.at, knowledge.inGroup);
  return answerCare(asked satisfies CareQuestion, knowledge, around);
}
