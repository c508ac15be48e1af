import type { Temporal } from "temporal-polyfill";
import type { Entry, Interpretation } from "../language/interpretation.js";
import { alarmsOf, mayHaveFailed } from "./alarms.js";
import { applyEffects, type Effect } from "./effects.js";
import { plantsNamed } from "./holdings.js";
import type { Alarm, LoggedEntry } from "./outcome.js";
import { newTags } from "./plants.js";
import type { Id, Interpreted, JournalEntry, JournalStore, NewEntry, Place } from "./ports.js";
import { defaultPlace, placeNamed, type Scope } from "./scope.js";
import { instantsOf } from "./time.js";
import { canonicalReading } from "./units.js";

/** Acts that have no place inside the glasshouse to assume. */
const WITHOUT_PLACE = new Set<string>(["order", "note", "harvest_seed", "give_away", "lose"]);

/** The one place where all plants that the entry names stand, where there is one. */
function placeOfPlants(scope: Scope, entry: Entry): Place | null {
  const ids = new Set<Id | null>();
  for (const subject of entry.subjects ?? []) {
    for (const plant of plantsNamed(scope.plants, subject)) ids.add(plant.placeId);
  }
  if (ids.size !== 1) return null;
  const [id] = ids;
  return scope.places.find((place) => place.id === id) ?? null;
}

/** The place an entry belongs to, and whether that was said. */
function placeOf(scope: Scope, entry: Entry): { place: Place | null; assumed: boolean } {
  const said = entry.place ?? (entry.act === "move" ? entry.to : undefined);
  if (said !== undefined) return { place: placeNamed(scope.places, said), assumed: false };
  if (
    entry.act === "move" ||
    entry.reading?.quantity === "outdoor_temperature" ||
    WITHOUT_PLACE.has(entry.act)
  ) {
    return { place: null, assumed: false };
  }
  const standing = placeOfPlants(scope, entry);
  if (standing) return { place: standing, assumed: true };
  if (scope.places.length > 1) {
    // "Everything" and groups mean all places, and plants that stand in several are all meant: not the default one.
    const sweeping = entry.subjects?.some((subject) => subject.all || subject.group !== undefined);
    const known = entry.subjects?.some((subject) => plantsNamed(scope.plants, subject).length > 0);
    if (sweeping || known) return { place: null, assumed: false };
  }
  const place = defaultPlace(scope.places);
  return { place, assumed: place !== null };
}

export interface RecordOptions {
  /** The entry this one replaces: who wrote it and where is kept, and its time, unless a new one is said. */
  amends?: JournalEntry;
  /** What the replaced entry changed in the list of plants stands; nothing is changed anew. */
  keepsEffects?: boolean;
  rawText?: string;
}

/** Writes one entry with all it brings about. */
export async function recordEntry(
  scope: Scope,
  entry: Entry,
  interpretation: Interpreted,
  options: RecordOptions = {},
): Promise<LoggedEntry> {
  const { store, utterance } = scope;
  const { amends: old } = options;
  const { place, assumed } = placeOf(scope, entry);
  const idOf = (words: string | undefined) => placeNamed(scope.places, words)?.id ?? null;
  // Before the effects: what is lost now was known.
  const unheard = newTags(
    scope,
    (entry.subjects ?? []).filter(({ genus }) => genus === undefined),
  );
  const { effects, learnt } = options.keepsEffects
    ? { effects: (old?.interpretation?.effects ?? []) as Effect[], learnt: [] }
    : await applyEffects(scope, entry, {
        placeId: place?.id ?? null,
        saidId: idOf(entry.place),
        fromId: idOf(entry.from),
        toId: idOf(entry.to),
      });
  const { effects: _, ...meaning } = interpretation;
  const written = await store.addEntry({
    act: entry.act,
    entry,
    collectionId: scope.collectionId ?? place?.collectionId ?? old?.collectionId ?? null,
    placeId: place?.id ?? null,
    ...spanOf(scope, entry, old),
    reading: entry.reading
      ? {
          quantity: entry.reading.quantity,
          statistic: entry.reading.statistic,
          value: canonicalReading(entry.reading),
        }
      : null,
    ...writerOf(scope, entry, old),
    rawText: options.rawText ?? utterance.text,
    interpretation: effects.length > 0 ? { ...meaning, effects } : meaning,
    note: interpretation.remainder ?? old?.note ?? null,
    amends: old?.id ?? null,
  });
  return {
    entry: written,
    place,
    assumed: { ...(assumed ? { place: true } : {}), ...(entry.when ? {} : { when: true }) },
    learnt,
    ...(unheard.length > 0 ? { newTags: unheard } : {}),
    ...(mayHaveFailed(scope, entry, interpretation) ? { mayHaveFailed: true } : {}),
  };
}

/** When it was: as said; else when the message was written, or the one whose entry is put right. */
function spanOf(
  scope: Scope,
  entry: Entry,
  old: JournalEntry | undefined,
): { from: Temporal.Instant; to: Temporal.Instant } {
  if (entry.when) return instantsOf(entry.when, scope.zone);
  if (old && !old.entry.when) return { from: old.from, to: old.to };
  const at = old?.writtenAt ?? scope.utterance.at;
  return { from: at, to: at };
}

/** Whose entry it is: putting another's entry right does not make it one's own. */
function writerOf(
  scope: Scope,
  entry: Entry,
  old: JournalEntry | undefined,
): Pick<NewEntry, "authorId" | "person" | "chatId" | "messageId"> {
  const { author, utterance } = scope;
  if (!old) {
    const { chatId, messageId } = utterance;
    return { authorId: author.id, person: entry.person ?? author.name, chatId, messageId };
  }
  const { authorId, chatId, messageId } = old;
  const writer = old.entry.person === undefined ? old.person : author.name;
  return { authorId, person: entry.person ?? writer, chatId, messageId };
}

/** Writes all entries of a message that is a log. */
export async function record(
  scope: Scope,
  interpretation: Interpretation,
): Promise<{ entries: LoggedEntry[]; alarms: Alarm[] }> {
  const entries: LoggedEntry[] = [];
  for (const entry of interpretation.entries ?? []) {
    entries.push(await recordEntry(scope, entry, interpretation));
  }
  return { entries, alarms: alarmsOf(scope, entries) };
}

/** Entries looked through for those written at once with another. */
const WRITTEN_AT_ONCE = 400;

/** An entry with all others that stand and that the same message, correction or press wrote, in that order. */
export async function siblingsOf(store: JournalStore, entry: JournalEntry): Promise<JournalEntry[]> {
  const { chatId, messageId, authorId } = entry;
  const press = entry.interpretation?.press;
  if (chatId === null || (messageId === null && press === undefined)) return standingOnly([entry]);
  const candidates = await store.entries({
    chatId,
    ...(messageId === null ? {} : { messageId }),
    ...(messageId === null && authorId !== null ? { authorId } : {}),
    order: "written",
    limit: WRITTEN_AT_ONCE,
  });
  return candidates.filter((other) => other.interpretation?.press === press).reverse();
}

const standingOnly = (entries: readonly JournalEntry[]): JournalEntry[] =>
  entries.filter(({ retracted }) => retracted === null);
