import type { InterpretContext } from "./context.js";
import { is, isAct } from "./item.js";
import { mark } from "./mark.js";
import { normalise } from "./normalise.js";
import { readTokens } from "./spelling.js";
import type { Vocabulary } from "./vocabulary.js";

/** Whether a message touches the collection at all: a plant, a pest, a reading, a word of what growers did. */
export function isOnTopic(message: string, context: InterpretContext, vocabulary: Vocabulary): boolean {
  const items = mark(readTokens(normalise(message), context, vocabulary), context, vocabulary);
  const told = items.some(
    (item) => item.subject !== undefined || is(item, "pest") || isAct(item, "past") || isAct(item, "state"),
  );
  return told || (items.some((item) => item.measure?.unit) && items.some((item) => is(item, "place")));
}
