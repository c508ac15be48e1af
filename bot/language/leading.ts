import type { Interpretation } from "./interpretation.js";
import { type Item, is } from "./item.js";
import type { Token } from "./tokenise.js";
import type { Vocabulary } from "./vocabulary.js";

/** Marks behind which a question of its own may begin. */
const PARTS: ReadonlySet<string> = new Set([",", ";", ":", ".", "!", "–", "—", "-", "\n"]);

/** Fewest words of a question that stands by itself, and of what may stand in front of it. */
const FEWEST_ASKED = 3;
const FEWEST_LEADING = 2;

/**
 * Where a question begins behind a statement that only leads to it, "snow on Friday, how cold can the gasterias go?";
 * 0 where none does.
 */
export function questionBehind(tokens: readonly Token[], vocabulary: Vocabulary): number {
  for (let at = tokens.length - FEWEST_ASKED; at > FEWEST_LEADING; at--) {
    const mark = tokens[at - 1] as Token;
    if (mark.kind !== "mark" || !PARTS.has(mark.text) || (mark.glued && mark.text === "-")) continue;
    const asking = tokens[at] as Token;
    if (!vocabulary.opensQuestion(asking.key)) continue;
    // "the Atacama, where some go ten years without water": no question, unless its verb comes first.
    const relates = vocabulary.cues.get(asking.key)?.has("relates or asks") ?? false;
    if (!relates || vocabulary.cues.get((tokens[at + 1] as Token).key)?.has("inverts")) return at;
  }
  return 0;
}

/** "do they want feeding in winter, or is that asking for trouble?": where the second choice begins; 0 where none does. */
export function otherChoice(tokens: readonly Token[], vocabulary: Vocabulary): number {
  for (let at = FEWEST_ASKED; at + FEWEST_LEADING < tokens.length; at++) {
    const comma = (tokens[at - 1] as Token).text === ",";
    const choice = vocabulary.cues.get((tokens[at] as Token).key)?.has("opens another choice");
    if (!choice || !vocabulary.opensQuestion((tokens[at + 1] as Token).key)) continue;
    if (comma) return at - 1;
    // "... or is it still too cold"
    if (vocabulary.cues.get((tokens[at + 2] as Token).key)?.has("speaks of it")) return at;
  }
  return 0;
}

/** "can I water it in December, Oskar says not while it flowers": where the remark behind a question begins; 0 where none does. */
export function remarkBehind(tokens: readonly Token[], vocabulary: Vocabulary): number {
  const first = tokens[0]?.key ?? "";
  // "Should the frame fall below 10, the seedlings will be lost": supposed, not asked.
  if (!vocabulary.opensQuestion(first) || vocabulary.cues.get(first)?.has("may suppose")) return 0;
  for (let at = FEWEST_ASKED; at + FEWEST_LEADING < tokens.length; at++)
    if (PARTS.has((tokens[at] as Token).text) && tokens[at]?.text !== "-") return at;
  return 0;
}

/** Questions whose particulars may stand in the statement as well: sums, and what is due by a time told there. */
const GATHERED: ReadonlySet<string> = new Set(["calculate", "due", "name", "why"]);

/**
 * Whether the question behind the statement means by itself all that is asked.
 * @param behind the question read by itself
 * @param whole the whole message as read
 * @param leading the words of the statement in front of it
 */
export function asksAlone(
  behind: Interpretation,
  whole: Interpretation,
  leading: readonly Item[] = [],
): boolean {
  if (behind.kind !== "ask" || !behind.question || GATHERED.has(behind.question.about)) return false;
  if (leading.some((item) => is(item, "report") || is(item, "condition") || is(item, "joke"))) return false;
  if (whole.kind === "none") return true;
  if (whole.kind !== "ask" || whole.question?.about !== behind.question.about) return false;
  return JSON.stringify(subjectsOf(whole)) === JSON.stringify(subjectsOf(behind));
}

const subjectsOf = ({ question }: Interpretation): unknown =>
  question && "subjects" in question ? question.subjects : undefined;

/** Whether a question of care became one about what is there, because of a word in the remark behind it. */
export const otherThan = (whole: Interpretation, before: Interpretation): boolean =>
  whole.question?.about === "inventory" && before.question?.about === "care";
