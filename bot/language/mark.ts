import type { HouseholdContext } from "./context.js";
import type { PreparedHousehold } from "./household.js";
import type { Subject } from "./interpretation.js";
import { type Item, is, itemOf, says, value } from "./item.js";
import { follows, NumberMarker } from "./mark-numbers.js";
import { hasDimension } from "./measure.js";
import { readAnalysis } from "./names/analysis.js";
import { extendName, readAbbreviation } from "./names/extend.js";
import { readNewTag } from "./names/tag.js";
import type { PhraseMatch, PhraseTrie } from "./phrase-trie.js";
import type { Meaning } from "./sense.js";
import { settleClocks } from "./settle-clocks.js";
import { settleNames } from "./settle-names.js";
import { settlePlaces } from "./settle-places.js";
import { settleTags } from "./settle-tags.js";
import { TokenReadings } from "./token-readings.js";
import type { Token } from "./tokenise.js";
import type { Vocabulary } from "./vocabulary.js";

const NONE: readonly Meaning[] = [];
/**
 * Marks what every word, phrase, number and date of the message may mean: the household's own names first,
 * then dates and measures, then the dictionary, then names that are merely misspelt.
 */
export const mark = (
  tokens: readonly Token[],
  context: HouseholdContext,
  vocabulary: Vocabulary,
): readonly Item[] => new Marking(tokens, context, vocabulary).items;

/** The marks of one message, and what they become with further words of asking or commanding among them. */
export class Marking {
  readonly items: readonly Item[];
  readonly #read: TokenReadings;
  readonly #plain: readonly Item[];

