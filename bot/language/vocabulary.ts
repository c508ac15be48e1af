import type { NameRows } from "../horticulture/names.js";
import { Edges } from "./edges.js";
import { GROUPS, type Group, type Subject } from "./interpretation.js";
import type { Language, Writing } from "./language.js";
import type { Layer, Lexicon } from "./lexicon.js";
import { crosses } from "./names/latin.js";
import { NearWords } from "./names/near.js";
import { PhraseTrie } from "./phrase-trie.js";
import { type Signals, signalsOf } from "./promise.js";
import { type Meaning, meaningOf } from "./sense.js";

/** All words and names the program reads, indexed; built once, then only read. */
export interface Vocabulary {
  lexicon: Lexicon;
  edges: Edges;
  /** Words, phrases and plant names. */
  phrases: PhraseTrie;
  layers: Readonly<Record<Layer, PhraseTrie>>;
  /** The genus that a lower-case word names, in the singular or plural, by accepted name or synonym. */
  genusOf(word: string): Meaning | undefined;
  /** The name, verb or thing that a word surely misspells. */
  nearest(word: string): { meaning: Meaning; edits: number } | undefined;
  signals: Signals;
  /** Cues by word. */
  cues: ReadonlyMap<string, ReadonlySet<string>>;
  /** Whether a plant's name may begin with this word. */
  namesStart(word: string): boolean;
  /** Whether a phrase of the word tables begins with this word, or it is of the calendar. */
  hasWord(word: string): boolean;
  /** Whether a question may open with this word. */
  opensQuestion(word: string): boolean;
  /** Epithets by genus; a synonym's too. */
  epithets: ReadonlyMap<string, ReadonlySet<string>>;
  /** Genera by epithet: what "A. polyphylla" or "the pachanoi" can be. */
  generaOf: ReadonlyMap<string, readonly string[]>;
  /** Cultivar names in lower case by genus. */
  cultivars: ReadonlyMap<string, ReadonlyMap<string, string>>;
  /** Binomials that are called otherwise now: "echinocactus grusonii" to its accepted name. */
  binomials: ReadonlyMap<string, Subject>;
  /** Collectors' field-number prefixes in lower case. */
  fieldPrefixes: ReadonlySet<string>;
}

/** Classes whose words are known through a misspelling. */
const MISSPELT: ReadonlySet<string> = new Set(["act", "pest", "material", "all", "group"]);

const GROUP_SET: ReadonlySet<string> = new Set(GROUPS);

/** "Echinopsis pachanoi" or "Parodia": the first binomial or genus of an accepted-name cell. */
export function subjectOf(accepted: string): Subject | undefined {
  const words = accepted
    .replace(/[×]/g, " ")
    .split(/\s+/)
    .filter((word) => word !== "" && !crosses(word));
  const genus = words[0];
  if (!genus || !/^[A-Z][a-z]+$/.test(genus)) return undefined;
  const epithet = words[1];
  return epithet && /^[a-z][a-z-]+$/.test(epithet) ? { genus, species: epithet } : { genus };
}

class Builder {
  readonly phrases: PhraseTrie;
  readonly near = new NearWords<Meaning>();
  /** First words of names that are no genus: common names, misspellings, groups. */
  readonly nameStarts = new Set<string>();
  readonly questions = new Set<string>();
  readonly genera = new Map<string, Meaning>();
  readonly epithets = new Map<string, Set<string>>();
  readonly generaOf = new Map<string, string[]>();
  readonly cultivars = new Map<string, Map<string, string>>();
  readonly binomials = new Map<string, Subject>();

  constructor(readonly language: Language) {
    this.phrases = new PhraseTrie(language.writing);
  }

  name(phrase: string, subject: Subject, nearToo: boolean): void {
    const start = phrase.split(" ")[0] ?? "";
    this.nameStarts.add(start);
    if (start === phrase) this.#plurals(phrase);
    const sense = meaningOf({ cls: "name", value: subject.genus ?? "", subject });
    this.phrases.add(phrase, sense);
    if (nearToo && !phrase.includes(" ") && phrase.length >= 5) {
      this.near.add(phrase, `${subject.genus} ${subject.species ?? ""}`, sense);
    }
  }

