import { type Meaning, NameBook } from "./name-book.js";
import type { NameRows, Rank } from "./names.js";
import type { Resolution, ResolvedTaxon, Via } from "./resolution.js";
import { editDistance, epithetStem, plain, singulars } from "./spelling.js";
import { NameParts, nameWords, type TypedName, withoutLooseWords } from "./taxon-name.js";

const CACHE_LIMIT = 20_000;
/** Shaped like an epithet; keeps English words after a genus from being taken for one. */
const EPITHET = /^[a-z]{2,}(?:us|a|um|is|e|i|ns|or|[aeiy]x|ops|on|er|pes|os|as)$/;

/** Finds the accepted name behind what people type. */
export class TaxonIndex {
  readonly #book: NameBook;
  readonly #parts: NameParts;
  readonly #cache = new Map<string, Resolution>();

  constructor(rows: NameRows) {
    this.#book = new NameBook(rows);
    this.#parts = new NameParts(rows.fieldNumbers);
  }

  /** Accepted names of a rank. */
  names(rank: Rank): string[] {
    return [...this.#book.accepted].filter(([, entry]) => entry.rank === rank).map(([name]) => name);
  }

  /** Whether this is an accepted name as written. */
  has(name: string): boolean {
    return this.#book.accepted.has(name);
  }

  /** Old and common names that lead to an accepted one, as written. */
  namesOf(accepted: string): readonly string[] {
    return this.#book.alsoCalled.get(accepted) ?? [];
  }

  /** Family of an accepted name. */
  familyOf(name: string): string | null {
    return this.#book.familyOf(name);
  }

  /**
   * Reads a name: accepted, old, common, clipped, plural or slightly misspelt; a genus or a species, with a cultivar
   * epithet or a field number beside it.
   * @example index.resolve("notocactus") //=> { kind: "taxon", accepted: "Parodia", as: "notocactus", ... }
   */
  resolve(asked: string): Resolution {
    let found = this.#cache.get(asked);
    if (!found) {
      found = this.#resolve(asked);
      if (this.#cache.size >= CACHE_LIMIT) this.#cache.clear();
      this.#cache.set(asked, found);
    }
    return found;
  }

  #resolve(asked: string): Resolution {
    const typed = this.#parts.of(asked);
    if (typed.name === "") return { kind: "unknown", asked };
    const whole = this.#exact(asked, typed, typed.name) ?? this.#plural(asked, typed);
    if (whole) return whole;
    const bare = withoutLooseWords(typed.name);
    return this.#reading(asked, bare === "" ? typed : { ...typed, name: bare });
  }

  #reading(asked: string, typed: TypedName): Resolution {
    return (
      this.#exact(asked, typed, typed.name) ??
      this.#plural(asked, typed) ??
      this.#binomial(asked, typed) ??
      this.#abbreviated(asked, typed) ??
      this.#spelling(asked, typed)
    );
  }

