import type { NameRows, Rank } from "./names.js";
import { NearNames } from "./near-names.js";
import type { Via } from "./resolution.js";
import { plain } from "./spelling.js";
import { nameWords } from "./taxon-name.js";

/** What a written name means. */
export interface Meaning {
  accepted: string;
  via: Via;
  note: string;
  /** The section of the accepted genus that an old genus has become: Lobivia, `Echinopsis [Lobivia]`. */
  section?: string;
}

/** The name tables, indexed by the plain form of each name. */
export class NameBook {
  /** Accepted names as written. */
  readonly accepted = new Map<string, { rank: Rank; family: string | null }>();
  /** What each plain name means; several where it is used for several plants. */
  readonly meanings = new Map<string, Meaning[]>();
  /** Epithets by genus, plain to written. */
  readonly epithets = new Map<string, Map<string, string>>();
  /** Species by "e obesa". */
  readonly byEpithet = new Map<string, string[]>();
  /** Cultivars by genus, plain to written. */
  readonly cultivars = new Map<string, Map<string, string>>();
  /** What to say of an accepted name that others call otherwise. */
  readonly notes = new Map<string, string>();
  /** Old and common names by accepted name, as written. */
  readonly alsoCalled = new Map<string, string[]>();
  readonly near: NearNames;

  constructor(rows: NameRows) {
    for (const taxon of rows.taxa) {
      this.#accept(taxon.taxon, taxon.rank, taxon.family);
    }
    for (const { genus, family } of rows.genera ?? []) this.#accept(genus, "genus", family);
    for (const { name, accepted } of rows.families) {
      if (!this.accepted.has(accepted)) this.#accept(accepted, "family", accepted);
      if (name !== accepted) this.#mean(name, { accepted, via: "synonym", note: "" });
    }
    for (const { typed, group } of rows.groups) {
      if (!this.accepted.has(group)) this.#accept(group, "group", null);
      this.#mean(typed, { accepted: group, via: "common", note: "" });
    }
    for (const row of rows.synonyms) {
      if (this.accepted.has(row.name)) {
        // Both treatments are about: the one with rules of its own is used, the other is told.
        this.notes.set(row.name, row.remarks || `also put in ${row.accepted}`);
        continue;
      }
      for (const accepted of several(row.accepted)) {
        const section = `${accepted} [${row.name}]`;
        const within = this.accepted.has(section) ? { section } : {};
        this.#mean(row.name, { accepted, via: "synonym", note: row.remarks, ...within });
      }
    }
    // The species lists also hold old combinations; there the synonym leads on.
    for (const { genus, epithet } of rows.species) {
      if (!this.accepted.has(genus) && !this.meanings.has(plain(genus))) this.#accept(genus, "genus", null);
      const name = `${genus} ${epithet}`;
      if (this.meanings.has(plain(name))) this.#know(name);
      else if (this.accepted.has(genus)) this.#accept(name, "species", this.familyOf(genus));
    }
    for (const row of rows.common) {
      for (const accepted of several(row.accepted)) {
        this.#mean(row.name, { accepted, via: "common", note: row.remarks });
      }
    }
    for (const row of rows.misspellings) {
      for (const accepted of several(row.accepted)) {
        this.#mean(row.typed, { accepted, via: row.kind === "plural" ? "plural" : "misspelling", note: "" });
      }
    }
    for (const { genus, cultivar } of rows.cultivars) {
      const known = this.cultivars.get(genus) ?? new Map<string, string>();
      known.set(plain(cultivar), cultivar);
      this.cultivars.set(genus, known);
    }
    this.near = new NearNames(
      [...this.meanings].map(([key, meanings]) => ({
        key,
        current: meanings.some((meaning) => meaning.via !== "synonym"),
      })),
    );
  }

  familyOf(name: string): string | null {
    return this.accepted.get(name)?.family ?? this.accepted.get(name.split(" ")[0] ?? "")?.family ?? null;
  }

  /** Meanings of a name in any spelling of case, accents and ranks. */
  meaningsOf(name: string): readonly Meaning[] | undefined {
    return this.meanings.get(plain(name)) ?? this.meanings.get(nameWords(name).join(" "));
  }

  #accept(name: string, rank: Rank, family: string | null): void {
    if (!this.accepted.has(name)) this.accepted.set(name, { rank, family: family || null });
    this.#mean(name, { accepted: name, via: "accepted", note: "" });
    if (rank === "species") this.#know(name);
  }

  /** Keeps the epithet of a species under its genus, for spelling, gender and "E. obesa". */
  #know(name: string): void {
    const [genus = "", ...words] = nameWords(name);
    if (words.length === 0) return;
    const written = name.split(" ")[0] ?? "";
    const epithet = words.join(" ");
    const known = this.epithets.get(written) ?? new Map<string, string>();
    known.set(epithet, name.slice(written.length + 1));
    this.epithets.set(written, known);
    const short = `${genus[0]} ${epithet}`;
    this.byEpithet.set(short, [...new Set([...(this.byEpithet.get(short) ?? []), name])]);
  }

  #mean(name: string, meaning: Meaning): void {
    if (meaning.via === "synonym" || meaning.via === "common") {
      const names = this.alsoCalled.get(meaning.accepted);
      if (names) names.push(name);
      else this.alsoCalled.set(meaning.accepted, [name]);
    }
    for (const key of new Set([plain(name), nameWords(name).join(" ")])) {
      if (key === "") continue;
      const known = this.meanings.get(key);
      if (!known) this.meanings.set(key, [meaning]);
      else if (!known.some((other) => other.accepted === meaning.accepted)) known.push(meaning);
    }
  }
}

function several(accepted: string): string[] {
  return accepted
    .split(/\s*(?:;|\||\/)\s*/)
    .map((name) => name.trim())
    .filter((name) => name !== "");
}
