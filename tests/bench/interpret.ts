import { createRequire } from "node:module";
import * as chrono from "chrono-node";
import type { NameRows } from "../../bot/horticulture/names.js";
import type { InterpretContext } from "../../bot/language/context.js";
import { buildVocabulary, interpret, readEnglishLexicon, type Vocabulary } from "../../bot/language/index.js";
import { readNameRows } from "../../db/names/read.js";
import { contextOf, type Labelled, readCorpus, vocabulary } from "../language/support/corpus.js";
import type { Row } from "./row.js";

/** What was run on what, how fast, how well. */
interface Run {
  name: string;
  messages: number;
  perSecond: number;
  p50Ms: number;
  p99Ms: number;
  falseLogs?: number;
  kindAccuracy?: number;
}

/** The part of node-nlp that is used; the package has no types of its own. */
interface Classifier {
  addDocument(locale: string, text: string, intent: string): void;
  train(): Promise<void>;
  process(locale: string, text: string): Promise<{ intent: string; score: number }>;
}
const nlp = createRequire(import.meta.url)("node-nlp") as { NlpManager: new (options: object) => Classifier };

const ROUNDS = 5;
const CALENDAR =
  /\b(yesterday|today|tonight|ago|last|this|(mon|tues|wednes|thurs|fri|satur|sun)day|jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec|\d+(st|nd|rd|th)|\d{1,2}[:/]\d{2}|am|pm)\w*\b/i;

const SMALL_TALK =
  "morning all, anyone for tea?|did you see the match last night|happy birthday Sue!|the bus was late again, typical|I'll be there in ten minutes|lovely photo, is that your garden?|can somebody bring milk|who has the key to the hut|that made me laugh out loud|the raffle made forty pounds|see you at the meeting|sorry I missed your call|what a week that was|my knee is playing up again|the printer is broken, as ever|thanks for the lift home|is the car park open on Sunday|we should do this more often|they put the prices up again|great talk, really enjoyed it|where did you park|the kids are off school|ok sounds good to me|I forgot my umbrella|please vote for the new committee".split(
    "|",
  );

/** Runs a job warm several times; gives the median rate and the spread of single calls. */
function measure<T>(name: string, inputs: readonly T[], job: (input: T) => unknown): Run {
  for (const input of inputs) job(input);
  const rates: number[] = [];
  const single: number[] = [];
  for (let round = 0; round < ROUNDS; round++) {
    const started = performance.now();
    for (const input of inputs) job(input);
    rates.push(inputs.length / ((performance.now() - started) / 1000));
  }
  for (const input of inputs) {
    const started = performance.now();
    job(input);
    single.push(performance.now() - started);
  }
  single.sort((a, b) => a - b);
  rates.sort((a, b) => a - b);
  return {
    name,
    messages: inputs.length,
    perSecond: Math.round(rates[Math.floor(ROUNDS / 2)] ?? 0),
    p50Ms: single[Math.floor(single.length * 0.5)] ?? 0,
    p99Ms: single[Math.floor(single.length * 0.99)] ?? 0,
  };
}

interface Message {
  line: Labelled;
  context: InterpretContext;
}

function quality(
  messages: readonly Message[],
  kindOf: (message: Message) => string,
): { falseLogs: number; kindAccuracy: number } {
  let falseLogs = 0;
  let right = 0;
  for (const message of messages) {
    const kind = kindOf(message);
    if (kind === message.line.expect.kind) right++;
    if (message.line.expect.kind === "none" && kind === "log") falseLogs++;
  }
  return { falseLogs, kindAccuracy: right / messages.length };
}

/** Trains a general-purpose intent classifier on every second message of the corpus. */
async function classifier(messages: readonly Message[]): Promise<(text: string) => Promise<string>> {
  const manager = new nlp.NlpManager({
    languages: ["en"],
    forceNER: false,
    nlu: { log: false },
    autoSave: false,
    autoLoad: false,
  });
  for (const { line } of messages) manager.addDocument("en", line.text, line.expect.kind);
  await manager.train();
  return async (text) => {
    const found = await manager.process("en", text);
    return found.score >= 0.7 && found.intent !== "None" ? found.intent : "none";
  };
}

/**
 * `interpret` on the labelled corpus and on small talk, chrono-node alone on the same messages, and a trained
 * classifier (node-nlp), side by side on one core, warm, medians.
 */
