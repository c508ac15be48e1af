import type { Token } from "./tokenise.js";

/** The cue of a word that no sentence ends on. */
const GOES_ON = "goes on";

/**
 * The tokens without the line breaks that stand in the middle of a sentence: "into⏎9 cm pots", "was⏎11.2". A break is
 * one of those where the word before it cannot be the last.
 */
export function joinLines(
  tokens: readonly Token[],
  cues: ReadonlyMap<string, ReadonlySet<string>>,
): readonly Token[] {
  if (!tokens.some(({ text }) => text === "\n")) return tokens;
  return tokens.filter(({ text }, at) => text !== "\n" || !cues.get(tokens[at - 1]?.key ?? "")?.has(GOES_ON));
}
