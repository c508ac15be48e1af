import type { HouseholdContext } from "./context.js";
import { householdOf } from "./household.js";
import { type Token, tokenise } from "./tokenise.js";
import type { Vocabulary } from "./vocabulary.js";

/** The tokens of a normalised message, with its hasty spellings understood. */
export function readTokens(normalised: string, context: HouseholdContext, vocabulary: Vocabulary): Token[] {
  const tokens = tokenise(normalised, vocabulary.lexicon.language.writing);
  respell(tokens, context, vocabulary);
  return tokens;
}

/**
 * Tells owners ("the bay's") and gives words written in haste or as they are spoken ("abt", "thinkin") the key of the word they are, so that every
 * phrase is found with them. The household's own names stay as they are.
 */
function respell(tokens: readonly Token[], context: HouseholdContext, vocabulary: Vocabulary): void {
  const { spellings, language } = vocabulary.lexicon;
  for (const token of tokens) {
    if (token.kind !== "word") continue;
    token.owner = language.ownerOf(token.lower);
    const { key } = token;
    const written = spellings.get(key) ?? spoken(key, language.wholeForm(key), vocabulary);
    if (written !== undefined && !householdOf(context, vocabulary).phrases.has(key)) token.key = written;
  }
}

const spoken = (key: string, whole: string | undefined, vocabulary: Vocabulary): string | undefined =>
  whole !== undefined && !vocabulary.hasWord(key) && !vocabulary.namesStart(key) && vocabulary.hasWord(whole)
    ? whole
    : undefined;
