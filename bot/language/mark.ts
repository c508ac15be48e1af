import type { HouseholdContext } from "./context.js";
import { householdOf, type PreparedHousehold } from "./household.js";
import type { Subject } from "./interpretation.js";
import { type Item, is } from "./item.js";
import type { LocaleOptions, MeasureMatch, TimeMatch } from "./language.js";
import type { Measure } from "./measure.js";
import { extendName, readAbbreviation } from "./names/extend.js";
import { readNewTag } from "./names/tag.js";
import type { PhraseMatch, PhraseTrie } from "./phrase-trie.js";
import type { Sense } from "./sense.js";
import { settleNames } from "./settle-names.js";
import { settlePlaces } from "./settle-places.js";
import { settleTags } from "./settle-tags.js";
import type { Token } from "./tokenise.js";
import type { Vocabulary } from "./vocabulary.js";

const NONE: readonly Sense[] = [];
const DOLLARS: Record<string, string> = { AU: "AUD", NZ: "NZD", CA: "CAD", SG: "SGD" };
const AMERICAN: LocaleOptions = { monthFirst: true, system: "us", dollar: "USD" };

export const localeOptions = (context: HouseholdContext): LocaleOptions =>
  context.locale.endsWith("-US")
    ? AMERICAN
    : { monthFirst: false, system: "gb", dollar: DOLLARS[context.locale.slice(-2)] ?? "USD" };

/**
 * Marks what every word, phrase, number and date of the message may mean: the household's own names first,
 * then dates and measures, then the dictionary, then names that are merely misspelt.
 * @param layer further words, of asking or commanding
 */
export const mark = (
  tokens: readonly Token[],
  context: HouseholdContext,
  vocabulary: Vocabulary,
  layer?: PhraseTrie,
): Item[] => settlePlaces(settleTags(settleNames(new Marker(tokens, context, vocabulary, layer).all())));

class Marker {
  readonly #tokens: readonly Token[];
  readonly #context: HouseholdContext;
  readonly #vocabulary: Vocabulary;
  readonly #layer: PhraseTrie | undefined;
  readonly #household: PreparedHousehold;
  readonly #options: LocaleOptions;
  readonly #hints: Uint8Array;
  readonly #read: Readings;
  readonly #items: Item[] = [];

  constructor(
    tokens: readonly Token[],
    context: HouseholdContext,
    vocabulary: Vocabulary,
    layer: PhraseTrie | undefined,
  ) {
    this.#tokens = tokens;
    this.#context = context;
    this.#vocabulary = vocabulary;
    this.#layer = layer;
    this.#household = householdOf(context);
    this.#options = localeOptions(context);
    this.#hints = vocabulary.lexicon.language.timeHints(tokens);
    this.#read = readingsOf(tokens);
  }

  all(): Item[] {
    let quoted = false;
    let at = 0;
    while (at < this.#tokens.length) {
      const token = this.#tokens[at] as Token;
      const item = this.#item(at);
      if (item.senses.length === 0 && token.text === '"' && !item.measure) {
        quoted = !quoted && this.#closes(at);
      } else if (quoted) item.quoted = true;
      this.#items.push(item);
      at = item.end;
    }
    return this.#items;
  }

