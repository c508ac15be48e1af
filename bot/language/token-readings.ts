import type { HouseholdContext } from "./context.js";
import { householdOf, type PreparedHousehold } from "./household.js";
import type { LocaleOptions, MeasureMatch, TimeMatch } from "./language.js";
import { measureOf } from "./measure.js";
import type { Token } from "./tokenise.js";
import type { Vocabulary } from "./vocabulary.js";

type Near = ReturnType<Vocabulary["nearest"]>;

const DOLLARS: Record<string, string> = { AU: "AUD", NZ: "NZD", CA: "CAD", SG: "SGD" };
const MONEY: Record<string, string> = { ...DOLLARS, GB: "GBP", IE: "EUR", DE: "EUR", PL: "PLN", ZA: "ZAR" };
const AMERICAN: LocaleOptions = { monthFirst: true, system: "us", dollar: "USD", money: "USD" };

export function localeOptions({ locale }: HouseholdContext): LocaleOptions {
  if (locale.endsWith("-US")) return AMERICAN;
  const region = locale.slice(-2);
  const money = MONEY[region];
  return { monthFirst: false, system: "gb", dollar: DOLLARS[region] ?? "USD", ...(money && { money }) };
}

/** What is read of one message by token: dates, measures and near names, each once for all layers of words. */
export class TokenReadings {
  readonly household: PreparedHousehold;
  readonly options: LocaleOptions;
  readonly #hints: Uint8Array;
  readonly #times: (TimeMatch | undefined | null)[];
  readonly #measures: (MeasureMatch | undefined | null)[];
  readonly #near = new Map<number, Near>();

  constructor(
    readonly tokens: readonly Token[],
    readonly context: HouseholdContext,
    readonly vocabulary: Vocabulary,
  ) {
    this.household = householdOf(context, vocabulary);
    this.options = localeOptions(context);
    this.#hints = vocabulary.lexicon.language.timeHints(tokens);
    this.#times = new Array(tokens.length).fill(null);
    this.#measures = new Array(tokens.length).fill(null);
  }

  /** The phrase of time that begins at a token, if one may begin there. */
  time(at: number): TimeMatch | undefined {
    if (!this.#hints[at]) return undefined;
    const known = this.#times[at];
    if (known !== null) return known;
    const found = this.vocabulary.lexicon.language.readTime(this.tokens, at, this.options);
    this.#times[at] = found;
    return found;
  }

  /** The phrase of time that begins at `from` and ends before `end`. */
  timeUpTo(from: number, end: number): TimeMatch | undefined {
    return this.vocabulary.lexicon.language.readTime(this.tokens.slice(0, end), from, this.options);
  }

  /** The number with or without its unit that begins at a token. */
  measure(at: number): MeasureMatch | undefined {
    const known = this.#measures[at];
    if (known !== null) return known;
    const read = this.vocabulary.lexicon.language.readMeasure(this.tokens, at, this.options);
    const found = read && (this.#leadsToPlace(read.end) ? readBare(read) : read);
    if (found) found.measure = measureOf(found.measure);
    this.#measures[at] = found;
    return found;
  }

  /** "min 4.2 in long house": the unit before a place of the household is the word that leads to it. */
  #leadsToPlace(end: number): boolean {
    const last = this.tokens[end - 1];
    const { phrases } = this.household;
    if (last?.kind !== "word" || !phrases.has(this.tokens[end]?.key ?? "")) return false;
    if (!this.vocabulary.phrases.word(last.key)?.some((one) => one.cls === "prep")) return false;
    return phrases.longest(this.tokens, end)?.senses.some((one) => one.cls === "place") ?? false;
  }

  /** The name or word that a token surely misspells. */
  near(at: number): Near {
    if (this.#near.has(at)) return this.#near.get(at);
    const { key } = this.tokens[at] as Token;
    const near = this.household.near.nearest(key) ?? this.vocabulary.nearest(key);
    this.#near.set(at, near);
    return near;
  }
}

/** The number alone. */
const readBare = ({ end, measure: { value, text } }: MeasureMatch): MeasureMatch => ({
  end: end - 1,
  measure: { value, text },
});
