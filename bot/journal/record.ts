import type { Temporal } from "temporal-polyfill";
import type { Entry, Interpretation } from "../language/interpretation.js";
import { alarmsOf } from "./alarms.js";
import { applyEffects, plantsNamed } from "./effects.js";
import type { Alarm, LoggedEntry } from "./outcome.js";
import type { Id, JournalEntry, JournalStore, Place } from "./ports.js";
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
  if (entry.place !== undefined) return { place: placeNamed(scope.places, entry.place), assumed: false };
  if (entry.act === "move") return { place: placeNamed(scope.places, entry.to), assumed: false };
  if (entry.reading?.quantity === "outdoor_temperature" || WITHOUT_PLACE.has(entry.act)) {
    return { place: null, assumed: false };
  }
  const standing = placeOfPlants(scope, entry);
  if (standing) return { place: standing, assumed: true };
  // "Everything" and groups without a place mean all places, not the default one.
  const sweeping = entry.subjects?.some((subject) => subject.all || subject.group !== undefined) ?? false;
  if (sweeping && scope.places.length > 1) return { place: null, assumed: false };
  const known = (entry.subjects ?? []).some((subject) => plantsNamed(scope.plants, subject).length > 0);
  if (known && scope.places.length > 1) return { place: null, assumed: false };
  const place = defaultPlace(scope.places);
  return { place, assumed: place !== null };
}

export interface RecordOptions {
  /** The entry this one replaces. */
  amends?: Id;
  rawText?: string;
}

/** Writes one entry with all it brings about. */
export async function recordEntry(
  scope: Scope,
  entry: Entry,
  interpretation: Interpretation,
  options: RecordOptions = {},
): Promise<LoggedEntry> {
  const { store, utterance } = scope;
  const { place, assumed } = placeOf(scope, entry);
  const toPlace = placeNamed(scope.places, entry.to);
  const span: { from: Temporal.Instant; to: Temporal.Instant } = entry.when
    ? instantsOf(entry.when, scope.zone)
    : { from: utterance.at, to: utterance.at };
  const { effects, learnt } = await applyEffects(scope, entry, place?.id ?? null, toPlace?.id ?? null);
  const written = await store.addEntry({
    act: entry.act,
    entry,
    collectionId: scope.collectionId ?? place?.collectionId ?? null,
    placeId: place?.id ?? null,
    from: span.from,
    to: span.to,
    reading: entry.reading
      ? {
          quantity: entry.reading.quantity,
          statistic: entry.reading.statistic,
          value: canonicalReading(entry.reading),
        }
      : null,
    authorId: scope.author.id,
    person: entry.person ?? scope.author.name,
    chatId: utterance.chatId,
    messageId: utterance.messageId,
    rawText: options.rawText ?? utterance.text,
    interpretation: effects.length > 0 ? { ...interpretation, effects } : interpretation,
    note: interpretation.remainder ?? null,
    amends: options.amends ?? null,
  });
  return {
    entry: written,
    place,
    assumed: { ...(assumed ? { place: true } : {}), ...(entry.when ? {} : { when: true }) },
    learnt,
  };
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

/** The latest entry or entries that one message of this author left in this chat. */
export async function latestOfAuthor(scope: Scope): Promise<JournalEntry[]> {
  const [latest] = await scope.store.entries({
    chatId: scope.utterance.chatId,
    authorId: scope.author.id,
    order: "written",
    limit: 1,
  });
  if (!latest) return [];
  return siblingsOf(scope.store, latest);
}

/** An entry with all others that the same message or the same press of a button left. */
export async function siblingsOf(store: JournalStore, entry: JournalEntry): Promise<JournalEntry[]> {
  const { chatId, messageId, authorId } = entry;
  if (chatId === null) return [entry];
  const press = entry.interpretation?.press;
  if (press !== undefined && authorId !== null) {
    const pressed = await store.entries({ chatId, authorId, order: "written", limit: PRESSED_AT_ONCE });
    return pressed.filter((other) => other.interpretation?.press === press);
  }
  if (messageId === null) return [entry];
  return store.entries({ chatId, messageId, order: "written" });
}

/** Entries looked through for those of one press. */
const PRESSED_AT_ONCE = 400;
