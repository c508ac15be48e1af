import type { PreparedHousehold } from "./household.js";
import { type Item, is, itemOf } from "./item.js";
import type { MeasureMatch, TimeMatch } from "./language.js";
import { hasDimension, measureOf } from "./measure.js";
import type { PhraseMatch } from "./phrase-trie.js";
import type { Meaning } from "./sense.js";
import type { TokenReadings } from "./token-readings.js";
import type { Token } from "./tokenise.js";
import type { Vocabulary } from "./vocabulary.js";

const NONE: readonly Meaning[] = [];

/** Marks what begins with a number, in digits or words, and what begins with a word of the calendar. */
export class NumberMarker {
  readonly #tokens: readonly Token[];
  readonly #vocabulary: Vocabulary;
  readonly #household: PreparedHousehold;
  readonly #read: TokenReadings;
  readonly #items: readonly Item[];

  /** @param items those marked so far; they grow while the message is marked */
  constructor(read: TokenReadings, items: readonly Item[]) {
    this.#read = read;
    this.#tokens = read.tokens;
    this.#vocabulary = read.vocabulary;
    this.#household = read.household;
    this.#items = items;
  }

  /** A date, an hour or a measure that begins at `from` and is not outdone by a longer phrase of words. */
  at(from: number, known: PhraseMatch | undefined): Item | undefined {
    const measured = this.#read.measure(from);
    const time = this.#time(from, measured);
    if (time && (!known || time.end >= known.end)) return time;
    if (!measured) return undefined;
    const { end, measure } = measured;
    const dimensioned = hasDimension(measure);
    if (known && (end < known.end || (end === known.end && measure.article && !dimensioned)))
      return undefined;
    const token = this.#tokens[from] as Token;
    const senses = known && end === known.end && !dimensioned ? known.senses : NONE;
    const tag = dimensioned || end !== from + 1 ? undefined : this.#household.numericTags.get(token.text);
    const item = itemOf(from, end, token, tag ? [tag] : senses);
    item.measure = measure;
    return item;
  }

  /** "min/max in the bay 11/21, lean-to 4/17": pairs of values and no dates. */
  #paired(from: number): boolean {
    if (this.#tokens[from]?.kind !== "number") return false;
    const says = (extreme: string): boolean =>
      this.#items.some((item) => item.senses.some((one) => one.cls === "stat" && one.value === extreme));
    return says("min") && says("max");
  }

  /** "the bay between 4 and 19 yesterday": the two numbers are values of the place. */
  #rangesOver({ expr: { clock, clockTo } }: TimeMatch): boolean {
    if (!clock || !clockTo || clock.half || clockTo.half || clock.exact || clockTo.exact) return false;
    return this.#items.at(-1)?.senses.some((one) => one.cls === "place" || one.cls === "range") ?? false;
  }

  /** The phrase of time at `from`, unless its number belongs to a measure ("at 12 %", "at 1/2 strength"). */
  #time(from: number, measured: MeasureMatch | undefined): Item | undefined {
    const time = this.#beforeMeasure(from, this.#read.time(from));
    // "10.9/19.6" is a pair of values and no date.
    if (time && this.#tokens[from + 1]?.text === "/" && !Number.isInteger(this.#tokens[from]?.value))
      return undefined;
    if (!time || this.#namesOn(from, time.end)) return undefined;
    if (isShortDate(time) && follows(this.#items, "stat", "reach")) return undefined;
    if (time.expr.clock?.loose && this.#items.at(-1)?.senses.some((one) => one.cls === "reach"))
      return undefined;
    if (measured && hasDimension(measured.measure) && measured.measure.dimension !== "time") {
      const ratio = measured.measure.ratio !== undefined && time.end >= measured.end;
      if (time.end <= measured.end && !ratio) return undefined;
    }
    // "repotted 20 nov 6": a plant's number before the date.
    if (this.#household.numericTags.has((this.#tokens[from] as Token).text)) {
      const later = this.#read.time(from + 1);
      if (later?.expr.day?.kind === "date" && later.end > time.end) return undefined;
    }
    if (this.#rangesOver(time) || (time.expr.day?.kind === "date" && this.#paired(from))) return undefined;
    const { clock, day, part } = time.expr;
    const token = this.#tokens[from] as Token;
    const item = itemOf(from, time.end, token, NONE);
    item.time = time.expr;
    const last = this.#tokens[time.end - 1] as Token;
    if (clock?.hour === 1 && clock.exact) {
      const ratio = this.#read.measure(time.end - 3);
      if (ratio?.measure.ratio && ratio.end === time.end) item.measure = ratio.measure;
    }
    if (clock && !clock.half && !clock.exact && !day && !part && last.kind === "number") {
      if (
        follows(this.#items, "stat", "reach") ||
        (this.#items.at(-1)?.senses.some((one) => one.cls === "reach") ?? false)
      )
        return undefined;
      item.weakTime = true;
      item.measure = measureOf({ value: last.value, text: last.text });
    }
    return item;
  }

  /** "the Christmas cacti": a name begins inside the phrase of time and reaches beyond it. */
  #namesOn(from: number, end: number): boolean {
    for (let at = from + 1; at < end; at++) {
      const found = this.#vocabulary.phrases.longest(this.#tokens, at);
      if (found && found.end > end && is(found, "name")) return true;
    }
    return false;
  }

  /** "yesterday at 2 tsp per gallon": of a phrase whose last number belongs to a measure, what stands before it. */
  #beforeMeasure(from: number, time: TimeMatch | undefined): TimeMatch | undefined {
    const measured = time ? this.#measuresOn(time.end) : -1;
    if (!time || measured < 0) return time;
    return measured > from ? this.#read.timeUpTo(from, measured) : undefined;
  }

  /** "at 1/2 strength", "at 12 %": where the number begins that seemed a date or an hour and goes on into a measure; or -1. */
  #measuresOn(end: number): number {
    const { numbers } = this.#vocabulary.lexicon;
    for (const at of [end - 1, end - 3]) {
      const token = this.#tokens[at];
      if (!token || (token.kind !== "number" && !numbers.has(token.key))) continue;
      const inner = this.#read.measure(at);
      if (inner && inner.end > end && inner.measure.dimension !== "time" && hasDimension(inner.measure))
        return at;
    }
    return -1;
  }
}

/** "4/18": a date only where nothing else speaks against it. */
const isShortDate = (time: TimeMatch): boolean =>
  time.expr.day?.kind === "date" && time.expr.day.year === undefined && !time.expr.clock && !time.expr.to;

/** Whether the last item has a sense of one of these classes and is no measure. */
export function follows(items: readonly Item[], ...classes: string[]): boolean {
  const last = items.at(-1);
  if (!last || last.measure) return false;
  return last.senses.some((one) => classes.includes(one.cls) && one.value !== "current");
}