export async function benchInterpret(): Promise<Row[]> {
  const words = vocabulary();
  const corpus = readCorpus(new URL("../language/corpus/", import.meta.url)).map(
    (line): Message => ({ line, context: contextOf(line) }),
  );
  const dated = corpus.filter(({ line }) => CALENDAR.test(line.text));
  const chatter: InterpretContext = { ...(corpus[0] as Message).context, addressed: false };
  const talk = Array.from({ length: 40 }, () => SMALL_TALK).flat();
  const reference = new Date("2027-01-15T09:00:00Z");
  const run = ({ line, context }: Message): unknown => interpret(line.text, context, words);
  const runs: Run[] = [
    {
      ...measure("interpret, corpus", corpus, run),
      ...quality(corpus, ({ line, context }) => interpret(line.text, context, words).kind),
    },
    measure("interpret, with a date", dated, run),
    measure("interpret, small talk", talk, (text) => interpret(text, chatter, words)),
    measure("chrono-node, corpus", corpus, ({ line }) => chrono.parse(line.text, reference)),
    measure("chrono-node, with a date", dated, ({ line }) => chrono.parse(line.text, reference)),
    measure("chrono-node, small talk", talk, (text) => chrono.parse(text, reference)),
  ];
  runs.push(await benchClassifier(corpus));
  return [...runs.map((run) => rowOf(run, runs)), loading(), hostile(chatter, words)];
}

/** A line of the table, beside chrono-node alone on the same messages. */
function rowOf(run: Run, runs: readonly Run[]): Row {
  const [, on] = run.name.split(", ");
  const alone = run.name.startsWith("interpret")
    ? runs.find((one) => one.name === `chrono-node, ${on}`)
    : undefined;
  const latency = `p50 ${run.p50Ms.toFixed(3)} ms, p99 ${run.p99Ms.toFixed(3)} ms`;
  const good =
    run.kindAccuracy === undefined
      ? ""
      : `, kind ${(100 * run.kindAccuracy).toFixed(1)} %, false logs ${run.falseLogs}`;
  return {
    name: run.name,
    figure: `${run.perSecond.toLocaleString("en")} messages/s`,
    note: `${run.messages} messages, ${latency}${good}`,
    ...(alone && {
      beside: `chrono-node alone ${alone.perSecond.toLocaleString("en")}/s: ${(run.perSecond / alone.perSecond).toFixed(2)}`,
    }),
  };
}

/** Time to index 2,000 names with all words. */
function loading(): Row {
  const rows = readNameRows();
  const lexicon = readEnglishLexicon();
  const few: NameRows = {
    ...rows,
    synonyms: rows.synonyms.slice(0, 1000),
    common: rows.common.slice(0, 400),
    misspellings: rows.misspellings.slice(0, 300),
    species: [],
    cultivars: [],
    fieldNumbers: [],
  };
  const names = few.taxa.length + few.synonyms.length + few.common.length + few.misspellings.length;
  const times = Array.from({ length: ROUNDS }, () => {
    const started = performance.now();
    buildVocabulary(few, lexicon);
    return performance.now() - started;
  }).sort((a, b) => a - b);
  return {
    name: "vocabulary",
    figure: `${(times[Math.floor(ROUNDS / 2)] ?? 0).toFixed(0)} ms`,
    note: `${names} names and ${lexicon.phrases.length} phrases indexed`,
  };
}

/** The slowest of several hostile messages of 4,096 characters. */
function hostile(context: InterpretContext, words: Vocabulary): Row {
  const texts = [
    "1/".repeat(2048),
    "3 to 4 ".repeat(585),
    "aloe ".repeat(819),
    "watered the aloes and ".repeat(186),
    "\"'".repeat(2048),
    "the ".repeat(1024),
    "wattredx ".repeat(455),
  ];
  let slowest = 0;
  for (const text of texts) {
    for (const addressed of [true, false]) {
      interpret(text, { ...context, addressed }, words);
      const started = performance.now();
      interpret(text, { ...context, addressed }, words);
      slowest = Math.max(slowest, performance.now() - started);
    }
  }
  return {
    name: "4,096 hostile characters",
    figure: `${slowest.toFixed(1)} ms`,
    note: `slowest of ${texts.length} texts`,
  };
}

async function benchClassifier(corpus: readonly Message[]): Promise<Run> {
  const trained = corpus.filter((_, i) => i % 6 === 0);
  const tested = corpus.filter((_, i) => i % 6 === 3);
  const classify = await classifier(trained);
  const kinds = new Map<string, string>();
  for (const { line } of tested) kinds.set(line.id, await classify(line.text));
  const started = performance.now();
  for (const { line } of tested) await classify(line.text);
  const perSecond = Math.round(tested.length / ((performance.now() - started) / 1000));
  const each = 1000 / perSecond;
  return {
    name: "node-nlp classifier",
    messages: tested.length,
    perSecond,
    p50Ms: each,
    p99Ms: each,
    ...quality(tested, ({ line }) => kinds.get(line.id) ?? "none"),
  };
}
