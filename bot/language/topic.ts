import type { InterpretContext } from "./context.js";
import { normalise } from "./normalise.js";
import { promising } from "./promise.js";
import { tokenise } from "./tokenise.js";
import type { Vocabulary } from "./vocabulary.js";

/** Whether a message touches the collection at all: a plant, a reading, a label, a word of what growers do. */
export function isOnTopic(message: string, context: InterpretContext, vocabulary: Vocabulary): boolean {
  const tokens = tokenise(normalise(message));
  return promising(tokens, context, vocabulary) || tokens.some(({ key }) => tellsAct(key, vocabulary));
}

const tellsAct = (key: string, { phrases }: Vocabulary): boolean =>
  phrases.word(key)?.some(({ cls, form }) => cls === "act" && (form === "past" || form === "state")) ?? false;
