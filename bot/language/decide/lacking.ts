import { isPlantAct } from "../entries/acts.js";
import type { Built } from "../entries/build.js";
import { type Entry, type Missing, SEEN_ACTS } from "../interpretation.js";
import { type Item, is, value } from "../item.js";
import { known, understood } from "./familiar.js";
import { outer } from "./owners.js";
import { readingLacks } from "./reading.js";
import { has, type MessageView } from "./view.js";

/** What an entry still needs; "reject" where it is not about the collection at all. */
export function lacking(one: Built, view: MessageView): Missing | "reject" | undefined {
  const { entry, head } = one;
  const clause = view.clauses[one.clause];
  if (!clause || !head) return "reject";
  if (entry.act === "reading") return readingLacks(one, view);
  if (head.kind === "equipment" && !entry.subjects) {
    if (entry.place || view.addressed) return undefined;
    const bare =
      entry.act.startsWith("power") &&
      !entry.when &&
      clause.items.some((item, i) => is(item, "equipment") && i === 0 && is(clause.items[i + 1], "polarity"));
    return understood(view) && houseOnly(clause.items) && !bare ? undefined : "reject";
  }
  if (!isPlantAct(entry.act)) return undefined;
  if (entry.subjects && entry.subjects.length > 0) {
    if (!view.addressed && onlyNewTags(entry, view) && !(ON_PLANTS.has(entry.act) && known(clause.items)))
      return "reject";
    if (
      (entry.act === "water" || entry.act === "feed" || entry.act === "mist") &&
      bareAmount(one, clause.items)
    )
      return "unit";
    if (
      entry.act === "move" &&
      view.addressed &&
      !entry.to &&
      !entry.from &&
      !clause.items.some((item) => is(item, "direction"))
    )
      return "place";
    return undefined;
  }
  const infested = entry.pest !== undefined && (entry.act === "pest" || entry.act === "treat");
  if (entry.place && infested && has(clause.items, "place") && !one.draft.pronoun) return undefined;
  const before = view.built[view.built.indexOf(one) - 1]?.entry;
  // "whitefly in the bay, hung up sticky traps"
  if (entry.act === "treat" && entry.product && entry.place && before?.act === "pest" && !before.subjects)
    return undefined;
  if (
    entry.place &&
    PLACE_CARE.has(entry.act) &&
    (one.lent ||
      (head.slots?.needs === "place" &&
        !clause.items.some((item) => outer(item) || (is(item, "placeword") && !is(item, "place")))) ||
      (entry.act === "clean" && has(clause.items, "fitting")))
  )
    return undefined;
  if (entry.place && PLACE_CARE.has(entry.act) && directPlace(one, clause.items)) return undefined;
  // "turned the lights off": a switch and no plant.
  if (
    entry.act === "turn" &&
    (has(clause.items, "polarity") ||
      has(clause.items, "equipment") ||
      clause.items.some((item) => item.measure))
  )
    return "reject";
  const meant = understood(view) || objectless(one, clause.items);
  return meant && (head.kind === "verb" || view.addressed) ? "subject" : "reject";
}

/**
 * "watered yesterday evening with Pete's help", "fed with seaweed": the verb comes first, and what stands behind it says
 * when, where or with what; what it was done to was left out.
 */
function objectless({ head, entry }: Built, items: readonly Item[]): boolean {
  if (head?.kind !== "verb" || head.at !== 0 || !(ON_PLANTS.has(entry.act) || entry.act === "move"))
    return false;
  const rest = items.filter(
    (item, i) => i > 0 && (!is(item, "filler") || is(item, "prep") || is(item, "det")),
  );
  const next = rest[0];
  if (!next) return true;
  if (next.time) return true;
  const what = is(rest[1], "det") || rest[1]?.measure ? rest[2] : rest[1];
  return (
    value(next, "prep") !== undefined &&
    ["product", "feedstuff", "place", "placeword", "pot", "material", "member"].some((cls) => is(what, cls))
  );
}

/** Acts and signs that only plants know: "repotted L-014"; a car, a drug or a screw has a label too. */
const ON_PLANTS: ReadonlySet<string> = new Set([
  ...["water", "mist", "feed", "repot", "top_dress", "prune", "deadhead", "graft", "take_cutting", "divide"],
  ...["pollinate", ...SEEN_ACTS],
]);

/** Whether all that is named are labels that this household has not told. */
const onlyNewTags = ({ subjects = [] }: Entry, view: MessageView): boolean =>
  subjects.every(
    ({ tag, genus }) =>
      tag !== undefined && genus === undefined && view.items.some((item) => value(item, "newtag") === tag),
  );

/** A door or a window is anybody's; a vent, a heater or a fan is the glasshouse's. */
const houseOnly = (items: readonly Item[]): boolean =>
  !has(items, "equipment", "vent") || has(items, "ventword");

const PLACE_CARE = new Set(["water", "mist", "feed", "clean", "shade", "unshade", "treat"]);

/** "watered the long house": the place itself is what was tended. */
function directPlace(one: Built, items: readonly Item[]): boolean {
  const at = items.findIndex((item) => is(item, "place"));
  if (at < 0 || !one.head) return false;
  // "cleaned the Club House kitchen"
  if (one.entry.act === "clean" && (outer(items[at + 1]) || is(items[at + 1], "placeword"))) return false;
  for (let i = at - 1; i > one.head.at; i--) {
    if (is(items[i], "prep")) return false;
    const item = items[i];
    if (
      !is(item, "det") &&
      !(
        one.head.at < 0 &&
        (is(item, "self") || is(item, "light") || is(item, "member") || is(item, "filler") || item?.time)
      )
    )
      return false;
  }
  return at > one.head.at || one.head.kind !== "noun";
}

/** "gave fatso 16 of water": an amount whose unit was left out. */
const bareAmount = (one: Built, items: readonly Item[]): boolean =>
  items.some(
    (item, i) =>
      item.measure &&
      !item.measure.unit &&
      !item.measure.article &&
      !is(item, "collective") &&
      !item.time &&
      !item.subject &&
      item.measure.ratio === undefined &&
      item.measure.strength === undefined &&
      !one.draft.used.has(i),
  );