  genus(name: string, accepted: Subject): void {
    const lower = name.toLowerCase();
    const known = this.genera.get(lower);
    if (known && !(known.subject?.as && !accepted.as)) return;
    const sense = meaningOf({ cls: "name", value: accepted.genus ?? "", subject: accepted });
    this.genera.set(lower, sense);
    this.nameStarts.add(lower);
    this.#plurals(lower);
    this.near.add(lower, `${accepted.genus} ${accepted.species ?? ""}`, sense);
  }

  #plurals(name: string): void {
    for (const form of this.language.pluralsOf(name)) this.nameStarts.add(form);
  }

  epithet(genus: string, epithet: string): void {
    const known = this.epithets.get(genus);
    if (known) known.add(epithet);
    else this.epithets.set(genus, new Set([epithet]));
    const genera = this.generaOf.get(epithet);
    if (!genera) this.generaOf.set(epithet, [genus]);
    else if (!genera.includes(genus)) genera.push(genus);
  }
}

/**
 * Builds the index of every name and word.
 * @param rows the name tables
 * @param lexicon one language's words and readers
 */
export function buildVocabulary(rows: NameRows, lexicon: Lexicon): Vocabulary {
  const build = new Builder(lexicon.language);
  for (const [phrase, sense] of lexicon.phrases) {
    build.phrases.add(phrase, sense);
    if (sense.cls === "group" || sense.cls === "all") build.nameStarts.add(phrase.split(" ")[0] ?? "");
    if (sense.cls === "ask") build.questions.add(phrase.split(" ")[0] ?? "");
    if (MISSPELT.has(sense.cls)) {
      if (!phrase.includes(" ") && phrase.length >= 5 && sense.form !== "base" && sense.form !== "third") {
        build.near.add(
          phrase,
          `${sense.cls} ${sense.value} ${sense.form === "past" ? "past" : ""}`,
          meaningOf(sense),
        );
      }
    }
  }
  const { writing } = lexicon.language;
  const timeWords = new Set(lexicon.times.flatMap(([phrase]) => phrase.split(" ")));
  for (const word of lexicon.numbers.keys()) timeWords.add(word);
  addTaxa(build, rows);
  addSynonyms(build, rows);
  addCommonNames(build, rows);
  addGroups(build, rows);
  for (const row of rows.misspellings) {
    const subject = subjectOf(row.accepted);
    if (subject) build.name(row.typed.toLowerCase(), subject, false);
  }
  for (const row of rows.cultivars) {
    const known = build.cultivars.get(row.genus) ?? new Map<string, string>();
    known.set(row.cultivar.toLowerCase(), row.cultivar);
    build.cultivars.set(row.genus, known);
  }
  return {
    lexicon,
    edges: new Edges(lexicon.edges, writing, {
      means: (token) => build.phrases.word(token.key) !== undefined,
      hasWord: (word) => build.phrases.has(word) || timeWords.has(word) || build.nameStarts.has(word),
      opensQuestion: (word) => build.questions.has(word),
    }),
    phrases: build.phrases,
    layers: { ask: trieOf(lexicon.layers.ask, writing), instruct: trieOf(lexicon.layers.instruct, writing) },
    genusOf: (word) => genusIn(build.genera, word, lexicon),
    nearest: (word) => nearestIn(build.near, word, lexicon),
    signals: signalsOf(lexicon),
    cues: cuesOf(lexicon),
    namesStart: (word) => build.nameStarts.has(word),
    hasWord: (word) => build.phrases.has(word) || timeWords.has(word),
    opensQuestion: (word) => build.questions.has(word),
    epithets: build.epithets,
    generaOf: build.generaOf,
    cultivars: build.cultivars,
    binomials: build.binomials,
    fieldPrefixes: new Set(rows.fieldNumbers.map((row) => row.prefix.toLowerCase())),
  };
}

function cuesOf({ cues }: Lexicon): Map<string, Set<string>> {
  const byWord = new Map<string, Set<string>>();
  for (const [word, cue] of cues) byWord.set(word, (byWord.get(word) ?? new Set()).add(cue));
  return byWord;
}

