import type { HouseholdContext, KnownPlant } from "./context.js";
import type { Subject } from "./interpretation.js";
import { NearWords } from "./names/near.js";
import { PhraseTrie } from "./phrase-trie.js";
import { type Meaning, meaningOf } from "./sense.js";
import { tokenise } from "./tokenise.js";
import type { Vocabulary } from "./vocabulary.js";

/** The names that only this household uses, indexed. */
export interface PreparedHousehold {
  phrases: PhraseTrie;
  /** Names of places and plants by their misspellings. */
  near: NearWords<Meaning>;
  /** Tags that are bare numbers and need the sentence's support. */
  numericTags: ReadonlyMap<string, Meaning>;
  genera: ReadonlySet<string>;
}

/** How the journal knows a plant: by tag, else by name. */
const plantSubject = (plant: KnownPlant): Subject =>
  plant.tag ? { tag: plant.tag } : plant.name ? { name: plant.name } : { genus: plant.genus ?? "" };

/** Indexes the places, members, tags and plant names of a household. */
function prepareHousehold(context: HouseholdContext, vocabulary: Vocabulary): PreparedHousehold {
  const { writing, pluralsOf } = vocabulary.lexicon.language;
  const phrases = new PhraseTrie(writing);
  const numericTags = new Map<string, Meaning>();
  const genera = new Set<string>();
  const near = new NearWords<Meaning>();
  for (const plant of context.plants) {
    const subject = plantSubject(plant);
    const sense = meaningOf({ cls: "name", value: plant.genus ?? "", subject });
    if (plant.genus) genera.add(plant.genus);
    if (plant.name) {
      phrases.add(plant.name, sense);
      near.add(plant.name.toLowerCase(), `plant ${plant.tag ?? plant.name}`, sense);
      for (const form of pluralsOf(plant.name)) {
        near.add(form, `plant ${plant.tag ?? plant.name}`, sense);
        phrases.add(form, sense);
      }
    }
    if (!plant.tag) continue;
    if (/^\d+$/.test(plant.tag)) numericTags.set(plant.tag, sense);
    else {
      phrases.add(plant.tag, sense);
      phrases.add(plant.tag.replace(/[^\p{L}\p{N}]+/gu, " "), sense);
    }
  }
  for (const place of context.places) {
    for (const name of [place.name, ...(place.aliases ?? [])]) {
      const sense = meaningOf({ cls: "place", value: place.name });
      phrases.add(name, sense);
      const keys = tokenise(name, writing).map((token) => token.key);
      const asOne = keys.join("");
      if (keys.length > 1) phrases.addKeys([asOne], sense);
      near.add(asOne, `place ${place.name}`, sense);
      if (vocabulary.cues.get(keys[0] ?? "")?.has("definite article")) phrases.addKeys(keys.slice(1), sense);
    }
  }
  for (const member of context.members) phrases.add(member, { cls: "member", value: member });
  return { phrases, near, numericTags, genera };
}

interface Cached {
  places: unknown;
  members: unknown;
  sizes: string;
  vocabulary: Vocabulary;
  prepared: PreparedHousehold;
}
const cache = new WeakMap<object, Cached>();

/** The index of this context's household, made once for as long as its lists stay the same. */
export function householdOf(context: HouseholdContext, vocabulary: Vocabulary): PreparedHousehold {
  const sizes = `${context.plants.length} ${context.places.length} ${context.members.length}`;
  const known = cache.get(context.plants);
  if (
    known &&
    known.places === context.places &&
    known.members === context.members &&
    known.sizes === sizes &&
    known.vocabulary === vocabulary
  ) {
    return known.prepared;
  }
  const prepared = prepareHousehold(context, vocabulary);
  cache.set(context.plants, {
    places: context.places,
    members: context.members,
    sizes,
    vocabulary,
    prepared,
  });
  return prepared;
}
