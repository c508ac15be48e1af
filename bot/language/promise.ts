import type { HouseholdContext } from "./context.js";
import { householdOf, type PreparedHousehold } from "./household.js";
import type { Writing } from "./language.js";
import type { Lexicon } from "./lexicon.js";
import { readNewTag } from "./names/tag.js";
import { PhraseTrie } from "./phrase-trie.js";
import type { Sense } from "./sense.js";
import { type Token, tokenise } from "./tokenise.js";
import type { Vocabulary } from "./vocabulary.js";

/** Classes whose words tell of the collection beside a plant's or a place's name. */
const TELLING = new Set([
  "act",
  "actnoun",
  "seen",
  "pest",
  "equipment",
  "sep",
  "light",
  "uppredicate",
  "dose",
  "seednoun",
  "pollenword",
  "topic",
  "remind",
  "namecue",
  "inventorycue",
  "historycue",
]);
/** Classes whose words may tell by themselves, where nothing foreign stands beside them. */
const STRONG = new Set(["act", "equipment", "pest", "notecue"]);
/** Classes of the names of things that are used on plants. */
const NAMING = new Set(["product", "feedstuff", "substrate", "pest"]);
const MEASURING = new Set(["quantity", "stat"]);
const SUMS = new Set(["dew_point", "vapour_pressure_deficit", "heat_hold", "substrate_volume"]);

/** What words can lead to. */
export interface Signals {
  strong: Signal;
  measuring: Signal;
  asks: Signal;
  /** Words of units. */
  units: ReadonlySet<string>;
  /** Words that stand inside names of several words: "emulsion" of "fish emulsion". */
  inner: ReadonlySet<string>;
  /** First words only. */
  telling: ReadonlySet<string>;
  commanding: ReadonlySet<string>;
  asking: ReadonlySet<string>;
}

/** Words that tell by themselves, and phrases of which all words must stand there ("at the ready" is no "at"). */
class Signal {
  readonly #words = new Set<string>();
  readonly #phrases: PhraseTrie;

  constructor(phrases: Lexicon["phrases"], writing: Writing, wanted: (sense: Sense) => boolean) {
    this.#phrases = new PhraseTrie(writing);
    for (const [phrase, sense] of phrases) {
      if (!wanted(sense)) continue;
      if (/^[a-z]+$/.test(phrase)) this.#words.add(phrase);
      else this.#phrases.add(phrase, sense);
    }
  }

