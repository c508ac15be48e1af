import type { Temporal } from "temporal-polyfill";
import type { InGroup } from "../horticulture/coverage.js";
import type { InterpretContext } from "../language/context.js";
import type { Chat, Household, Id, JournalStore, Member, Place, Plant } from "./ports.js";
import { localMinute } from "./time.js";

/** Who speaks, where and when: what every use-case of the journal is given. */
export interface Utterance {
  chatId: number;
  threadId: number | null;
  messageId: number | null;
  text: string;
  author: { userId: number | null; name: string };
  addressed: boolean;
  isPrivate: boolean;
  at: Temporal.Instant;
  replyTo: { messageId: number; fromBot: boolean } | null;
}

/** The household as it stands when a message is taken, read once in the message's transaction. */
export interface Scope {
  store: JournalStore;
  utterance: Utterance;
  household: Household;
  /** The household's zone, or the configured one while none was told. */
  zone: string;
  chat: Chat | null;
  author: Member;
  members: Member[];
  places: Place[];
  plants: Plant[];
  collectionId: Id | null;
  /** Whether a taxon belongs to one of the growers' groups. */
  inGroup: InGroup;
}

/** Reads the household's surroundings of one message. */
export async function openScope(
  store: JournalStore,
  utterance: Utterance,
  fallbackZone: string,
  inGroup: InGroup = () => false,
): Promise<Scope> {
  const author = await store.meetMember(utterance.author.userId, utterance.author.name);
  const household = await store.household();
  const chat = await store.chat(utterance.chatId);
  const members = await store.members();
  const places = await store.places();
  const plants = await store.plants();
  const collection =
    utterance.threadId === null ? null : await store.topicCollection(utterance.chatId, utterance.threadId);
  return {
    store,
    utterance,
    household,
    zone: household.zone ?? fallbackZone,
    chat,
    author,
    members,
    places,
    plants,
    collectionId: collection?.id ?? null,
    inGroup,
  };
}

/** What the reader of the sentence may know. */
export function interpretContext(scope: Scope): InterpretContext {
  const { household, places, plants, members, utterance, chat } = scope;
  const nameOf = (id: Id | null) => places.find((place) => place.id === id)?.name;
  return {
    locale: household.locale,
    units: household.units,
    ...(household.latitude === null ? {} : { latitude: household.latitude }),
    places: places.map((place) => ({
      name: place.name,
      aliases: place.aliases,
      ...(place.floor ? { floor: place.floor } : {}),
      default: place.isDefault,
    })),
    members: members.map((member) => member.name),
    plants: plants
      .filter((plant) => plant.tag !== null || plant.name !== null)
      .map((plant) => {
        const place = nameOf(plant.placeId);
        return {
          genus: plant.genus,
          ...(plant.tag ? { tag: plant.tag } : {}),
          ...(plant.name ? { name: plant.name } : {}),
          ...(plant.species ? { species: plant.species } : {}),
          ...(plant.cultivar ? { cultivar: plant.cultivar } : {}),
          ...(place ? { place } : {}),
        };
      }),
    recentGenera: chat?.state.recentGenera ?? [],
    now: localMinute(utterance.at, scope.zone),
    zone: scope.zone,
    addressed: utterance.addressed,
  };
}

/** The place meant by a canonical name or by the words as written: "the warm-bench" is the Warm Bench. */
export function placeNamed(places: readonly Place[], words: string | undefined): Place | null {
  if (words === undefined) return null;
  const key = plainWords(words);
  // An article or "our" before the name: one short word.
  const bare = key.replace(/^\p{L}{1,3} (?=.)/u, "");
  for (const wanted of [key, bare]) {
    const found =
      places.find((place) => plainWords(place.name) === wanted) ??
      places.find((place) => place.aliases.some((alias) => plainWords(alias) === wanted));
    if (found) return found;
  }
  return null;
}

const plainWords = (words: string): string =>
  words
    .normalize("NFC")
    .trim()
    .toLowerCase()
    .replace(/[\s_-]+/g, " ");

/** The place meant when none was said: the only one, or the one marked as default. */
export function defaultPlace(places: readonly Place[]): Place | null {
  return places.find((place) => place.isDefault) ?? (places.length === 1 ? (places[0] ?? null) : null);
}
