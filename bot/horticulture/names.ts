/**
 * The rows of the name tables, as they stand in `db/names` and `db/care/taxa`. Plain data: who reads the
 * files is not the trade's business.
 */

export type Rank = "genus" | "subgenus" | "species" | "family" | "group";

/** One row of `db/care/taxa`, the columns that concern names. */
export interface TaxonName {
  taxon: string;
  rank: Rank;
  family: string;
  /** Words growers use for its kind: cacti, mesembs, ... */
  groups: string[];
  cycle: string;
}
export interface SynonymRow {
  name: string;
  accepted: string;
  rank: string;
  basis: string;
  source: string;
  remarks: string;
}
export interface CommonNameRow extends SynonymRow {
  ambiguous: boolean;
  /** A meaning that only stands where the name has no other. */
  lesser: boolean;
}
export interface MisspellingRow {
  typed: string;
  accepted: string;
  kind: string;
}
export interface SpeciesRow {
  genus: string;
  epithet: string;
}
/** A genus without a row of its own, spoken for by its family. */
export interface GenusRow {
  genus: string;
  family: string;
}
export interface CultivarRow {
  genus: string;
  cultivar: string;
}
export interface GroupWordRow {
  typed: string;
  group: string;
}
export interface FieldNumberRow {
  prefix: string;
  collector: string;
}
export interface FamilyRow {
  name: string;
  accepted: string;
}

/** Every name the program knows, before any index is built over it. */
export interface NameRows {
  taxa: TaxonName[];
  synonyms: SynonymRow[];
  common: CommonNameRow[];
  misspellings: MisspellingRow[];
  species: SpeciesRow[];
  cultivars: CultivarRow[];
  groups: GroupWordRow[];
  fieldNumbers: FieldNumberRow[];
  families: FamilyRow[];
  genera?: GenusRow[];
}