  constructor(tokens: readonly Token[], context: HouseholdContext, vocabulary: Vocabulary) {
    const { language } = vocabulary.lexicon;
    for (const token of tokens) {
      token.cues = vocabulary.cues.get(token.key) ?? token.cues;
      if (token.kind === "word") token.shape = language.shapeOf(token.key);
    }
    this.#read = new TokenReadings(tokens, context, vocabulary);
    this.#plain = new Marker(this.#read, undefined).all();
    this.items = settled(this.#plain);
  }

  with(layer: PhraseTrie): readonly Item[] {
    const { tokens } = this.#read;
    if (!tokens.some((token) => layer.has(token.key))) return this.items;
    // Quotation marks count from the beginning of the message; without them an item depends on its neighbours only.
    const quoting = tokens.some((token) => token.text === '"');
    return settled(new Marker(this.#read, layer, quoting ? undefined : this.#plain).all());
  }
}

const settled = (items: readonly Item[]): readonly Item[] =>
  settleClocks(settlePlaces(settleTags(settleNames(items))));

class Marker {
  readonly #tokens: readonly Token[];
  readonly #vocabulary: Vocabulary;
  readonly #layer: PhraseTrie | undefined;
  readonly #household: PreparedHousehold;
  readonly #read: TokenReadings;
  readonly #items: Item[] = [];
  readonly #numbers: NumberMarker;
  /** What was marked without the layer: taken over where the layer changes nothing. */
  readonly #plain: readonly Item[];

  constructor(read: TokenReadings, layer: PhraseTrie | undefined, plain: readonly Item[] = []) {
    this.#plain = plain;
    this.#read = read;
    this.#tokens = read.tokens;
    this.#vocabulary = read.vocabulary;
    this.#layer = layer;
    this.#household = read.household;
    this.#numbers = new NumberMarker(read, this.#items);
  }

  all(): Item[] {
    let quoted = false;
    let at = 0;
    let next = 0;
    while (at < this.#tokens.length) {
      const token = this.#tokens[at] as Token;
      while (next < this.#plain.length && (this.#plain[next] as Item).start < at) next++;
      const item = this.#kept(at, this.#plain[next], this.#plain[next - 1]) ?? this.#item(at);
      if (item.senses.length === 0 && token.text === '"' && !item.measure) {
        quoted = !quoted && this.#closes(at);
      } else if (quoted) item.quoted = true;
      this.#items.push(item);
      at = item.end;
    }
    return this.#items;
  }

  /** The item marked without the layer, where no word of the layer and no other item before changes it. */
  #kept(from: number, plain: Item | undefined, before: Item | undefined): Item | undefined {
    const token = this.#tokens[from] as Token;
    if (plain?.start !== from || this.#layer?.has(token.key)) return undefined;
    const shortened = token.kind === "word" && token.text.length === 1;
    if (this.#items.at(-1) === before && !shortened) return plain;
    const item = this.#item(from);
    const same =
      item.end === plain.end &&
      item.senses === plain.senses &&
      item.measure === plain.measure &&
      item.time === plain.time;
    return same ? plain : item;
  }

  #item(from: number): Item {
    const token = this.#tokens[from] as Token;
    if (token.kind === "mark" && token.text !== "-" && token.text !== "+") return this.#word(from);
    const own = this.#own(from);
    const known = token.kind === "number" ? undefined : this.#dictionary(from);
    if (own && (!known || own.end >= known.end)) {
      return named(from, own.end, token, own.senses);
    }
    if (token.text.length === 1 && token.kind === "word" && this.#tokens[from + 1]?.text === ".") {
      const short = readAbbreviation(this.#tokens, from, this.#read.context, this.#vocabulary, this.#items);
      if (short) return short;
    }
    const labelled = own ? undefined : readNewTag(this.#tokens, from);
    if (labelled) return labelled;
    if (token.kind === "number") {
      const fertiliser = readAnalysis(this.#tokens, from, value(this.#items.at(-1), "prep") === "with");
      if (fertiliser) return fertiliser;
    }
    const counted = this.#numbers.at(from, known);
    if (counted) return counted;
    if (!known) return this.#word(from);
    const item = named(from, known.end, token, known.senses);
    return item.subject?.genus ? extendName(item, this.#tokens, this.#vocabulary) : item;
  }

  /** A name of the household, unless the word is used as itself ("how long", "keep it warm"). */
  #own(from: number): PhraseMatch | undefined {
    const token = this.#tokens[from] as Token;
    // "#20 w pollen" is no 20 watts.
    if (token.kind === "number" && this.#tokens[from - 1]?.text === "#") {
      const tag = this.#household.numericTags.get(token.text);
      if (tag) return { end: from + 1, senses: [tag] };
    }
    const found = this.#household.phrases.longest(this.#tokens, from);
    if (!found)
      return token.owner !== undefined ? this.#possessive(token.owner, from) : this.#unmarked(token, from);
    if (found.end === from + 2 && says(token, "article a") && this.#measured(from + 1)) return undefined;
    if (found.end > from + 1 || token.capital || !this.#vocabulary.lexicon.ordinary.has(token.key))
      return found;
    const place = is(found, "place");
    return place && follows(this.#items, "degree") && !follows(this.#items, "negation") ? undefined : found;
  }

  /** "into a 17 cm pot" names no plant "A17". */
  #measured(from: number): boolean {
    const found = this.#read.measure(from);
    return found !== undefined && hasDimension(found.measure);
  }

  /** "Devs fed the orchids": a member's name with its apostrophe left out. */
  #unmarked(token: Token, from: number): PhraseMatch | undefined {
    if (token.kind !== "word" || token.key.length < 4) return undefined;
    const { language, ordinary } = this.#vocabulary.lexicon;
    const owner = language.looseOwnerOf(token.key);
    if (owner === undefined || ordinary.has(token.key)) return undefined;
    const senses = this.#household.phrases.word(owner);
    return senses?.some((one) => one.cls === "member") ? { end: from + 1, senses } : undefined;
  }

  #possessive(owner: string, from: number): PhraseMatch | undefined {
    const senses = this.#household.phrases.word(owner.replaceAll("'", ""));
    return senses ? { end: from + 1, senses } : undefined;
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
  #pluralName(token: Token): Meaning | undefined {
    if (token.key.length < 5) return undefined;
    const { language, ordinary } = this.#vocabulary.lexicon;
    const one = language.singular(token.key);
    if (one === token.key || ordinary.has(token.key)) return undefined;
    return this.#vocabulary.phrases.word(one)?.find(({ cls }) => cls === "name");
  }

  #single(key: string): readonly Meaning[] | undefined {
    const more = this.#layer?.word(key);
    const senses = this.#vocabulary.phrases.word(key);
    return more && senses ? [...senses, ...more] : (senses ?? more);
  }

  /** A word that begins no phrase: alone in the dictionary, a possessive, or a name that is misspelt. */
  #word(from: number): Item {
    const token = this.#tokens[from] as Token;
    const alone = token.kind === "word" ? this.#single(token.key) : this.#vocabulary.phrases.word(token.key);
    const senses = alone ?? this.#clipped(token) ?? NONE;
    const plain = named(from, from + 1, token, senses);
    if (senses.length > 0 || token.kind !== "word") return plain;
    const stem = token.owner;
    if (stem !== undefined) {
      const genus = this.#vocabulary.genusOf(stem);
      const bare = this.#single(stem) ?? (genus && [genus]);
      if (bare) return this.#named(plain, bare);
    }
    if (this.#vocabulary.lexicon.ordinary.has(token.key)) return plain;
    const near = this.#read.near(from);
    if (!near) {
      plain.unknown = true;
      return plain;
    }
    const { meaning } = near;
    const found = meaning.subject ? { ...meaning, subject: { ...meaning.subject, as: token.key } } : meaning;
    plain.guessed = true;
    return this.#named(plain, [found]);
  }

  /** "lookin": the senses of the whole form, where the clipped one is no ordinary word. */
  #clipped(token: Token): readonly Meaning[] | undefined {
    const { lexicon, phrases } = this.#vocabulary;
    const whole = lexicon.ordinary.has(token.key) ? undefined : lexicon.language.wholeForm(token.key);
    return whole ? phrases.word(whole) : undefined;
  }

  #named(item: Item, senses: readonly Meaning[]): Item {
    item.senses = senses;
    item.subject = subjectFrom(senses);
    return item.subject?.genus ? extendName(item, this.#tokens, this.#vocabulary) : item;
  }

  /** Whether a quotation that opens here is closed again. */
  #closes(from: number): boolean {
    for (let i = from + 1; i < this.#tokens.length; i++) if (this.#tokens[i]?.text === '"') return true;
    return false;
  }
}

function named(start: number, end: number, token: Token, senses: readonly Meaning[]): Item {
  const item = itemOf(start, end, token, senses);
  if (senses.length > 0) item.subject = subjectFrom(senses);
  return item;
}

function longest(a: PhraseMatch | undefined, b: PhraseMatch | undefined): PhraseMatch | undefined {
  if (!a || !b) return a ?? b;
  if (a.end !== b.end) return a.end > b.end ? a : b;
  return { end: a.end, senses: [...a.senses, ...b.senses] };
}

function subjectFrom(senses: readonly Meaning[]): Subject | undefined {
  for (const one of senses) {
    if (one.cls === "name") return one.subject;
    if (one.cls === "group") return { group: one.value as NonNullable<Subject["group"]> };
    if (one.cls === "all") return { all: true };
  }
  return undefined;
}