  #item(from: number): Item {
    const token = this.#tokens[from] as Token;
    if (token.kind === "mark" && token.text !== "-" && token.text !== "+") return this.#word(from);
    const own = this.#own(from);
    const known = token.kind === "number" ? undefined : this.#dictionary(from);
    if (own && (!known || own.end >= known.end)) {
      return { start: from, end: own.end, token, senses: own.senses, subject: subjectFrom(own.senses) };
    }
    if (token.text.length === 1 && token.kind === "word" && this.#tokens[from + 1]?.text === ".") {
      const short = readAbbreviation(this.#tokens, from, this.#context, this.#vocabulary, this.#items);
      if (short) return short;
    }
    const labelled = own ? undefined : readNewTag(this.#tokens, from);
    if (labelled) return labelled;
    const counted = this.#number(from, known);
    if (counted) return counted;
    if (!known) return this.#word(from);
    const item: Item = {
      start: from,
      end: known.end,
      token,
      senses: known.senses,
      subject: subjectFrom(known.senses),
    };
    return item.subject?.genus ? extendName(item, this.#tokens, this.#vocabulary) : item;
  }

  /** A name of the household, unless the word is used as itself ("how long", "keep it warm"). */
  #own(from: number): PhraseMatch | undefined {
    const token = this.#tokens[from] as Token;
    const found = this.#household.phrases.longest(this.#tokens, from);
    if (!found) return token.lower.endsWith("'s") ? this.#possessive(token, from) : undefined;
    if (found.end > from + 1 || token.capital || !this.#vocabulary.lexicon.ordinary.has(token.key))
      return found;
    const place = found.senses.some((one) => one.cls === "place");
    return place && this.#follows("degree") ? undefined : found;
  }

  #possessive(token: Token, from: number): PhraseMatch | undefined {
    const senses = this.#household.phrases.word(token.lower.slice(0, -2).replaceAll("'", ""));
    return senses ? { end: from + 1, senses } : undefined;
  }

  #measure(from: number): MeasureMatch | undefined {
    const { language } = this.#vocabulary.lexicon;
    return this.#read.measure(from, () => {
      const read = language.readMeasure(this.#tokens, from, this.#options);
      return read && this.#leadsToPlace(read.end) ? readBare(read) : read;
    });
  }

  /** "min 4.2 in long house": the unit before a place of the household is the word that leads to it. */
  #leadsToPlace(end: number): boolean {
    const last = this.#tokens[end - 1];
    if (last?.kind !== "word" || !this.#household.phrases.has(this.#tokens[end]?.key ?? "")) return false;
    if (!this.#vocabulary.phrases.word(last.key)?.some((one) => one.cls === "prep")) return false;
    return (
      this.#household.phrases.longest(this.#tokens, end)?.senses.some((one) => one.cls === "place") ?? false
    );
  }

  /** A date, an hour or a measure that begins at `from` and is not outdone by a longer phrase of words. */
  #number(from: number, known: PhraseMatch | undefined): Item | undefined {
    const measured = this.#measure(from);
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
    return { start: from, end, token, senses: tag ? [tag] : senses, measure };
  }

  /** The phrase of time at `from`, unless its number belongs to a measure ("at 12 %", "at 1/2 strength"). */
  #time(from: number, measured: MeasureMatch | undefined): Item | undefined {
    if (!this.#hints[from]) return undefined;
    const { language } = this.#vocabulary.lexicon;
    const time = this.#read.time(from, () => language.readTime(this.#tokens, from, this.#options));
    if (!time || this.#measuresOn(time.end) || this.#namesOn(from, time.end)) return undefined;
    if (isShortDate(time) && this.#follows("stat", "reach")) return undefined;
    if (measured && hasDimension(measured.measure) && measured.measure.dimension !== "time") {
      const ratio = measured.measure.ratio !== undefined && time.end >= measured.end;
      if (time.end <= measured.end && !ratio) return undefined;
    }
    const { clock, day, part } = time.expr;
    const token = this.#tokens[from] as Token;
    const item: Item = { start: from, end: time.end, token, senses: NONE, time: time.expr };
    const last = this.#tokens[time.end - 1] as Token;
    if (clock?.hour === 1 && clock.exact) {
      const ratio = language.readMeasure(this.#tokens, time.end - 3, this.#options);
      if (ratio?.measure.ratio && ratio.end === time.end) item.measure = ratio.measure;
    }
    if (clock && !clock.half && !clock.exact && !day && !part && last.kind === "number") {
      if (
        this.#follows("stat", "reach") ||
        (this.#items.at(-1)?.senses.some((one) => one.cls === "reach") ?? false)
      )
        return undefined;
      item.weakTime = true;
      item.measure = { value: last.value, text: last.text };
    }
    return item;
  }

  /** "the Christmas cacti": a name begins inside the phrase of time and reaches beyond it. */
  #namesOn(from: number, end: number): boolean {
    for (let at = from + 1; at < end; at++) {
      const found = this.#vocabulary.phrases.longest(this.#tokens, at);
      if (found && found.end > end && found.senses.some((one) => one.cls === "name")) return true;
    }
    return false;
  }

  /** "at 1/2 strength", "at 12 %": the number that seemed a date or an hour goes on into a measure. */
  #measuresOn(end: number): boolean {
    const { numbers } = this.#vocabulary.lexicon;
    for (const at of [end - 1, end - 3]) {
      const token = this.#tokens[at];
      if (!token || (token.kind !== "number" && !numbers.has(token.key))) continue;
      const inner = this.#measure(at);
      if (inner && inner.end > end && inner.measure.dimension !== "time" && hasDimension(inner.measure))
        return true;
    }
    return false;
  }

  /** The dictionary's phrase, unless a name of the household begins inside it and reaches further. */
  #dictionary(from: number): PhraseMatch | undefined {
    const found =
      longest(
        this.#vocabulary.phrases.longest(this.#tokens, from),
        this.#layer?.longest(this.#tokens, from),
      ) ?? this.#genus(from);
    if (!found || found.end === from + 1) return found;
    for (let inner = from + 1; inner < found.end; inner++) {
      const own = this.#household.phrases.longest(this.#tokens, inner);
      if (!own || own.end < found.end) continue;
      const senses = this.#single((this.#tokens[from] as Token).key);
      const article = inner === from + 1 && is({ senses: senses ?? NONE }, "det");
      if (own.end > found.end || article) return senses ? { end: from + 1, senses } : undefined;
    }
    return found;
  }

  /** A genus in the singular or plural. */
  #genus(from: number): PhraseMatch | undefined {
    const token = this.#tokens[from] as Token;
    if (token.kind !== "word" || token.key.length < 4) return undefined;
    const sense = this.#vocabulary.genusOf(token.key) ?? this.#pluralName(token);
    return sense ? { end: from + 1, senses: [sense] } : undefined;
  }

  /** The plural of a clip or a known misspelling: "kalankoes". */
  #pluralName(token: Token): Sense | undefined {
    if (token.key.length < 5 || !token.key.endsWith("s") || this.#vocabulary.lexicon.ordinary.has(token.key))
      return undefined;
    return this.#vocabulary.phrases.word(token.key.slice(0, -1))?.find((one) => one.cls === "name");
  }

  #single(key: string): readonly Sense[] | undefined {
    const more = this.#layer?.word(key);
    const senses = this.#vocabulary.phrases.word(key);
    return more && senses ? [...senses, ...more] : (senses ?? more);
  }

  /** A word that begins no phrase: alone in the dictionary, a possessive, or a name that is misspelt. */
  #word(from: number): Item {
    const token = this.#tokens[from] as Token;
    const alone = token.kind === "word" ? this.#single(token.key) : this.#vocabulary.phrases.word(token.key);
    const senses = alone ?? this.#clipped(token) ?? NONE;
    const plain: Item = { start: from, end: from + 1, token, senses };
    if (senses.length > 0 || token.kind !== "word")
      return senses.length > 0 ? { ...plain, subject: subjectFrom(senses) } : plain;
    if (token.lower.endsWith("'s")) {
      const stem = token.lower.slice(0, -2);
      const genus = this.#vocabulary.genusOf(stem);
      const bare = this.#vocabulary.phrases.word(stem) ?? (genus && [genus]);
      if (bare) return this.#named(plain, bare);
    }
    if (this.#vocabulary.lexicon.ordinary.has(token.key)) return plain;
    const near = nearest(token, this.#household, this.#vocabulary);
    if (!near) return { ...plain, unknown: true };
    const { meaning } = near;
    const found = meaning.subject ? { ...meaning, subject: { ...meaning.subject, as: token.key } } : meaning;
    return this.#named({ ...plain, guessed: true }, [found]);
  }

  /** "flowerin": a participle without its g. */
  #clipped(token: Token): readonly Sense[] | undefined {
    if (token.key.length < 6 || !token.key.endsWith("in") || this.#vocabulary.lexicon.ordinary.has(token.key))
      return undefined;
    return this.#vocabulary.phrases.word(`${token.key}g`);
  }

  #named(item: Item, senses: readonly Sense[]): Item {
    const named: Item = { ...item, senses, subject: subjectFrom(senses) };
    return named.subject?.genus ? extendName(named, this.#tokens, this.#vocabulary) : named;
  }

  /** Whether a quotation that opens here is closed again. */
  #closes(from: number): boolean {
    for (let i = from + 1; i < this.#tokens.length; i++) if (this.#tokens[i]?.text === '"') return true;
    return false;
  }

  /** Whether the item before has a sense of one of these classes. */
  #follows(...classes: string[]): boolean {
    const last = this.#items.at(-1);
    if (!last || last.measure) return false;
    return last.senses.some((one) => classes.includes(one.cls) && one.value !== "current");
  }
}

