import type { Token } from "../../tokenise.js";
import { keyAt as key } from "./words.js";

/** "sat" and "sun" are also a verb and the star; "wed" and "fri" are rarely anything else. */
export function sureWeekday(tokens: readonly Token[], at: number, end: number): boolean {
  const token = tokens[at] as Token;
  if (!["sat", "sun", "wed"].includes(token.key)) return true;
  const before = key(tokens, at - 1);
  if (
    ["on", "last", "this", "next", "by", "since", "till", "until", "from", "to", "every", "each"].includes(
      before,
    )
  )
    return true;
  const next = tokens[end];
  if (next?.kind === "number") return true;
  if (
    token.key === "sun" &&
    [
      "the",
      "full",
      "in",
      "of",
      "more",
      "hot",
      "direct",
      "strong",
      "morning",
      "evening",
      "afternoon",
    ].includes(before)
  )
    return false;
  if (!next) return true;
  if (tells(tokens, end)) return true;
  if (next.kind === "mark") return next.text !== "-" && next.text !== "/";
  if (token.key === "wed") return next.key !== "better" && next.key !== "like" && next.key !== "love";
  if (token.key === "sat" && !NOT_SEATED.has(before) && !SEATED.has(next.key)) return true;
  if (AFTER_DAY.has(next.key)) return true;
  return (
    [
      "morning",
      "am",
      "pm",
      "night",
      "nite",
      "afternoon",
      "arvo",
      "evening",
      "eve",
      "the",
      "and",
      "n",
    ].includes(next.key) && !(token.key === "sat" && next.key === "the")
  );
}

/** "watered sat fed today", "jo did the hoop sat manny the sunroom": an act begins behind the day. */
const tells = (tokens: readonly Token[], at: number): boolean =>
  [at, at + 1].some((i) => TOLD.has(key(tokens, i)) || /[^e]ed$/.test(key(tokens, i)));
const TOLD: ReadonlySet<string> = new Set(["fed", "did", "gave", "took", "put", "got"]);
/** Words behind "sat" that make it the verb: "sat at 12.2", "sat in the sun". */
const SEATED: ReadonlySet<string> = new Set(
  "at in on around about for down by next out back up inside outside under with beside near here there all too until like well between below above over right just steady comfortably nicely happily through the a".split(
    " ",
  ),
);
/** Words before "sat" that make it the verb: "has sat", "the aloes that sat". */
const NOT_SEATED: ReadonlySet<string> = new Set(
  "is s was were been be has have had it that which just".split(" "),
);
/** Words that a sentence goes on with behind its day. */
const AFTER_DAY: ReadonlySet<string> = new Set(
  "not but then so too also cos because while when after before again he she i we they".split(" "),
);
