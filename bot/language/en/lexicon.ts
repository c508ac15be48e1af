import type { Lexicon, NumberWord, TimeWord, UnitWord } from "../lexicon.js";
import type { Sense, VerbForm } from "../sense.js";
import { alternatives, readLines, readTable, type TableRow } from "../table.js";
import { looseOwnerOf, pluralsOf, singular, singularsOf, third } from "./inflection.js";
import { MeasureReader } from "./measures.js";
import { ownerOf, shapeOf, wholeForm } from "./spelling.js";
import { TimeReader } from "./time/reader.js";
import { TimeWords } from "./time/words.js";
import { writing } from "./writing.js";

const table = (name: string): TableRow[] => readTable(new URL(`./words/${name}.tsv`, import.meta.url));

/** "dose=soak;needs=seed" */
function slotsOf(cell: string | undefined): Readonly<Record<string, string>> | undefined {
  if (!cell) return undefined;
  return Object.fromEntries(cell.split(";").map((pair) => pair.split("=") as [string, string]));
}

function verbPhrases(): [string, Sense][] {
  const phrases: [string, Sense][] = [];
  for (const row of table("verbs")) {
    const slots = slotsOf(row.slots);
    const add = (form: VerbForm, words: string[]): void => {
      for (const word of words)
        phrases.push([word, { cls: "act", value: row.act as string, form, ...(slots && { slots }) }]);
    };
    const bases = alternatives(row.base);
    add("past", alternatives(row.past));
    add("base", bases);
    add("third", bases.map(third));
    add("gerund", alternatives(row.gerund));
  }
  for (const row of table("verbs-beside")) {
    const slots = { needs: row.needs as string };
    for (const word of alternatives(row.past))
      phrases.push([word, { cls: "mayact", value: row.act as string, form: "past", slots }]);
  }
  for (const row of table("seen")) {
    for (const word of alternatives(row.words)) {
      phrases.push([
        word,
        row.form === "state"
          ? { cls: "act", value: row.act as string, form: "state" }
          : { cls: "seen", value: row.act as string },
      ]);
    }
  }
  return phrases;
}

const classPhrases = (name: string): [string, Sense][] =>
  table(name).flatMap((row) =>
    alternatives(row.words).map((word): [string, Sense] => [
      word,
      { cls: row.class as string, value: row.value as string },
    ]),
  );

/** What a table says of each word of its rows. */
const byWord = (name: string, column: string): Map<string, string> =>
  new Map(
    table(name).flatMap((row) =>
      alternatives(row.words).map((word): [string, string] => [word, row[column] as string]),
    ),
  );

/**
 * Reads the English word tables from disk; do it once at start.
 * @throws {Error} naming the table that is not well formed
 */
export function readEnglishLexicon(): Lexicon {
  const units = table("units").flatMap((row) =>
    alternatives(row.words).map((word): [string, UnitWord] => [
      word,
      {
        unit: row.unit as string,
        dimension: row.dimension as string,
        system: row.locale as UnitWord["system"],
      },
    ]),
  );
  const numbers = new Map<string, NumberWord>();
  for (const row of table("numbers")) {
    for (const word of alternatives(row.words)) {
      if (!numbers.has(word)) numbers.set(word, { kind: row.kind as string, value: Number(row.value) });
    }
  }
  const times = table("time").flatMap((row) =>
    alternatives(row.words).map((word): [string, TimeWord] => [
      word,
      { cls: row.class as string, value: row.value as string },
    ]),
  );
  const timeReader = new TimeReader(new TimeWords(times, numbers));
  const measureReader = new MeasureReader(units, numbers);
  return {
    language: {
      code: "en",
      writing,
      wholeForm,
      shapeOf,
      singular,
      pluralsOf,
      singularsOf,
      ownerOf,
      looseOwnerOf,
      and: "and",
      timeHints: (tokens) => timeReader.hints(tokens),
      readTime: (tokens, from, options) => timeReader.read(tokens, from, options),
      readMeasure: (tokens, from, options) => measureReader.read(tokens, from, options),
    },
    phrases: [
      ...verbPhrases(),
      ...["things", "grammar", "markers", "quantities", "places", "groups", "world"].flatMap((name) =>
        classPhrases(name),
      ),
    ],
    layers: { ask: classPhrases("questions"), instruct: classPhrases("instructions") },
    units,
    numbers,
    times,
    edges: table("edges").flatMap((row) =>
      alternatives(row.words).map((phrase) => ({
        cls: row.class as string,
        value: row.value as string,
        phrase,
      })),
    ),
    cues: table("cues").flatMap((row) =>
      alternatives(row.words).map((word): [string, string] => [word, row.cue as string]),
    ),
    singulars: byWord("singulars", "singular"),
    spellings: byWord("spellings", "written"),
    ordinary: new Set(readLines(new URL("./words/ordinary.txt", import.meta.url))),
  };
}
