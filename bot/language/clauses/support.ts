import { type Item, is, value } from "../item.js";
import type { Sense } from "../sense.js";
import { has, hasPot, isRemedy } from "./head-word.js";
import { exchangesPot } from "./pot-exchange.js";

type Condition = (items: readonly Item[], at: number) => boolean;

/** Whether the sentence has what this meaning of a verb asks for: "hit" treats only with a remedy. */
export function supported(meaning: Sense, items: readonly Item[], at: number): boolean {
  const needs = meaning.slots?.needs;
  if (!needs) return true;
  for (const need of needs.split("+")) {
    const condition = CONDITIONS[need];
    if (condition ? !condition(items, at) : !named(need, items)) return false;
  }
  return true;
}

/** "tool", "tool:water": a word of that class stands in the sentence, and a plant or a place for it. */
function named(need: string, items: readonly Item[]): boolean {
  const [cls = "", wanted] = need.split(":");
  const found = items.some((item) => (wanted ? value(item, cls) === wanted : is(item, cls)));
  return found && items.some((item) => item.subject || is(item, "pron") || is(item, "place"));
}

const plant = (item: Item): boolean => item.subject !== undefined;

const behind = (items: readonly Item[], at: number): readonly Item[] => items.slice(at + 1);

/** What it was done to stands behind the verb. */
const target: Condition = (items, at) =>
  behind(items, at).some((item) => item.subject || is(item, "pron") || is(item, "place"));

const into = (item: Item | undefined): boolean =>
  value(item, "prep") === "into" || value(item, "prep") === "in" || value(item, "prep") === "to";

/** Index of the substrate, where it is what the plants stand in ("in fresh grit") or lies on them. */
function substrateAt(items: readonly Item[], inside: boolean): number {
  return items.findIndex((item, i) => {
    if (!is(item, "substrate")) return false;
    let before = i - 1;
    while (is(items[before], "det") || is(items[before], "square") || is(items[before], "newness")) before--;
    return into(items[before]) === inside;
  });
}

const CONDITIONS: Readonly<Record<string, Condition>> = {
  always: () => true,
  seed: (items) => has(items, "seednoun") || has(items, "seedpod"),
  seedoff: (items) =>
    items.some(plant) &&
    (has(items, "seednoun") || has(items, "seedpod")) &&
    !items.some((item) => into(item)),
  seedbehind: (items, at) => items.some(plant) && has(behind(items, at), "seednoun"),
  /** "put 20 seeds in", "the seed went in". */
  seedin: (items, at) =>
    items.some(plant) &&
    has(items, "seednoun") &&
    behind(items, at).some((item, i, rest) => is(item, "direction") && !is(rest[i + 1], "det")),
  remedy: (items, at) => {
    const rest = behind(items, at);
    const passive = items.slice(0, at).some(plant);
    const unknown = rest.findIndex((item) => value(item, "prep") === "with");
    const known = unknown >= 0 && rest[unknown + 1]?.unknown === true;
    return (target(items, at) || passive) && (rest.some(isRemedy) || known);
  },
  /** "the big rebutia didn't make it" */
  doomed: (items, at) => items.slice(0, at).some(plant),
  /** "RIP the old aloe": the plants stand right behind. */
  object: (items, at) =>
    value(items[at + 1], "prep") === undefined && behind(items, at).slice(0, 4).some(plant),
  /** "whitefly in the bay, hung up sticky traps": against what was told before. */
  applied: (items, at) => behind(items, at).some(isRemedy),
  volume: (items, at) =>
    target(items, at) &&
    behind(items, at).some(
      (item) => item.measure?.dimension === "volume" || value(item, "actnoun") === "water",
    ),
  house: (items) => has(items, "place"),
  place: (items) => items.some((item) => is(item, "place") || is(item, "fitting")),
  pot: (items, at) => (target(items, at) || items.slice(0, at).some(plant)) && hasPot(behind(items, at)),
  /** "swapped the jade's 4in plastic for a 6in clay". */
  potexchange: (items, at) => exchangesPot(items, at),
  /** "in fresh gritty mix". */
  medium: (items) => items.some(plant) && substrateAt(items, true) >= 0,
  /** "a layer of grit on the lithops", "topped with gravel". */
  topping: (items) =>
    items.some(plant) &&
    substrateAt(items, false) >= 0 &&
    !has(items, "pot") &&
    items.some((item) => ["on", "with"].includes(value(item, "prep") ?? "") || is(item, "over")),
  plants: (items, at) => behind(items, at).some(plant) && !behind(items, at).some((item) => is(item, "pest")),
  /** Where plants were moved: a place, or "inside". */
  somewhere: (items, at) =>
    items.some(plant) &&
    !has(items, "seednoun") &&
    !has(items, "actnoun") &&
    behind(items, at).some(
      (item, i, rest) =>
        is(item, "place") ||
        is(item, "placeword") ||
        (is(item, "direction") &&
          !is(rest[i + 1], "det") &&
          !is(rest[i + 1], "substrate") &&
          !rest[i + 1]?.subject),
    ),
  /** "swapped an aloe for two gasterias". */
  receivedfor: (items, at) => {
    const swap = items.findIndex((item, i) => i > at && value(item, "prep") === "for");
    return swap > at + 1 && items.slice(swap).some(plant) && items.slice(at, swap).some(plant);
  },
  /** "brought me two lithops", "brought two lithops from the swap meet": from people, and in no direction. */
  received: (items, at) => {
    const rest = behind(items, at);
    if (!rest.some(plant) || rest.some((item) => is(item, "direction") && value(item, "prep") === undefined))
      return false;
    return is(rest[0], "objectself") || rest.some((item, i) => value(item, "prep") === "from" && i > 0);
  },
  /** "won best Gasteria", "won first prize": nothing was brought home but honour. */
  noprize: (items) => !has(items, "prize"),
  /** No place of ours is named. */
  elsewhere: (items) => !has(items, "place"),
  toperson: (items, at) =>
    behind(items, at).some(plant) &&
    items.some(
      (item, i) =>
        i > at &&
        value(item, "prep") === "to" &&
        (is(items[i + 1], "kin") || is(items[i + 1], "member") || is(items[i + 1], "recipient")),
    ),
  /** Seedlings into pots of their own. */
  pricking: (items) => has(items, "seedling") && items.some(plant) && has(items, "pricking"),
  cause: (items, at) =>
    behind(items, at).some(plant) &&
    items.slice(0, at).some((item) => is(item, "cause") || is(item, "pest") || value(item, "seen") === "rot"),
};
