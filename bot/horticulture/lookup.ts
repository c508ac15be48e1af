import type { CareRule, CareTable, Range, RuleSet, Season, Taxon, WaterMode } from "./care.js";
import type { PlaceSeason } from "./place-season.js";
import { nextSeason, seasonBefore } from "./seasons.js";

/** Whom a rule speaks for: the taxon itself, or what catches it. A `section` is part of a genus. */
export type SpeaksFor = "species" | "section" | "genus" | "group" | "family";

export interface FoundRules {
  /** The name asked for. */
  name: string;
  /** Nearest row of the taxa: it gives cycle, repotting and sowing. */
  taxon: Taxon;
  /** The taxon whose rules they are. */
  by: Taxon;
  speaksFor: SpeaksFor;
  rules: RuleSet;
}

/** What a taxon wants on a day: the row used, and the watering eased over the turn of the season. */
export interface RuleNow {
  rule: CareRule;
  mode: WaterMode;
  /** Days between waterings, eased; null with `none`. */
  days: Range | null;
  /** The neighbouring season that eases it, and how much this one counts, above 0.5 to 1; null away from a turn. */
  turn: { other: CareRule; weight: number } | null;
  /** Days since a rest without water ended, if the season before was one; a plant is not late for its rest. */
  restEndedDaysAgo: number | null;
}

/** Days on either side of a turn over which one season's interval becomes the next one's. */
export const TURN_DAYS = 15;

const SPEAKS: Readonly<Record<Taxon["rank"], SpeaksFor>> = {
  species: "species",
  subgenus: "section",
  genus: "genus",
  group: "group",
  family: "family",
};

/** Finds the rules of a taxon by its accepted name, falling back species -> section -> genus -> group -> family. */
export class CareLookup {
  readonly #found = new Map<string, FoundRules | null>();
  readonly #groups: Taxon[] = [];
  readonly #families: Taxon[] = [];

  /** @param familyOf family of a genus that has no row of its own */
  constructor(
    readonly table: CareTable,
    private readonly familyOf: (genus: string) => string | null = () => null,
  ) {
    for (const taxon of table.taxa.values()) {
      if (!table.rules.has(taxon.name)) continue;
      if (taxon.rank === "group") this.#groups.push(taxon);
      else if (taxon.rank === "family") this.#families.push(taxon);
    }
    this.#groups.sort((a, b) => b.groups.length - a.groups.length);
  }

  /**
   * Rules for an accepted name: "Copiapoa", "Euphorbia obesa", "Cactaceae", "epiphytes".
   * @param family catches a genus that has no row at all
   * @param section goes before the genus, where an old name means only a part of it
   * @returns null if nothing speaks for the name
   */
  find(name: string, family?: string | null, section?: string | null): FoundRules | null {
    if (section && this.table.rules.has(section)) {
      const found = this.find(section, family);
      return found && { ...found, name };
    }
    const key = family ? `${name}|${family}` : name;
    let found = this.#found.get(key);
    if (found === undefined) {
      found = this.#search(name, family ?? null);
      if (this.#found.size > 20_000) this.#found.clear();
      this.#found.set(key, found);
    }
    return found;
  }

  /** Rules for a name as it was resolved. */
  findResolved(name: { accepted: string; family: string | null; section: string | null }): FoundRules | null {
    return this.find(name.accepted, name.family, name.section);
  }

  #search(name: string, family: string | null): FoundRules | null {
    const { taxa, sections, rules } = this.table;
    const [genusName = "", ...rest] = name.split(" ");
    const epithet = rest.filter((word) => word !== "x" && word !== "×")[0];
    const rows: Taxon[] = [];
    const add = (row: Taxon | undefined) => {
      if (row && !rows.includes(row)) rows.push(row);
    };
    add(taxa.get(name));
    if (epithet !== undefined) {
      add(taxa.get(`${genusName} ${epithet}`));
      add(sections.get(`${genusName} ${epithet}`));
    }
    add(taxa.get(genusName));
    if (rows.length === 0) add(this.#groupNamed(name));
    const nearest = rows[0];
    const genusRow = rows.find((row) => row.rank === "genus");
    for (const row of this.#groupsOf(genusRow ?? nearest)) add(row);
    add(taxa.get(genusRow?.family ?? nearest?.family ?? family ?? this.familyOf(genusName) ?? ""));
    const by = rows.find((row) => rules.has(row.name));
    const set = by && rules.get(by.name);
    if (!by || !set) return null;
    return { name, taxon: nearest ?? by, by, speaksFor: SPEAKS[by.rank], rules: set };
  }

  /** The row of a growers' group: its own, else the narrowest that carries the word ("epiphytes"), else a family. */
  #groupNamed(word: string): Taxon | undefined {
    return (
      this.#groups.find((row) => row.name === word) ??
      this.#groups.find((row) => row.groups.includes(word)) ??
      this.#families.find((row) => row.groups.includes(word))
    );
  }

  /** Group rows that catch a taxon: first those that share several of its words ("cacti;epiphytes"), then by name. */
  #groupsOf(taxon: Taxon | undefined): Taxon[] {
    if (!taxon) return [];
    const held = taxon.groups;
    const shared = this.#groups.filter(
      (row) => row.groups.length > 1 && row.groups.every((word) => held.includes(word)),
    );
    return [...shared, ...this.#groups.filter((row) => held.includes(row.name))];
  }
}

/** The rule of a season, with its watering eased near the turn towards the neighbouring season's. */
export function ruleAt(rules: RuleSet, at: Pick<PlaceSeason, "season" | "since" | "left">): RuleNow {
  const rule = rules[at.season];
  const before = rules[seasonBefore(at.season)];
  const after = rules[nextSeason(at.season)];
  const mode = rule.water.mode;
  const restEndedDaysAgo = mode !== "none" && before.water.mode === "none" ? at.since : null;
  const distance = Math.min(at.since, at.left);
  if (mode === "none" || rule.water.days === null || distance >= TURN_DAYS) {
    return { rule, mode, days: rule.water.days, turn: null, restEndedDaysAgo };
  }
  const other = at.since <= at.left ? before : after;
  const weight = 0.5 + (0.5 * distance) / TURN_DAYS;
  const days: Range = [0, 1].map((end) =>
    Math.round(1 / (weight * rate(rule, end) + (1 - weight) * rate(other, end))),
  ) as unknown as Range;
  return { rule, mode, days, turn: { other, weight }, restEndedDaysAgo };
}

/** Waterings a day at one end of the range; 0 for a plant kept dry. */
function rate(rule: CareRule, end: number): number {
  return rule.water.days === null ? 0 : 1 / (rule.water.days[end] as number);
}

/** The rule of a season asked for by name, as it stands in the table. */
export function ruleOf(rules: RuleSet, season: Season): RuleNow {
  return ruleAt(rules, { season, since: TURN_DAYS, left: TURN_DAYS });
}