/** Dates and measures of one message by token, read once for all layers. */
class Readings {
  readonly #times = new Map<number, TimeMatch | undefined>();
  readonly #measures = new Map<number, MeasureMatch | undefined>();

  time(at: number, read: () => TimeMatch | undefined): TimeMatch | undefined {
    if (!this.#times.has(at)) this.#times.set(at, read());
    return this.#times.get(at);
  }

  measure(at: number, read: () => MeasureMatch | undefined): MeasureMatch | undefined {
    if (!this.#measures.has(at)) this.#measures.set(at, read());
    return this.#measures.get(at);
  }
}
const readings = new WeakMap<readonly Token[], Readings>();

function readingsOf(tokens: readonly Token[]): Readings {
  const known = readings.get(tokens);
  if (known) return known;
  const fresh = new Readings();
  readings.set(tokens, fresh);
  return fresh;
}

type Near = ReturnType<Vocabulary["nearest"]>;
/** Misspelt words are looked up once for all layers of a message. */
const looked = new WeakMap<Token, { near: Near }>();

function nearest(token: Token, household: PreparedHousehold, vocabulary: Vocabulary): Near {
  const known = looked.get(token);
  if (known) return known.near;
  const near = household.near.nearest(token.key) ?? vocabulary.nearest(token.key);
  looked.set(token, { near });
  return near;
}

/** The number alone. */
const readBare = ({ end, measure: { value, text } }: MeasureMatch): MeasureMatch => ({
  end: end - 1,
  measure: { value, text },
});

const hasDimension = (measure: Measure): boolean =>
  measure.unit !== undefined || measure.ratio !== undefined || measure.strength !== undefined;

/** "4/18": a date only where nothing else speaks against it. */
const isShortDate = (time: TimeMatch): boolean =>
  time.expr.day?.kind === "date" && time.expr.day.year === undefined && !time.expr.clock && !time.expr.to;

function longest(a: PhraseMatch | undefined, b: PhraseMatch | undefined): PhraseMatch | undefined {
  if (!a || !b) return a ?? b;
  if (a.end !== b.end) return a.end > b.end ? a : b;
  return { end: a.end, senses: [...a.senses, ...b.senses] };
}

function subjectFrom(senses: readonly Sense[]): Subject | undefined {
  for (const one of senses) {
    if (one.cls === "name") return one.subject;
    if (one.cls === "group") return { group: one.value as NonNullable<Subject["group"]> };
    if (one.cls === "all") return { all: true };
  }
  return undefined;
}
