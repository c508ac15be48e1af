import type { LocaleOptions, MeasureMatch } from "../language.js";
import type { NumberWord, UnitWord } from "../lexicon.js";
import type { Measure } from "../measure.js";
import { PhraseTrie } from "../phrase-trie.js";
import type { Token } from "../tokenise.js";
import { readWholeNumber } from "./number-words.js";

interface Found {
  end: number;
  value: number;
  signed?: true;
  article?: true;
  fraction?: readonly [number, number];
}
interface FoundUnit {
  end: number;
  unit: string;
  dimension: string;
}

const key = (tokens: readonly Token[], at: number): string => tokens[at]?.key ?? "";
const SIGN_AFTER = new Set([
  "at",
  "to",
  "of",
  "is",
  "was",
  "hit",
  "reached",
  "min",
  "max",
  "low",
  "high",
  "minimum",
  "maximum",
  "under",
  "below",
  "above",
  "about",
  "around",
  "only",
  "temp",
  "temperature",
  "s",
  "its",
  "and",
  "(",
]);
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
const CURRENCY: Record<string, string> = { "£": "GBP", "€": "EUR", $: "$", zł: "PLN" };
const COINS: Record<string, { code: string; size: number }> = {
  p: { code: "GBP", size: 0.01 },
  pence: { code: "GBP", size: 0.01 },
  pounds: { code: "GBP", size: 1 },
  gbp: { code: "GBP", size: 1 },
  c: { code: "$", size: 0.01 },
  cents: { code: "$", size: 0.01 },
  cent: { code: "$", size: 0.01 },
  dollars: { code: "$", size: 1 },
  bucks: { code: "$", size: 1 },
  usd: { code: "USD", size: 1 },
  aud: { code: "AUD", size: 1 },
  nzd: { code: "NZD", size: 1 },
  eur: { code: "EUR", size: 1 },
  euro: { code: "EUR", size: 1 },
  euros: { code: "EUR", size: 1 },
  pln: { code: "PLN", size: 1 },
  zł: { code: "PLN", size: 1 },
  zloty: { code: "PLN", size: 1 },
  zlotys: { code: "PLN", size: 1 },
  zlotych: { code: "PLN", size: 1 },
  zl: { code: "PLN", size: 1 },
  gr: { code: "PLN", size: 0.01 },
  grosz: { code: "PLN", size: 0.01 },
};
const COUNT_OF = new Set(["of"]);

/** Strengths that are no fractions: "at full strength", "double strength". */
const WHOLE_STRENGTHS: Readonly<Record<string, number>> = { full: 1, double: 2 };

/** Reads numbers and measures in English from the unit and number tables. */
export class MeasureReader {
  readonly #units = new PhraseTrie();
  readonly #numbers: ReadonlyMap<string, NumberWord>;

  constructor(units: readonly (readonly [string, UnitWord])[], numbers: ReadonlyMap<string, NumberWord>) {
    for (const [phrase, unit] of units) {
      this.#units.add(phrase, { cls: unit.dimension, value: unit.unit, slots: { system: unit.system } });
    }
    this.#numbers = numbers;
  }

