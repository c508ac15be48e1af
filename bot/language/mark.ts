import type { HouseholdContext } from "./context.js";
import { householdOf } from "./household.js";
import type { Subject } from "./interpretation.js";
import { type Item, is } from "./item.js";
import type { LocaleOptions, MeasureMatch, TimeMatch } from "./language.js";
import type { Measure } from "./measure.js";
import { extendName, readAbbreviation } from "./names/extend.js";
import type { PhraseMatch, PhraseTrie } from "./phrase-trie.js";
import type { Sense } from "./sense.js";
import { settleNames } from "./settle-names.js";
import type { Token } from "./tokenise.js";
import type { Vocabulary } from "./vocabulary.js";

const NONE: readonly Sense[] = [];

const DOLLARS: Record<string, string> = { AU: "AUD", NZ: "NZD", CA: "CAD", SG: "SGD" };

export const localeOptions = (context: HouseholdContext): LocaleOptions => {
  const american = context.locale === "en-US" || context.locale.endsWith("-US");
  return {
    monthFirst: american,
    system: american ? "us" : "gb",
    dollar: DOLLARS[context.locale.slice(-2)] ?? "USD",
  };
};

const subjectFrom = (senses: readonly Sense[]): Subject | undefined => {
  for (const one of senses) {
    if (one.cls === "name") return one.subject;
    if (one.cls === "group") return { group: one.value as NonNullable<Subject["group"]> };
    if (one.cls === "all") return { all: true };
  }
  return undefined;
};

/**
 * Marks what every word, phrase, number and date of the message may mean: the household's own names first,
 * then dates and measures, then the dictionary, then names that are merely misspelt.
 * @param layer further words, of asking or commanding
 */
