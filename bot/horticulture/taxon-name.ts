import type { FieldNumberRow } from "./names.js";
import { plain } from "./spelling.js";

/** A name as typed, taken apart. What is left of `name` may still be an old, common or misspelt name. */
export interface TypedName {
  name: string;
  cultivar: string | null;
  fieldNumber: string | null;
}

const QUOTED = /(?:^|\s)(?:'([^']+)'|"([^"]+)"|‘([^’]+)’|“([^”]+)”)(?=\s|[.,;)]|$)/;
const DETERMINERS = /^(?:the|my|our|a|an|some|any|this|that|these|those|all|your)\s+/i;
const LOOSE_WORDS =
  /\s+(?:sp|spp|species|hybrid|hybrids|hyb|plant|plants|seedling|seedlings|indet)\.?(?=\s|$)/gi;

/** Takes a typed name apart: quoted cultivar epithet, collector's field number, determiners. */
export class NameParts {
  readonly #fieldNumber: RegExp | null;

  constructor(prefixes: readonly FieldNumberRow[]) {
    const words = [...new Set(prefixes.map((row) => row.prefix.replace(/[.*+?^${}()|[\]\\]/g, "\\$&")))]
      .filter((word) => word !== "")
      .sort((a, b) => b.length - a.length);
    this.#fieldNumber =
      words.length === 0
        ? null
        : new RegExp(`(?:^|[\\s(])((?:${words.join("|")})[ -]?\\d{1,5}(?:\\.\\d+)?[a-z]?)(?=[\\s),.;]|$)`);
  }

  of(typed: string): TypedName {
    let name = typed.trim().replace(/[?!]+$/, "");
    let cultivar: string | null = null;
    let fieldNumber: string | null = null;
    const quoted = QUOTED.exec(name);
    if (quoted) {
      cultivar = (quoted[1] ?? quoted[2] ?? quoted[3] ?? quoted[4] ?? "").trim();
      name = name.replace(quoted[0], " ");
    }
    const cv = /\scv\.?\s+(.+)$/i.exec(name);
    if (cultivar === null && cv) {
      cultivar = (cv[1] ?? "").trim();
      name = name.slice(0, cv.index);
    }
    const number = this.#fieldNumber?.exec(name);
    if (number) {
      fieldNumber = number[1] ?? null;
      name = name.replace(number[1] ?? "", " ");
    }
    name = name.replace(/[()]/g, " ").replace(/\s+/g, " ").trim();
    return { name, cultivar: cultivar === "" ? null : cultivar, fieldNumber };
  }
}

/** A name without words that say nothing of it: "gasteria sp.", "my aloe hybrids", "the copiapoa plants". */
export function withoutLooseWords(name: string): string {
  let bare = name.replace(LOOSE_WORDS, "").trim();
  for (
    let shorter = bare.replace(DETERMINERS, "");
    shorter !== bare;
    shorter = bare.replace(DETERMINERS, "")
  ) {
    bare = shorter;
  }
  return bare;
}

/** Words of a name without the ranks between them: "mammillaria rhodantha subsp. pringlei". */
export function nameWords(name: string): string[] {
  return plain(name)
    .split(" ")
    .map((word) => word.replace(/\.$/, ""))
    .filter((word) => word !== "" && !/^(?:subsp|ssp|subspecies|var|variety|f|forma|aff|cf)$/.test(word));
}
