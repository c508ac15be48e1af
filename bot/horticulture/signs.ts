import type { SignFound } from "./answers.js";
import { type RuleSet, SEASONS, type Season } from "./care.js";
import type { CareLookup, FoundRules } from "./lookup.js";

/** What the table's words on "normal now" say when they speak of a sign that somebody saw. */
const SPEAKS_OF: Readonly<Record<string, RegExp>> = {
  leaf_drop: /\b(?:leaf|leaves|leafless|bare|foliage|vines?|stems? d(?:ie|y)|dies back|dying back)\b/i,
  shrivel:
    /shrivel|wrinkl|shrink|shrank|shrunken|slack|narrow|soft|limp|crinkl|fold|thin|flat|deflat|sunken|sink/i,
  scorch: /\b(?:red|reddens?|reddening|reddish|bronze|bronzed|bronzing|brown|purple|colours?|colouring)\b/i,
  dormant:
    /\b(?:rest|rests|resting|dormant|dormancy|bare|leafless|dies back|dry skins?|dead|asleep|no growth)\b/i,
  growth: /\b(?:no growth|grows? little|slow|still|stops?|standstill|stands still)\b/i,
};
/** Signs that a resting season makes normal without a word in the table. */
const OF_REST = new Set(["dormant", "growth"]);
/** Signs that no season makes normal. */
const NEVER_NORMAL = new Set(["rot", "pest", "frost_damage", "etiolate"]);

/** Whether a sign is normal for a taxon in a season; a genus also asks its sections. */
export function signIn(sign: string, found: FoundRules, season: Season, lookup: CareLookup): SignFound {
  if (NEVER_NORMAL.has(sign)) return { sign, normal: false, words: "", of: null, seasons: [] };
  const pattern = SPEAKS_OF[sign];
  if (!pattern) return { sign, normal: null, words: "", of: null, seasons: [] };
  const sections =
    found.taxon.rank === "genus"
      ? [...lookup.table.taxa.values()].filter(
          (taxon) => taxon.rank === "subgenus" && taxon.genus === found.taxon.genus,
        )
      : [];
  const sets: { of: string | null; rules: RuleSet }[] = [{ of: null, rules: found.rules }];
  for (const section of sections) {
    const rules = lookup.table.rules.get(section.name);
    if (rules) sets.push({ of: section.name, rules });
  }
  const told = sets.map(({ of, rules }) => ({
    of,
    rules,
    seasons: SEASONS.filter(
      (name) => pattern.test(rules[name].normal) || (OF_REST.has(sign) && rules[name].phase === "resting"),
    ),
  }));
  const now = told.find(({ seasons }) => seasons.includes(season));
  if (now) {
    return { sign, normal: true, words: now.rules[season].normal, of: now.of, seasons: now.seasons };
  }
  const other = told.find(({ seasons }) => seasons.length > 0);
  const first = other?.seasons[0];
  if (!other || !first) return { sign, normal: null, words: "", of: null, seasons: [] };
  return { sign, normal: false, words: other.rules[first].normal, of: other.of, seasons: other.seasons };
}
