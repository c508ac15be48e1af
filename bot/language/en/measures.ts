import type { LocaleOptions, MeasureMatch } from "../language.js";
import type { NumberWord, UnitWord } from "../lexicon.js";
import type { Measure } from "../measure.js";
import type { Token } from "../tokenise.js";
import { FigureReader, type Found } from "./figure-reader.js";
import { keyAt as key } from "./time/words.js";
import { type FoundUnit, UnitReader } from "./unit-reader.js";

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
/** ISO 4217 codes, written before the number: "AUD 0.31 per kWh". */
const CODES: Readonly<Record<string, string>> = {
  gbp: "GBP",
  eur: "EUR",
  usd: "USD",
  aud: "AUD",
  nzd: "NZD",
  cad: "CAD",
  pln: "PLN",
  zar: "ZAR",
};
const COUNT_OF = new Set(["of", "outta", "outa", "outtof"]);

/** Strengths that are no fractions: "at full strength", "double strength". */
const WHOLE_STRENGTHS: Readonly<Record<string, number>> = { full: 1, double: 2 };

/** Reads numbers and measures in English from the unit and number tables. */
export class MeasureReader {
  readonly #units: UnitReader;
  readonly #figures: FigureReader;
  readonly #numbers: ReadonlyMap<string, NumberWord>;

  constructor(units: readonly (readonly [string, UnitWord])[], numbers: ReadonlyMap<string, NumberWord>) {
    this.#units = new UnitReader(units);
    this.#figures = new FigureReader(numbers, this.#units);
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
    const number = this.#figures.read(tokens, start);
    if (!number) return undefined;
    const price = this.#price(tokens, start, number, options);
    if (price) return price;
    const special = this.#strength(tokens, start, number) ?? this.#ratio(tokens, start, number);
    if (special) return special;
    const below = this.#below(tokens, number, options);
    if (below) return below;
    const unit = this.#units.read(tokens, number.end, options);
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
    const before = CURRENCY[tokens[from - 1]?.text ?? ""] ?? CODES[key(tokens, from - 1)];
    const after = COINS[key(tokens, number.end)];
    // "at .13 a kwh": a bare part of one is money of the household's own.
    const own = number.value > 0 && number.value < 1 && !number.fraction ? options.money : undefined;
    if (!before && !after && !own) return undefined;
    const per = this.#units.per(tokens, after ? number.end + 1 : number.end, options);
    if (per?.dimension !== "energy") return undefined;
    const code =
      before === "$" || after?.code === "$" ? options.dollar : (after?.code ?? before ?? own ?? "");
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
      const second = this.#figures.unsigned(tokens, number.end + 1);
      if (!second || number.value !== 1 || second.value < 2) return undefined;
      return {
        end: second.end,
        measure: { value: number.value, ratio: second.value, text: text(tokens, from, second.end) },
      };
    }
    const part = joint?.key === "part" ? number.end + 1 : number.end;
    const word = key(tokens, part);
    if ((word !== "to" && word !== "in") || number.value !== 1) return undefined;
    const second = this.#figures.unsigned(tokens, part + 1);
    if (!second || second.value < 10 || second.article || this.#units.stands(tokens, second.end))
      return undefined;
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

  #outOf(tokens: readonly Token[], number: Found, measure: Measure): MeasureMatch {
    let at = number.end;
    if (tokens[at]?.text === "/" && tokens[at + 1]?.kind === "number") return { end: number.end, measure };
    if (key(tokens, at) === "out" && key(tokens, at + 1) === "of") at++;
    if (COUNT_OF.has(key(tokens, at))) {
      let next = at + 1;
      while (
        ["the", "my", "me", "our", "their", "his", "her", "those", "these", "them", "them there"].includes(
          key(tokens, next),
        )
      )
        next++;
      const total = this.#figures.unsigned(tokens, next);
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
    const second = this.#figures.unsigned(tokens, next);
    if (!second || second.article) return undefined;
    if (dash && joint?.glued !== tokens[at + 1]?.glued && !(unit || tokens[at + 1]?.glued)) return undefined;
    const secondUnit = this.#units.read(tokens, second.end, options);
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
    const first = this.#figures.read(tokens, from + 1);
    if (!first) return undefined;
    const unit = this.#units.read(tokens, first.end, options);
    let at = unit?.end ?? first.end;
    if (key(tokens, at) !== "and") return undefined;
    at++;
    if (key(tokens, at) === "about") at++;
    const second = this.#figures.read(tokens, at);
    if (!second || second.article) return undefined;
    const secondUnit = this.#units.read(tokens, second.end, options) ?? unit;
    const measure: Measure = { value: first.value, to: second.value, text: text(tokens, from, second.end) };
    if (secondUnit) {
      measure.unit = secondUnit.unit;
      measure.dimension = secondUnit.dimension;
    }
    return { end: Math.max(secondUnit?.end ?? 0, second.end), measure };
  }
}

const text = (tokens: readonly Token[], from: number, end: number): string =>
  tokens
    .slice(from, end)
    .map((token) => token.text)
    .join("");
