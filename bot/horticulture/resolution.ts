import type { Rank } from "./names.js";

/** How a name was understood. */
export type Via = "accepted" | "synonym" | "common" | "misspelling" | "plural" | "spelling" | "abbreviation";

export interface ResolvedTaxon {
  kind: "taxon";
  asked: string;
  /** Accepted name: "Parodia", "Curio rowleyanus", "Euphorbia [leafy]", "Cactaceae", "cacti". */
  accepted: string;
  rank: Rank;
  genus: string | null;
  /** Epithet, with a subspecies or variety if one was named. */
  species: string | null;
  family: string | null;
  /** Section of the genus that the typed name stands for: "lobivia" is `Echinopsis [Lobivia]`. */
  section: string | null;
  cultivar: string | null;
  fieldNumber: string | null;
  /** The name as typed where it is not the accepted one. */
  as: string | null;
  via: Via;
  /** What to say about the name: where authorities differ. */
  note: string;
  /** The species is in none of our lists: kept as typed, unchecked. */
  unlisted: boolean;
  /** Other accepted names that the typed one may mean; all within `accepted`. */
  candidates: string[];
}

export type Resolution =
  | ResolvedTaxon
  /** The name is used for several plants: ask which. */
  | { kind: "ambiguous"; asked: string; candidates: string[] }
  /** Not a name we know, but near to some: ask back. */
  | { kind: "doubtful"; asked: string; nearest: string[] }
  | { kind: "unknown"; asked: string };