  read(tokens: readonly Token[], from: number, options: LocaleOptions): MeasureMatch | undefined {
    const first = tokens[from] as Token;
    if (first.kind === "emoji") return undefined;
    if (first.kind === "word" && !this.#starts(first.key)) return undefined;
    if (first.key === "between") return this.#between(tokens, from, options);
    const start = from;
    const times = WHOLE_STRENGTHS[first.key];
    if (times) return this.#strength(tokens, from, { end: from + 1, value: times });
    const number = this.#number(tokens, start);
    if (!number) return undefined;
    const price = this.#price(tokens, start, number, options);
    if (price) return price;
    const special = this.#strength(tokens, start, number) ?? this.#ratio(tokens, start, number);
    if (special) return special;
    const below = this.#below(tokens, number, options);
    if (below) return below;
    const unit = this.#unit(tokens, number.end, options);
    if (number.article && (!unit || (unit.dimension !== "volume" && unit.dimension !== "mass")))
      return undefined;
    const range = this.#range(tokens, start, number, unit, options);
    if (range) return range;
    const measure: Measure = { value: number.value, text: text(tokens, start, number.end) };
    if (number.signed) measure.signed = true;
    if (number.article) measure.article = true;
    if (number.fraction) measure.fraction = number.fraction;
    if (!unit) return this.#outOf(tokens, number, measure);
    measure.unit = unit.unit;
    measure.dimension = unit.dimension;
    return this.#belowUnit(tokens, unit, measure);
  }

  /** "£0.30 per kWh", "30p/kWh", "14 cents a kWh": money for energy, in whole units of the currency. */
  #price(
    tokens: readonly Token[],
    from: number,
    number: Found,
    options: LocaleOptions,
  ): MeasureMatch | undefined {
    const before = CURRENCY[tokens[from - 1]?.text ?? ""];
    const after = COINS[key(tokens, number.end)];
    if (!before && !after) return undefined;
    const per = this.#per(tokens, after ? number.end + 1 : number.end, options);
    if (per?.dimension !== "energy") return undefined;
    const code = before === "$" || after?.code === "$" ? options.dollar : (after?.code ?? before ?? "");
    const value = after ? Math.round(number.value * after.size * 1e6) / 1e6 : number.value;
    return {
      end: per.end,
      measure: { value, unit: `${code}/${per.unit}`, dimension: "price", text: text(tokens, from, per.end) },
    };
  }

