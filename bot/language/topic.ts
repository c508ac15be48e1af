import type { InterpretContext } from "./context.js";
import { normalise } from "./normalise.js";
import { promising } from "./promise.js";
import { tokenise } from "./tokenise.js";
import type { Vocabulary } from "./vocabulary.js";

/** Whether a message touches the collection at all: a plant with an act, a reading, a label. */
export const isOnTopic = (message: string, context: InterpretContext, vocabulary: Vocabulary): boolean =>
  promising(tokenise(normalise(message)), context, vocabulary);