  /** Where the word or phrase ends that begins at `from`, or 0. */
  endOf(tokens: readonly Token[], from: number, key: string): number {
    const phrase = this.#phrases.has(key) ? this.#phrases.longest(tokens, from)?.end : undefined;
    return phrase ?? (this.#words.has(key) ? from + 1 : 0);
  }

  at(tokens: readonly Token[], from: number, key: string): boolean {
    return this.endOf(tokens, from, key) > 0;
  }
}

function firstKeys(
  phrases: Lexicon["phrases"],
  writing: Writing,
  wanted: (sense: Sense) => boolean,
): Set<string> {
  const keys = new Set<string>();
  for (const [phrase, sense] of phrases) {
    if (!wanted(sense)) continue;
    const end = phrase.indexOf(" ");
    const first = end < 0 ? phrase : phrase.slice(0, end);
    keys.add(/^[a-z]+$/.test(first) ? first : (tokenise(phrase, writing)[0]?.key ?? ""));
  }
  return keys;
}

export function signalsOf(lexicon: Lexicon): Signals {
  const { writing } = lexicon.language;
  const commanding = firstKeys(
    lexicon.layers.instruct,
    writing,
    (sense) =>
      sense.cls === "correction" ||
      sense.cls === "alsoword" ||
      (sense.cls === "order" && ["undo", "chart", "allwell"].includes(sense.value)),
  );
  const asks = (sense: Sense): boolean =>
    sense.cls === "duecue" ||
    sense.cls === "howstat" ||
    sense.cls === "howhumid" ||
    (sense.cls === "calc" && SUMS.has(sense.value));
  return {
    telling: firstKeys([...lexicon.phrases, ...lexicon.layers.ask], writing, ({ cls }) => TELLING.has(cls)),
    strong: new Signal(
      lexicon.phrases,
      writing,
      ({ cls, form }) => STRONG.has(cls) && form !== "base" && form !== "third" && form !== "gerund",
    ),
    measuring: new Signal(lexicon.phrases, writing, ({ cls }) => MEASURING.has(cls)),
    units: new Set(lexicon.units.map(([word]) => word)),
    inner: new Set(
      lexicon.phrases.flatMap(([phrase, { cls }]) => (NAMING.has(cls) ? phrase.split(" ").slice(1) : [])),
    ),
    asks: new Signal(lexicon.layers.ask, writing, asks),
    asking: firstKeys(lexicon.layers.ask, writing, asks),
    commanding,
  };
}

/**
 * Whether any word of a message that nobody addressed to the bot could make it one for the bot: a plant or a
 * place with an act, a value of an instrument, a correction, an act among words that are all the trade's.
 * Cheap, so that ordinary talk costs next to nothing.
 */
export function promising(
  tokens: readonly Token[],
  context: HouseholdContext,
  vocabulary: Vocabulary,
): boolean {
  const household = householdOf(context, vocabulary);
  const { signals } = vocabulary;
  let plant = false;
  let told = false;
  let strong = false;
  let number = false;
  let value = false;
  let asks = false;
  let foreign = false;
  let labelled = false;
  let covered = 0;
  const asked = vocabulary.opensQuestion(tokens[0]?.key ?? "") || tokens.at(-1)?.text === "?";
  const unknown: Token[] = [];
  for (let i = 0; i < tokens.length; i++) {
    const token = tokens[i] as Token;
    const { owner } = token;
    const key = owner !== undefined && !vocabulary.hasWord(token.key) ? owner : token.key;
    if (token.kind === "number") {
      number = true;
      labelled ||= household.numericTags.has(token.text) || readNewTag(tokens, i - 1) !== undefined;
    } else if (token.kind !== "word") {
      if (key === "%" || key === "°") value = true;
      if (token.kind === "emoji" && signals.telling.has(key)) told = true;
    } else {
      if (i < 3 && signals.commanding.has(key) && corrects(tokens, i, vocabulary)) return true;
      if (vocabulary.cues.get(key)?.has("names unit")) value = true;
      if (i === 0 && vocabulary.cues.get(key)?.has("opens note")) return true;
      if (signals.telling.has(key)) told = true;
      const end = foreign ? 0 : signals.strong.endOf(tokens, i, key);
      if (end > covered) covered = end;
      if (!strong && (end > 0 || (foreign && signals.strong.at(tokens, i, key)))) strong = true;
      if (!value && signals.measuring.at(tokens, i, key)) value = true;
      if (!asks && signals.asks.at(tokens, i, key)) asks = true;
      if (!plant && household.phrases.has(key)) plant = household.phrases.longest(tokens, i) !== undefined;
      if (!vocabulary.hasWord(key)) {
        // "cloth" is a word of "shade cloth".
        const ours =
          signals.inner.has(key) ||
          (number && (signals.units.has(key) || vocabulary.cues.get(key)?.has("joins units") === true));
        foreign ||= i >= covered && !ours;
        if (!plant) unknown.push(token);
      } else if (!plant) {
        plant = vocabulary.namesStart(key)
          ? vocabulary.genusOf(key) !== undefined || namesPhrase(tokens, i, vocabulary)
          : false;
      }
    }
    if (plant && (told || strong || number || asks)) return true;
  }
  if ((number && (value || asked)) || (labelled && strong)) return true;
  if (!plant && (told || strong || number || asks || tokens.length <= 3)) {
    plant = unknown.some((token) => namesAlone(token, household, vocabulary));
    if (plant) return true;
  }
  if (plant) return tokens.length <= 3;
  return (strong || asks || (number && told)) && !foreign;
}

const NAMES = new Set(["name", "group", "all"]);
const namesPhrase = (tokens: readonly Token[], at: number, vocabulary: Vocabulary): boolean =>
  vocabulary.phrases.longest(tokens, at)?.senses.some((sense) => NAMES.has(sense.cls)) ?? false;

/** A genus, a possessive of the household's, or a name that is merely misspelt. */
function namesAlone(token: Token, household: PreparedHousehold, vocabulary: Vocabulary): boolean {
  const { key } = token;
  const stem = vocabulary.lexicon.language.ownerOf(token.lower) ?? key;
  if (stem !== key && household.phrases.has(stem)) return true;
  if (vocabulary.genusOf(stem)) return true;
  if (key.length < 5 || vocabulary.lexicon.ordinary.has(key)) return false;
  return (household.near.nearest(key) ?? vocabulary.nearest(key))?.meaning.subject !== undefined;
}

/** "that were Monday": where little is said, one word of correcting is enough. */
const SHORT = 3;

/** Longest correction that is looked for where the bot was not spoken to. */
const MOST_CORRECTING = 18;

/** "no, that was Tuesday", "I meant 6", "scrap that": a correction opens the message. */
function corrects(tokens: readonly Token[], at: number, vocabulary: Vocabulary): boolean {
  if (tokens.length > MOST_CORRECTING) return false;
  if (vocabulary.cues.get((tokens[at] as Token).key)?.has("corrects plainly")) return true;
  const found = vocabulary.layers.instruct.longest(tokens, at);
  return (
    found !== undefined &&
    (found.end > at + 1 || tokens.length <= SHORT) &&
    found.senses.some((sense) => sense.cls === "correction" || sense.cls === "order")
  );
}
