export { readEnglishLexicon } from "./en/lexicon.js";
export { readMeasures, readNumber, readWhen } from "./en/phrases.js";
export { type Explanation, explain } from "./explain.js";
export { interpret } from "./interpret.js";
export type { Lexicon } from "./lexicon.js";
export { interpretReply, isCourtesy, type OpenQuestion } from "./reply.js";
export { isOnTopic } from "./topic.js";
export { buildVocabulary, type Vocabulary } from "./vocabulary.js";