  #starts(word: string): boolean {
    return (
      this.#numbers.has(word) ||
      word === "minus" ||
      word === "negative" ||
      word === "a" ||
      word === "an" ||
      word === "half" ||
      word === "quarter" ||
      word === "full" ||
      word === "double" ||
      word === "between"
    );
  }

  /** The number itself, with its sign: "-3", "minus three", "2 1/2", "half a", "a dozen", "one and a half". */
  #number(tokens: readonly Token[], from: number): Found | undefined {
    const first = tokens[from];
    if (!first) return undefined;
    if (first.key === "minus" || first.key === "negative") {
      const inner = this.#unsigned(tokens, from + 1);
      return inner ? { end: inner.end, value: -inner.value, signed: true } : undefined;
    }
    if (first.text === "-" || first.text === "+") {
      const next = tokens[from + 1];
      if (next?.kind !== "number") return undefined;
      const before = tokens[from - 1];
      const attached =
        next.glued && (!first.glued || before === undefined || before.text === "(" || before.text === ":");
      const spaced = !next.glued && (before === undefined || SIGN_AFTER.has(before.key));
      if (!attached && !spaced) return undefined;
      const inner = this.#unsigned(tokens, from + 1);
      if (!inner) return undefined;
      return { end: inner.end, value: first.text === "-" ? -inner.value : inner.value, signed: true };
    }
    return this.#unsigned(tokens, from);
  }

  #unsigned(tokens: readonly Token[], from: number): Found | undefined {
    const first = tokens[from];
    if (!first) return undefined;
    const suffix = tokens[from + 1];
    if (first.kind === "number" && suffix?.glued && this.#numbers.get(suffix.key)?.kind === "suffix")
      return undefined;
    if (first.kind === "number") return this.#digits(tokens, from);
    if (first.kind !== "word") return undefined;
    if (first.key === "half" || first.key === "quarter") {
      const article = key(tokens, from + 1);
      const value = first.key === "half" ? 0.5 : 0.25;
      const dozen = this.#numbers.get(tokens[article === "a" ? from + 2 : from + 1]?.key ?? "");
      if (dozen?.kind === "dozen")
        return { end: article === "a" ? from + 3 : from + 2, value: dozen.value * value };
      if (article === "a" || article === "an") return { end: from + 2, value };
      return { end: from + 1, value };
    }
    const whole = readWholeNumber(tokens, from, this.#numbers);
    if (whole) return this.#withHalf(tokens, this.#pointed(tokens, whole));
    const word = this.#numbers.get(first.key);
    if (word?.kind === "pair") return { end: key(tokens, from + 1) === "of" ? from + 2 : from + 1, value: 2 };
    if (first.key === "a" || first.key === "an") {
      const pair = this.#numbers.get(key(tokens, from + 1));
      if (pair?.kind === "pair")
        return { end: key(tokens, from + 2) === "of" ? from + 3 : from + 2, value: 2 };
      if (key(tokens, from + 1) === "half" || key(tokens, from + 1) === "quarter") {
        return { end: from + 2, value: key(tokens, from + 1) === "half" ? 0.5 : 0.25, article: true };
      }
      return { end: from + 1, value: 1, article: true };
    }
    return undefined;
  }

  #digits(tokens: readonly Token[], from: number): Found {
    const first = tokens[from] as Token;
    const slash = tokens[from + 1];
    const below = tokens[from + 2];
    if (slash?.text === "/" && slash.glued && below?.kind === "number" && below.glued && below.value > 0) {
      return { end: from + 3, value: first.value / below.value, fraction: [first.value, below.value] };
    }
    if (tokens[from + 1]?.glued && key(tokens, from + 1) === "k" && this.#unitAt(tokens, from + 2))
      return { end: from + 2, value: first.value * 1000 };
    const group = tokens[from + 1];
    if (
      group?.kind === "number" &&
      !group.glued &&
      /^\d{3}$/.test(group.text) &&
      /^\d{1,3}$/.test(first.text) &&
      this.#unitAt(tokens, from + 2)
    ) {
      return { end: from + 2, value: first.value * 1000 + group.value };
    }
    const part = tokens[from + 1];
    const bar = tokens[from + 2];
    const third = tokens[from + 3];
    if (
      part?.kind === "number" &&
      !part.glued &&
      bar?.text === "/" &&
      bar.glued &&
      third?.kind === "number" &&
      third.glued &&
      part.value < third.value
    ) {
      return { end: from + 4, value: first.value + part.value / third.value };
    }
    if (
      part?.kind === "number" &&
      part.value < 1 &&
      part.value > 0 &&
      !/\d/.test(part.text[0] ?? "") &&
      part.text[0] !== "."
    ) {
      return { end: from + 2, value: first.value + part.value };
    }
    const dozen = this.#numbers.get(key(tokens, from + 1));
    if (dozen?.kind === "dozen") return { end: from + 2, value: first.value * dozen.value };
    if (
      dozen?.kind === "scale" &&
      key(tokens, from + 1).length > 2 &&
      (dozen.value < 1000 || this.#unitAt(tokens, from + 2))
    )
      return { end: from + 2, value: first.value * dozen.value };
    return this.#withHalf(tokens, { end: from + 1, value: first.value });
  }

  /** "nine point nought four". */
  #pointed(tokens: readonly Token[], whole: Found): Found {
    if (key(tokens, whole.end) !== "point") return whole;
    let digits = "";
    let at = whole.end + 1;
    for (; at < tokens.length; at++) {
      const word = this.#numbers.get(key(tokens, at));
      if (word?.kind !== "unit") break;
      digits += String(word.value);
    }
    return digits ? { end: at, value: Number(`${whole.value}.${digits}`) } : whole;
  }

  #withHalf(tokens: readonly Token[], found: Found): Found {
    if (
      key(tokens, found.end) === "and" &&
      (key(tokens, found.end + 1) === "a" || key(tokens, found.end + 1) === "one")
    ) {
      const part = this.#numbers.get(key(tokens, found.end + 2));
      if (part?.kind === "fraction") return { end: found.end + 3, value: found.value + 1 / part.value };
      if (key(tokens, found.end + 2) === "half") return { end: found.end + 3, value: found.value + 0.5 };
      if (key(tokens, found.end + 2) === "quarter") return { end: found.end + 3, value: found.value + 0.25 };
    }
    return found;
  }

  /** "half strength", "1/2 strength", "at full strength", "50% strength". */
  #strength(tokens: readonly Token[], from: number, number: Found): MeasureMatch | undefined {
    let at = number.end;
    let value = number.value;
    if (tokens[at]?.text === "%") {
      at++;
      value /= 100;
    } else if (value > 1 && WHOLE_STRENGTHS[key(tokens, from)] === undefined) return undefined;
    if (key(tokens, at) === "of") at++;
    if (key(tokens, at) === "the") at++;
    if (["normal", "usual", "recommended", "label"].includes(key(tokens, at))) at++;
    if (!["strength", "str", "dose", "rate", "dilution", "strengh", "strenth"].includes(key(tokens, at)))
      return undefined;
    if (
      number.article &&
      (tokens[from]?.key === "a" || tokens[from]?.key === "an") &&
      tokens.length > from + 1 &&
      value === 1
    )
      return undefined;
    return { end: at + 1, measure: { value, strength: value, text: text(tokens, from, at + 1) } };
  }

  /** "1:200", "1 to 200", "one in two hundred". */
  #ratio(tokens: readonly Token[], from: number, number: Found): MeasureMatch | undefined {
    if (number.value <= 0 || number.signed || number.article) return undefined;
    const joint = tokens[number.end];
    if (joint?.text === ":") {
      const second = this.#unsigned(tokens, number.end + 1);
      if (!second || number.value !== 1 || second.value < 2) return undefined;
      return {
        end: second.end,
        measure: { value: number.value, ratio: second.value, text: text(tokens, from, second.end) },
      };
    }
    const part = joint?.key === "part" ? number.end + 1 : number.end;
    const word = key(tokens, part);
    if ((word !== "to" && word !== "in") || number.value !== 1) return undefined;
    const second = this.#unsigned(tokens, part + 1);
    if (!second || second.value < 10 || second.article || this.#unitAt(tokens, second.end)) return undefined;
    const parts =
      key(tokens, second.end) === "parts" || key(tokens, second.end) === "part" ? second.end + 1 : second.end;
    return { end: parts, measure: { value: 1, ratio: second.value, text: text(tokens, from, parts) } };
  }

  /** "3 below", "3 below zero": frost. */
  #below(tokens: readonly Token[], number: Found, options: LocaleOptions): MeasureMatch | undefined {
    if (key(tokens, number.end) !== "below" || number.article) return undefined;
    const next = key(tokens, number.end + 1);
    const zero = next === "zero" || next === "freezing" || next === "0" || next === "nought";
    if (!zero && tokens[number.end + 1]?.kind === "number") return undefined;
    if (next === "freezing" && options.system === "us") {
      return {
        end: number.end + 2,
        measure: {
          value: 32 - number.value,
          unit: "[degF]",
          dimension: "temperature",
          signed: true,
          text: `${number.value}`,
        },
      };
    }
    return {
      end: number.end + (zero ? 2 : 1),
      measure: {
        value: -number.value,
        signed: true,
        text: `${number.value}`,
        unit: "deg",
        dimension: "temperature",
      },
    };
  }

  #belowUnit(tokens: readonly Token[], unit: FoundUnit, measure: Measure): MeasureMatch {
    if (unit.dimension === "temperature" && key(tokens, unit.end) === "below" && measure.value > 0) {
      const next = key(tokens, unit.end + 1);
      const zero = next === "zero" || next === "freezing" || next === "0";
      if (zero || tokens[unit.end + 1]?.kind !== "word") {
        return {
          end: unit.end + (zero ? 2 : 1),
          measure: { ...measure, value: -measure.value, signed: true },
        };
      }
    }
    return { end: unit.end, measure };
  }

  #unitAt(tokens: readonly Token[], at: number): boolean {
    return (
      tokens[at] !== undefined &&
      this.#units.longest(tokens, at) !== undefined &&
      key(tokens, at) !== "in" &&
      key(tokens, at) !== "f"
    );
  }

  #outOf(tokens: readonly Token[], number: Found, measure: Measure): MeasureMatch {
    let at = number.end;
    if (tokens[at]?.text === "/" && tokens[at + 1]?.kind === "number") return { end: number.end, measure };
    if (key(tokens, at) === "out" && key(tokens, at + 1) === "of") at++;
    if (COUNT_OF.has(key(tokens, at))) {
      let next = at + 1;
      while (["the", "my", "our", "those", "these"].includes(key(tokens, next))) next++;
      const total = this.#unsigned(tokens, next);
      if (total && !total.article && total.value > measure.value) {
        return { end: total.end, measure: { ...measure, outOf: total.value } };
      }
    }
    return { end: number.end, measure };
  }

  /** "4-6 °C", "30 to 40 degrees", "from 100 to 1000 l". */
  #range(
    tokens: readonly Token[],
    from: number,
    number: Found,
    unit: FoundUnit | undefined,
    options: LocaleOptions,
  ): MeasureMatch | undefined {
    const at = unit?.end ?? number.end;
    const joint = tokens[at];
    const word = joint?.key;
    const dash = joint?.text === "-" || joint?.text === "–";
    if (!dash && word !== "to") return undefined;
    let next = at + 1;
    if (tokens[next]?.text === "~" || key(tokens, next) === "about" || key(tokens, next) === "around") next++;
    const second = this.#unsigned(tokens, next);
    if (!second || second.article) return undefined;
    if (dash && joint?.glued !== tokens[at + 1]?.glued && !(unit || tokens[at + 1]?.glued)) return undefined;
    const secondUnit = this.#unit(tokens, second.end, options);
    if (!secondUnit && (!dash || !joint?.glued)) return undefined;
    if (unit && secondUnit && unit.dimension !== secondUnit.dimension) return undefined;
    if (second.value <= number.value) return undefined;
    const which = secondUnit ?? unit;
    const measure: Measure = { value: number.value, to: second.value, text: text(tokens, from, second.end) };
    if (which) {
      measure.unit = which.unit;
      measure.dimension = which.dimension;
    }
    return { end: secondUnit?.end ?? second.end, measure };
  }

  #between(tokens: readonly Token[], from: number, options: LocaleOptions): MeasureMatch | undefined {
    const first = this.#number(tokens, from + 1);
    if (!first) return undefined;
    const unit = this.#unit(tokens, first.end, options);
    let at = unit?.end ?? first.end;
    if (key(tokens, at) !== "and") return undefined;
    at++;
    if (key(tokens, at) === "about") at++;
    const second = this.#number(tokens, at);
    if (!second || second.article) return undefined;
    const secondUnit = this.#unit(tokens, second.end, options) ?? unit;
    const measure: Measure = { value: first.value, to: second.value, text: text(tokens, from, second.end) };
    if (secondUnit) {
      measure.unit = secondUnit.unit;
      measure.dimension = secondUnit.dimension;
    }
    return { end: Math.max(secondUnit?.end ?? 0, second.end), measure };
  }

  /** The unit that stands at `at`, with "per litre" behind it if there is one. */
  #unit(tokens: readonly Token[], from: number, options: LocaleOptions): FoundUnit | undefined {
    let at = from;
    const bracket = tokens[at]?.text === "(" || tokens[at]?.text === "[" || tokens[at]?.text === "{";
    if (bracket) at++;
    const match = this.#units.longest(tokens, at);
    if (!match) return undefined;
    const sense = match.senses.find((one) => !one.slots?.system || one.slots.system === options.system);
    if (!sense || !this.#unitAllowed(tokens, at, match.end)) return undefined;
    let end = match.end;
    if (bracket) {
      if (![")", "]", "}"].includes(tokens[end]?.text ?? "")) return undefined;
      end++;
    }
    const compound = this.#per(tokens, end, options);
    if (compound)
      return {
        end: compound.end,
        unit: `${sense.value}/${compound.unit}`,
        dimension: `${sense.cls}/${compound.dimension}`,
      };
    return { end, unit: sense.value, dimension: sense.cls };
  }

  #per(tokens: readonly Token[], from: number, options: LocaleOptions): FoundUnit | undefined {
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
    const match = this.#units.longest(tokens, at);
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

  #unitAllowed(tokens: readonly Token[], at: number, end: number): boolean {
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

const text = (tokens: readonly Token[], from: number, end: number): string =>
  tokens
    .slice(from, end)
    .map((token) => token.text)
    .join("");
