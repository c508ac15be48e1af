import type { LocaleOptions } from "../language.js";
import type { UnitWord } from "../lexicon.js";
import { PhraseTrie } from "../phrase-trie.js";
import type { Token } from "../tokenise.js";
import { keyAt as key } from "./time/words.js";
import { writing } from "./writing.js";

/** A unit as it stands in a message: its UCUM code, with "/" behind a "per". */
export interface FoundUnit {
  end: number;
  unit: string;
  dimension: string;
}

/** Words that may follow "5 in" when it is five inches. */
const AFTER_INCHES = new Set(
  "pot pots terracotta clay plastic glazed square squares round net deep across wide long tall of more ceramic terra planter pan x by one ones container high diameter".split(
    " ",
  ),
);
/** Words that may follow a bare C, F, L, g or m. */
const LETTER_UNITS = new Set(["c", "f", "l", "g", "m", "t", "w", "h", "k"]);
const GLUED_ONLY = new Set(["t", "w", "h", "k"]);
export const FOLLOWS_LETTER = new Set(
  "in on at to and n the from with for of or last this overnight yesterday today tonight is was a an per out outside inside now only rh humidity humid if while when then but max min terracotta pot plastic by into over under here there again still each water into would will using between during right max nite night morning noon long tall heater fan x".split(
    " ",
  ),
);
/** Reads units, and what stands "per" another. */
export class UnitReader {
  readonly #phrases = new PhraseTrie(writing);

  constructor(units: readonly (readonly [string, UnitWord])[]) {
    for (const [phrase, unit] of units) {
      this.#phrases.add(phrase, { cls: unit.dimension, value: unit.unit, slots: { system: unit.system } });
    }
  }

  /** Whether a unit stands at `at`, other than a word that is more often something else. */
  stands(tokens: readonly Token[], at: number): boolean {
    return (
      tokens[at] !== undefined &&
      this.#phrases.longest(tokens, at) !== undefined &&
      key(tokens, at) !== "in" &&
      key(tokens, at) !== "f"
    );
  }

  /** The unit that stands at `at`, with "per litre" behind it if there is one. */
  read(tokens: readonly Token[], from: number, options: LocaleOptions): FoundUnit | undefined {
    let at = from;
    const bracket = tokens[at]?.text === "(" || tokens[at]?.text === "[" || tokens[at]?.text === "{";
    if (bracket) at++;
    const match = this.#phrases.longest(tokens, at);
    if (!match) return undefined;
    const sense = match.senses.find((one) => !one.slots?.system || one.slots.system === options.system);
    if (!sense || !this.#allowed(tokens, at, match.end)) return undefined;
    let end = match.end;
    if (bracket) {
      if (![")", "]", "}"].includes(tokens[end]?.text ?? "")) return undefined;
      end++;
    }
    const compound = this.per(tokens, end, options);
    if (compound)
      return {
        end: compound.end,
        unit: `${sense.value}/${compound.unit}`,
        dimension: `${sense.cls}/${compound.dimension}`,
      };
    return { end, unit: sense.value, dimension: sense.cls };
  }

  /** "/l", "per litre", "to the gallon": the unit behind it. */
  per(tokens: readonly Token[], from: number, options: LocaleOptions): FoundUnit | undefined {
    const word = key(tokens, from);
    let at = from;
    if (word === "/" || word === "per") at = from + 1;
    else if (word === "a" || word === "an") at = from + 1;
    else if (
      word === "to" &&
      (key(tokens, from + 1) === "the" || key(tokens, from + 1) === "a" || key(tokens, from + 1) === "each")
    )
      at = from + 2;
    else if (
      word === "in" &&
      (key(tokens, from + 1) === "a" || key(tokens, from + 1) === "each" || key(tokens, from + 1) === "1")
    )
      at = from + 2;
    else if (word === "to" && key(tokens, from + 1) === "1") at = from + 2;
    else if (word === "each" || word === "every") at = from + 1;
    else return undefined;
    if (key(tokens, at) === "1" || key(tokens, at) === "one") at++;
    const match = this.#phrases.longest(tokens, at);
    const sense = match?.senses.find((one) => !one.slots?.system || one.slots.system === options.system);
    if (
      !match ||
      !sense ||
      (sense.cls !== "volume" &&
        sense.cls !== "energy" &&
        sense.cls !== "time" &&
        sense.cls !== "mass" &&
        sense.cls !== "length")
    )
      return undefined;
    if (sense.cls === "time" && word !== "/" && word !== "per") return undefined;
    return { end: match.end, unit: sense.value, dimension: sense.cls };
  }

  #allowed(tokens: readonly Token[], at: number, end: number): boolean {
    const token = tokens[at] as Token;
    const tight = token.glued || token.hyphen;
    const next = tokens[end];
    if (token.key === "in" && end === at + 1) {
      if (next === undefined || next.kind === "mark") return true;
      if (tight) return true;
      return AFTER_INCHES.has(next.key);
    }
    if (token.key === "'" && next?.glued && next.key === "s") return false;
    if (token.key === "'" || token.key === '"') return tight || next === undefined || next.kind === "word";
    if (token.key === "min" || token.key === "mil") return tight;
    if (!LETTER_UNITS.has(token.key) || end !== at + 1) return true;
    if (token.key === "w" && !tight && !token.hyphen) return watts(tokens, at, next);
    if (GLUED_ONLY.has(token.key) && !tight) return false;
    if (token.hyphen) return false;
    if (next === undefined || next.kind === "mark")
      return next?.text !== "/" || tokens[end + 1]?.kind === "word";
    if (next.kind === "emoji" || next.kind === "number") return !next.glued;
    if (token.text === "C" || token.text === "F")
      return token.glued ? FOLLOWS_LETTER.has(next.key) || !next.glued : FOLLOWS_LETTER.has(next.key);
    return (
      FOLLOWS_LETTER.has(next.key) || (tight && (token.key === "c" || token.key === "f" || token.key === "l"))
    );
  }
}

const LEAST_WATTS = 100;
const BEHIND_WATTS = new Set(
  "heater heaters fan tube tubes lamp enough sufficient suffice hold keep do be for at on is cost costs radiator unit".split(
    " ",
  ),
);

/** "2000 W", "1500 w heater": an upper case W, or one behind a number too large for what comes with it. */
const watts = (tokens: readonly Token[], at: number, next: Token | undefined): boolean =>
  (tokens[at] as Token).text === "W" ||
  ((tokens[at - 1]?.value ?? 0) >= LEAST_WATTS &&
    (next === undefined || next.kind === "mark" || BEHIND_WATTS.has(next.key)));
