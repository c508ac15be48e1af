import type { HouseholdContext } from "./context.js";
import { householdOf } from "./household.js";
import type { Subject } from "./interpretation.js";
import type { Item } from "./item.js";
import type { LocaleOptions } from "./language.js";
import { extendName, readAbbreviation } from "./names/extend.js";
import type { PhraseMatch, PhraseTrie } from "./phrase-trie.js";
import type { Sense } from "./sense.js";
import type { Token } from "./tokenise.js";
import type { Vocabulary } from "./vocabulary.js";

const NONE: readonly Sense[] = [];

export const localeOptions = (context: HouseholdContext): LocaleOptions => {
  const american = context.locale === "en-US" || context.locale.endsWith("-US");
  return { monthFirst: american, system: american ? "us" : "gb" };
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
  return items;

  function readItem(from: number): Item {
    const token = tokens[from] as Token;
    if (token.kind === "mark" && token.text !== "-" && token.text !== "+") return word(from);
    const own = household.phrases.longest(tokens, from) ?? possessive(from);
    const known = token.kind === "number" ? undefined : dictionary(from);
    if (own && (!known || own.end >= known.end)) {
      return { start: from, end: own.end, token, senses: own.senses, ...named(own.senses) };
    }
    if (token.text.length === 1 && tokens[from + 1]?.text === "." && token.kind === "word") {
      const short = readAbbreviation(tokens, from, context, vocabulary, items);
      if (short) return short;
    }
    const time = language.readTime(tokens, from, options);
    const measure = language.readMeasure(tokens, from, options);
    if (time && measuresOn(time.end)) return numberless(from);
    if (time || measure) {
      const dimensioned =
        measure && (measure.measure.unit || measure.measure.ratio || measure.measure.strength);
      const timely = measure?.measure.dimension === "time";
      const item: Item = { start: from, end: 0, token, senses: NONE };
      if (time && (!known || time.end >= known.end)) {
        const weak =
          time.expr.clock &&
          !time.expr.clock.half &&
          !time.expr.clock.exact &&
          !time.expr.day &&
          !time.expr.part &&
          tokens[time.end - 1]?.kind === "number";
        if (
          !dimensioned ||
          timely ||
          time.end > measure.end ||
          (measure.measure.ratio && time.end >= measure.end)
        ) {
          item.time = time.expr;
          item.end = time.end;
          const ratio =
            time.expr.clock?.hour === 1 && time.expr.clock.exact
              ? language.readMeasure(tokens, time.end - 3, options)
              : undefined;
          if (ratio?.measure.ratio && ratio.end === time.end) item.measure = ratio.measure;
          if (weak) {
            const inner = language.readMeasure(tokens, time.end - 1, options);
            if (inner && inner.end > time.end) {
              // "at 12.2%", "at 81 % humidity": the number has a unit, so it is no hour.
              return word(from);
            }
            item.weakTime = true;
            item.measure = {
              value: (tokens[time.end - 1] as Token).value,
              text: (tokens[time.end - 1] as Token).text,
            };
          }
          return item;
        }
      }
      if (measure && (!known || measure.end > known.end || (dimensioned && measure.end >= known.end))) {
        item.measure = measure.measure;
        item.end = measure.end;
        const tag = household.numericTags.get(token.text);
        if (tag && !dimensioned && measure.end === from + 1) return { ...item, senses: [tag] };
        return item;
      }
    }
    if (known) {
      const item: Item = { start: from, end: known.end, token, senses: known.senses, ...named(known.senses) };
      return extendName(item, tokens, vocabulary);
    }
    return word(from);
  }

  /** "at 1/2 strength", "at 12 %": the number that seemed a date or an hour goes on into a measure. */
  function measuresOn(end: number): boolean {
    for (const at of [end - 1, end - 3]) {
      if (tokens[at]?.kind !== "number") continue;
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

  /** The word or measure at `from` where a phrase of time is out of the question. */
  function numberless(from: number): Item {
    const measure = language.readMeasure(tokens, from, options);
    if (!measure) return word(from);
    return {
      start: from,
      end: measure.end,
      token: tokens[from] as Token,
      senses: NONE,
      measure: measure.measure,
    };
  }

  /** The dictionary's phrase, unless a name of the household begins inside it and reaches further. */
  function dictionary(from: number): PhraseMatch | undefined {
    const found = longest(vocabulary.phrases.longest(tokens, from), layer?.longest(tokens, from));
    if (!found || found.end === from + 1) return found;
    for (let inner = from + 1; inner < found.end; inner++) {
      const own = household.phrases.longest(tokens, inner);
      if (own && own.end >= found.end) {
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
    const near = vocabulary.near.nearest(token.key);
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