function addTaxa(build: Builder, rows: NameRows): void {
  for (const row of rows.taxa) {
    const genus = row.taxon.split(" ")[0] ?? "";
    if (row.rank === "genus") build.genus(genus, { genus });
    if (row.rank === "species") {
      const subject = subjectOf(row.taxon);
      if (subject?.genus && subject.species) {
        build.genus(subject.genus, { genus: subject.genus });
        build.epithet(subject.genus, subject.species);
      }
    }
    if (row.rank === "family" || row.rank === "group") addGroupName(build, row.taxon, row.groups);
  }
  for (const row of rows.species) {
    build.epithet(row.genus, row.epithet);
    if (!build.genera.has(row.genus.toLowerCase())) build.genus(row.genus, { genus: row.genus });
  }
}

function addGroupName(build: Builder, name: string, groups: readonly string[]): void {
  const group = GROUP_SET.has(name) ? name : groups.find((one) => GROUP_SET.has(one));
  if (group) build.phrases.add(name, { cls: "group", value: group });
}

function addSynonyms(build: Builder, rows: NameRows): void {
  for (const row of rows.synonyms) {
    const subject = subjectOf(row.accepted);
    if (!subject) continue;
    const parts = row.name.split(" ");
    if (parts.length === 1) build.genus(row.name, { ...subject, as: row.name.toLowerCase() });
    else if (parts.length >= 2) {
      build.binomials.set(`${parts[0]} ${parts[1]}`.toLowerCase(), subject);
      const genus = parts[0] as string;
      if (!build.genera.has(genus.toLowerCase()) && subject.genus)
        build.genus(genus, { genus: subject.genus, as: genus.toLowerCase() });
      build.epithet(genus, parts[1] as string);
    }
  }
}

/**
 * A name used for several species gives their genus; one used for several genera the first that is listed. Lesser
 * uses don't count beside an ordinary one.
 */
function addCommonNames(build: Builder, rows: NameRows): void {
  const meanings = new Map<string, { subject: Subject; lesser: boolean }[]>();
  for (const row of rows.common) {
    const subject = subjectOf(row.accepted);
    if (!subject) continue;
    const name = row.name.toLowerCase();
    const known = meanings.get(name);
    const meaning = { subject, lesser: row.lesser };
    if (known) known.push(meaning);
    else meanings.set(name, [meaning]);
  }
  for (const [name, all] of meanings) {
    const usual = all.filter((one) => !one.lesser);
    const subjects = (usual.length > 0 ? usual : all).map((one) => one.subject);
    const first = subjects[0] as Subject;
    const one = subjects.length === 1 ? first : { genus: first.genus as string };
    const subject: Subject = { ...one, as: name };
    build.name(name, subject, false);
    for (const form of build.language.pluralsOf(name)) build.name(form, subject, false);
  }
}

function addGroups(build: Builder, rows: NameRows): void {
  for (const row of rows.groups) {
    build.nameStarts.add(row.typed.split(" ")[0] ?? "");
    if (GROUP_SET.has(row.group)) build.phrases.add(row.typed, { cls: "group", value: row.group as Group });
  }
  for (const row of rows.families)
    build.phrases.add(row.name.toLowerCase(), { cls: "group", value: row.accepted });
}

function genusIn(
  genera: ReadonlyMap<string, Meaning>,
  word: string,
  { ordinary, language }: Lexicon,
): Meaning | undefined {
  const exact = genera.get(word);
  if (exact) return exact;
  if (word.length < 5 || ordinary.has(word)) return undefined;
  for (const singular of language.singularsOf(word)) {
    const found = genera.get(singular);
    if (found) return found;
  }
  return undefined;
}

/** A misspelt word, or the plural of one. */
function nearestIn(
  near: NearWords<Meaning>,
  word: string,
  { language }: Lexicon,
): ReturnType<Vocabulary["nearest"]> {
  let best = near.nearest(word);
  if (best?.edits === 1) return best;
  for (const singular of language.singularsOf(word)) {
    const found = singular.length <= word.length ? near.nearest(singular) : undefined;
    if (found?.meaning.subject && (!best || found.edits < best.edits)) best = found;
  }
  return best;
}

function trieOf(phrases: Lexicon["layers"][Layer], writing: Writing): PhraseTrie {
  const trie = new PhraseTrie(writing);
  for (const [phrase, sense] of phrases) trie.add(phrase, sense);
  return trie;
}