  #exact(asked: string, typed: TypedName, name: string, via?: Via): Resolution | null {
    const meanings = this.#book.meaningsOf(name);
    return meanings ? this.#settle(asked, typed, meanings, via) : null;
  }

  /** One meaning, or several: an accepted name wins over other uses of it, else within one genus the genus, else ask. */
  #settle(asked: string, typed: TypedName, meanings: readonly Meaning[], via?: Via): Resolution {
    const accepted = meanings.find((meaning) => meaning.via === "accepted");
    const only = accepted ?? (meanings.length === 1 ? meanings[0] : undefined);
    if (only) return this.#taxon(asked, typed, { ...only, via: via ?? only.via });
    const candidates = meanings.map((meaning) => meaning.accepted);
    const genera = new Set(candidates.map((name) => name.split(" ")[0] as string));
    const [genus] = genera;
    if (genera.size === 1 && genus && this.#book.accepted.get(genus)?.rank === "genus") {
      const meaning = { accepted: genus, via: via ?? (meanings[0] as Meaning).via, note: "" };
      return { ...this.#taxon(asked, typed, meaning), candidates };
    }
    return { kind: "ambiguous", asked, candidates };
  }

  #taxon(asked: string, typed: TypedName, meaning: Meaning, unlisted = false): ResolvedTaxon {
    const entry = this.#book.accepted.get(meaning.accepted);
    const words = meaning.accepted.split(" ");
    const grouped = entry?.rank === "family" || entry?.rank === "group";
    const rank = entry?.rank ?? (words.length > 1 ? "species" : "genus");
    const genus = grouped ? null : (words[0] ?? null);
    const cultivar = typed.cultivar;
    const fieldNumber = typed.fieldNumber;
    return {
      kind: "taxon",
      asked,
      accepted: meaning.accepted,
      rank,
      genus,
      species: rank === "species" ? words.slice(1).join(" ") : null,
      family: entry?.family ?? (genus ? this.familyOf(genus) : null),
      section: rank === "genus" ? (meaning.section ?? null) : null,
      cultivar,
      fieldNumber,
      as: plain(typed.name) === plain(meaning.accepted) ? null : typed.name,
      via: meaning.via,
      note: meaning.note || (this.#book.notes.get(meaning.accepted) ?? ""),
      unlisted,
      candidates: [],
    };
  }

  #plural(asked: string, typed: TypedName): Resolution | null {
    const words = plain(typed.name).split(" ");
    const last = words.pop() ?? "";
    for (const singular of singulars(last)) {
      const found = this.#exact(asked, typed, [...words, singular].join(" "), "plural");
      if (found) return found;
    }
    return null;
  }

  /** A genus by any of its names, followed by an epithet or a cultivar. */
  #binomial(asked: string, typed: TypedName): Resolution | null {
    const words = nameWords(typed.name);
    if (words.length < 2) return null;
    const head = words[0] as string;
    const tail = words.slice(1);
    const genus = this.#genusNamed(head);
    if (!genus) {
      const near = this.#book.near.near(head).filter((near) => near.sure && !near.key.includes(" "));
      const spelt = near[0] && this.#genusNamed(near[0].key);
      return near.length === 1 && spelt ? this.#within(asked, typed, spelt, tail, "spelling") : null;
    }
    return this.#within(asked, typed, genus, tail, genus.via);
  }

  #genusNamed(word: string): Meaning | null {
    for (const form of [word, ...singulars(word)]) {
      const meanings = this.#book.meanings
        .get(form)
        ?.filter((meaning) => this.#book.accepted.get(meaning.accepted)?.rank === "genus");
      if (meanings?.[0] && (meanings.length === 1 || meanings[0].via === "accepted")) return meanings[0];
    }
    return null;
  }

  #within(asked: string, typed: TypedName, genus: Meaning, tail: string[], via: Via): Resolution | null {
    const epithets = this.#book.epithets.get(genus.accepted);
    const full = tail.join(" ");
    const listed = (words: string) => epithets?.get(words);
    let epithet = listed(full) ?? (tail[0] ? listed(tail[0]) : undefined);
    const cultivar = this.#book.cultivars.get(genus.accepted)?.get(full);
    if (epithet === undefined && cultivar !== undefined) {
      return this.#taxon(asked, { ...typed, cultivar }, { ...genus, via });
    }
    const stem = epithetStem(tail[0] ?? "");
    epithet ??= [...(epithets ?? [])].find(([key]) => epithetStem(key) === stem)?.[1];
    if (epithet === undefined && epithets && (tail[0]?.length ?? 0) >= 5) {
      const near = [...epithets].filter(([key]) => editDistance(key, tail[0] ?? "", 1) <= 1);
      if (near.length === 1) epithet = near[0]?.[1];
    }
    if (epithet !== undefined) {
      const accepted = `${genus.accepted} ${epithet}`;
      // An epithet that is itself an old name within its genus leads on to the accepted one.
      const meanings = this.#book.meanings.get(nameWords(accepted).join(" "));
      if (meanings) return this.#settle(asked, typed, meanings, via === "accepted" ? undefined : via);
      return this.#taxon(asked, typed, { ...genus, accepted, via });
    }
    const written = typed.name.split(/\s+/).slice(1);
    const capital =
      written[0] !== undefined && /^[A-Z]/.test(written[0]) && typed.name !== typed.name.toUpperCase();
    if (capital) {
      return this.#taxon(
        asked,
        { ...typed, cultivar: typed.cultivar ?? written.join(" ") },
        { ...genus, via },
      );
    }
    // Only under its accepted genus may an unlisted epithet be kept as a name; elsewhere that would coin one.
    if (
      (genus.via === "accepted" || via === "spelling" || via === "misspelling") &&
      tail.length <= 3 &&
      EPITHET.test(tail[0] ?? "")
    ) {
      const meaning = { ...genus, accepted: `${genus.accepted} ${tail[0]}`, via };
      return this.#taxon(asked, typed, meaning, true);
    }
    return { ...this.#taxon(asked, typed, { ...genus, via }), unlisted: true };
  }

  /** "E. obesa" */
  #abbreviated(asked: string, typed: TypedName): Resolution | null {
    const short = /^([A-Za-z])\.?\s+([a-z-]{4,})$/.exec(typed.name);
    if (!short) return null;
    const names = this.#book.byEpithet.get(`${(short[1] ?? "").toLowerCase()} ${plain(short[2] ?? "")}`);
    if (!names) return null;
    const meanings = new Map<string, Meaning>();
    for (const name of names) {
      for (const meaning of this.#book.meanings.get(nameWords(name).join(" ")) ?? []) {
        meanings.set(meaning.accepted, { ...meaning, via: "abbreviation" });
      }
    }
    return meanings.size === 0 ? null : this.#settle(asked, typed, [...meanings.values()]);
  }

  #spelling(asked: string, typed: TypedName): Resolution {
    const near = this.#book.near.near(plain(typed.name));
    const sure = near.filter((key) => key.sure);
    const meanings = sure.flatMap(({ key }) => this.#book.meanings.get(key) ?? []);
    const targets = new Set(meanings.map((meaning) => meaning.accepted));
    const grouped = [...targets].some((name) => this.#book.accepted.get(name)?.rank === "group");
    if (targets.size === 1 && !grouped)
      return this.#taxon(asked, typed, { ...(meanings[0] as Meaning), via: "spelling" });
    const nearest = [
      ...new Set(
        near.flatMap(({ key }) => (this.#book.meanings.get(key) ?? []).map((meaning) => meaning.accepted)),
      ),
    ].slice(0, 3);
    return nearest.length > 0 ? { kind: "doubtful", asked, nearest } : { kind: "unknown", asked };
  }
}
