import type { Clause } from "../clauses/clause.js";
import type { Modality } from "../clauses/modality.js";
import type { Built } from "../entries/build.js";
import type { Circumstances } from "../entries/circumstances.js";
import type { Subject } from "../interpretation.js";
import { type Item, is, value } from "../item.js";
import type { Layer } from "../lexicon.js";
import type { Token } from "../tokenise.js";
import type { Vocabulary } from "../vocabulary.js";

/** Everything the stages found in one message, for the rules that decide what it is. */
export interface MessageView {
  text: string;
  tokens: readonly Token[];
  items: readonly Item[];
  /** Relative clauses, which only describe what the message is about. */
  aside: readonly (readonly Item[])[];
  clauses: readonly Clause[];
  modalities: readonly Modality[];
  built: readonly Built[];
  circumstances: Circumstances;
  addressed: boolean;
  vocabulary: Vocabulary;
  /** The items again, with the words that ask or command among them. */
  layered(layer: Layer): readonly Item[];
}

export const indexOf = (items: readonly Item[], cls: string, from = 0): number => {
  for (let i = from; i < items.length; i++) if (is(items[i], cls) && !items[i]?.quoted) return i;
  return -1;
};
export const has = (items: readonly Item[], cls: string, wanted?: string): boolean =>
  items.some(
    (item) =>
      !item.quoted &&
      item.senses.some((one) => one.cls === cls && (wanted === undefined || one.value === wanted)),
  );

export const subjectsOf = (items: readonly Item[]): Subject[] =>
  items.flatMap((item) => (item.subject && !item.quoted ? [{ ...item.subject }] : []));

export const placeOf = (items: readonly Item[]): string | undefined => {
  for (const item of items) {
    const place = value(item, "place");
    if (place) return place;
  }
  return undefined;
};