export function mark(
  tokens: readonly Token[],
  context: HouseholdContext,
  vocabulary: Vocabulary,
  layer?: PhraseTrie,
): Item[] {
  const household = householdOf(context);
  const options = localeOptions(context);
  const { language } = vocabulary.lexicon;
  const items: Item[] = [];
  let quoted = false;
  let at = 0;
  while (at < tokens.length) {
    const token = tokens[at] as Token;
    const item = readItem(at);
    if (item.senses.length === 0 && token.text === '"' && !item.measure)
      quoted = !quoted && closes(tokens, at);
    else if (quoted) item.quoted = true;
    items.push(item);
    at = item.end;
  }
  return settleNames(items);

  function readItem(from: number): Item {
    const token = tokens[from] as Token;
    if (token.kind === "mark" && token.text !== "-" && token.text !== "+") return word(from);
    const own = describes(from) ? undefined : (household.phrases.longest(tokens, from) ?? possessive(from));
    const known = token.kind === "number" ? undefined : dictionary(from);
    if (own && (!known || own.end >= known.end)) {
      return { start: from, end: own.end, token, senses: own.senses, ...named(own.senses) };
    }
    if (token.text.length === 1 && tokens[from + 1]?.text === "." && token.kind === "word") {
      const short = readAbbreviation(tokens, from, context, vocabulary, items);
      if (short) return short;
    }
    const counted = number(from, known);
    if (counted) return counted;
    if (known) {
      const item: Item = { start: from, end: known.end, token, senses: known.senses, ...named(known.senses) };
      return extendName(item, tokens, vocabulary);
    }
    return word(from);
  }

  /** A date, an hour or a measure that begins at `from` and is not outdone by a longer phrase of words. */
  function number(from: number, known: PhraseMatch | undefined): Item | undefined {
    const measured = language.readMeasure(tokens, from, options);
    const time = timeAt(from, measured);
    if (time && (!known || time.end >= known.end)) return time;
    if (!measured) return undefined;
    const { end, measure } = measured;
    const dimensioned = hasDimension(measure);
    if (known && (end < known.end || (end === known.end && measure.article && !dimensioned)))
      return undefined;
    const senses = known && end === known.end && !dimensioned ? known.senses : NONE;
    const tag =
      dimensioned || end !== from + 1 ? undefined : household.numericTags.get((tokens[from] as Token).text);
    return { start: from, end, token: tokens[from] as Token, senses: tag ? [tag] : senses, measure };
  }

  /** The phrase of time at `from`, unless its number belongs to a measure ("at 12 %", "at 1/2 strength"). */
  function timeAt(from: number, measured: MeasureMatch | undefined): Item | undefined {
    const time = language.readTime(tokens, from, options);
    if (
      !time ||
      measuresOn(time.end) ||
      namesOn(from, time.end) ||
      (isShortDate(time) && follows(items, "stat", "reach"))
    )
      return undefined;
    if (measured && hasDimension(measured.measure) && measured.measure.dimension !== "time") {
      const ratio = measured.measure.ratio !== undefined && time.end >= measured.end;
      if (time.end <= measured.end && !ratio) return undefined;
    }
    const { clock, day, part } = time.expr;
    const item: Item = {
      start: from,
      end: time.end,
      token: tokens[from] as Token,
      senses: NONE,
      time: time.expr,
    };
    const last = tokens[time.end - 1] as Token;
    if (clock?.hour === 1 && clock.exact) {
      const ratio = language.readMeasure(tokens, time.end - 3, options);
      if (ratio?.measure.ratio && ratio.end === time.end) item.measure = ratio.measure;
    }
    if (clock && !clock.half && !clock.exact && !day && !part && last.kind === "number") {
      item.weakTime = true;
      item.measure = { value: last.value, text: last.text };
    }
    return item;
  }

  /** "the Christmas cacti": a name begins inside the phrase of time and reaches beyond it. */
  function namesOn(from: number, end: number): boolean {
    for (let at = from + 1; at < end; at++) {
      const found = vocabulary.phrases.longest(tokens, at);
      if (found && found.end > end && found.senses.some((one) => one.cls === "name")) return true;
    }
    return false;
  }

  /** "at 1/2 strength", "at 12 %": the number that seemed a date or an hour goes on into a measure. */
  function measuresOn(end: number): boolean {
    for (const at of [end - 1, end - 3]) {
      const token = tokens[at];
      if (!token || (token.kind !== "number" && !vocabulary.lexicon.numbers.has(token.key))) continue;
      const inner = language.readMeasure(tokens, at, options);
      if (
        inner &&
        inner.end > end &&
        inner.measure.dimension !== "time" &&
        (inner.measure.unit || inner.measure.strength !== undefined || inner.measure.ratio !== undefined)
      )
        return true;
    }
    return false;
  }

  /** "how long", "keep it warm": an ordinary word that a place happens to be called by, used as itself. */
  function describes(from: number): boolean {
    const token = tokens[from] as Token;
    if (token.capital || !vocabulary.lexicon.ordinary.has(token.key)) return false;
    const own = household.phrases.longest(tokens, from);
    return own?.end === from + 1 && own.senses.some((one) => one.cls === "place") && follows(items, "degree");
  }

  /** The dictionary's phrase, unless a name of the household begins inside it and reaches further. */
  function dictionary(from: number): PhraseMatch | undefined {
    const found = longest(vocabulary.phrases.longest(tokens, from), layer?.longest(tokens, from));
    if (!found || found.end === from + 1) return found;
    for (let inner = from + 1; inner < found.end; inner++) {
      const own = household.phrases.longest(tokens, inner);
      const article =
        inner === from + 1 && is({ senses: single((tokens[from] as Token).key) ?? NONE }, "det");
      if (own && (own.end > found.end || (own.end === found.end && article))) {
        const senses = single((tokens[from] as Token).key);
        return senses ? { end: from + 1, senses } : undefined;
      }
    }
    return found;
  }

  function single(key: string): readonly Sense[] | undefined {
    const more = layer?.word(key);
    const senses = vocabulary.phrases.word(key);
    return more && senses ? [...senses, ...more] : (senses ?? more);
  }

  function possessive(from: number): { end: number; senses: readonly Sense[] } | undefined {
    const token = tokens[from] as Token;
    if (!token.lower.endsWith("'s")) return undefined;
    const bare = { ...token, key: token.lower.slice(0, -2).replaceAll("'", "") };
    return household.phrases.longest([bare], 0)
      ? { end: from + 1, senses: household.phrases.longest([bare], 0)?.senses ?? NONE }
      : undefined;
  }

  function word(from: number): Item {
    const token = tokens[from] as Token;
    const plain: Item = { start: from, end: from + 1, token, senses: NONE };
    if (token.kind !== "word") {
      const senses = vocabulary.phrases.word(token.key);
      return senses ? { ...plain, senses } : plain;
    }
    const alone = single(token.key);
    if (alone) return { ...plain, senses: alone, ...named(alone) };
    if (token.lower.endsWith("'s")) {
      const bare = vocabulary.phrases.word(token.lower.slice(0, -2));
      if (bare) return extendName({ ...plain, senses: bare, ...named(bare) }, tokens, vocabulary);
    }
    if (vocabulary.lexicon.ordinary.has(token.key)) return plain;
    const near = household.near.nearest(token.key) ?? vocabulary.near.nearest(token.key);
    if (near) {
      const found = near.meaning.subject
        ? { ...near.meaning, subject: { ...near.meaning.subject, as: token.key } }
        : near.meaning;
      const senses = [found];
      return extendName({ ...plain, senses, guessed: true, ...named(senses) }, tokens, vocabulary);
    }
    return { ...plain, unknown: true };
  }
}

const hasDimension = (measure: Measure): boolean =>
  measure.unit !== undefined || measure.ratio !== undefined || measure.strength !== undefined;

/** "4/18": a date only where nothing else speaks against it. */
const isShortDate = (time: TimeMatch): boolean =>
  time.expr.day?.kind === "date" && time.expr.day.year === undefined && !time.expr.clock && !time.expr.to;

const follows = (items: readonly Item[], ...classes: string[]): boolean => {
  const last = items.at(-1);
  return (
    last !== undefined &&
    last.measure === undefined &&
    last.senses.some((one) => classes.includes(one.cls) && one.value !== "current")
  );
};

const longest = (a: PhraseMatch | undefined, b: PhraseMatch | undefined): PhraseMatch | undefined => {
  if (!a || !b) return a ?? b;
  if (a.end !== b.end) return a.end > b.end ? a : b;
  return { end: a.end, senses: [...a.senses, ...b.senses] };
};

const named = (senses: readonly Sense[]): { subject?: Subject } => {
  const subject = subjectFrom(senses);
  return subject ? { subject } : {};
};

/** Whether a quotation that opens here is closed again. */
function closes(tokens: readonly Token[], from: number): boolean {
  for (let i = from + 1; i < tokens.length; i++) if (tokens[i]?.text === '"') return true;
  return false;
}
