import { Temporal } from "temporal-polyfill";
import type { Circumstances, KnownPlace, KnownPlant, Standing } from "./answers.js";
import type { InGroup } from "./coverage.js";
import { type FoundRules, ruleAt } from "./lookup.js";
import { applyOwnRules, type CareNow, ownRulesFor } from "./own-rules.js";
import { type PlaceSeason, placeSeason } from "./place-season.js";

export function placeNamed(name: string | null | undefined, circumstances: Circumstances): KnownPlace | null {
  if (name == null) return null;
  const wanted = name.toLowerCase();
  return circumstances.places.find((place) => place.name.toLowerCase() === wanted) ?? null;
}

/** Season of a place today; without a place that of the household's latitude. */
export function seasonIn(place: KnownPlace | null, circumstances: Circumstances): PlaceSeason {
  const { date, hemisphere, latitude } = circumstances;
  return placeSeason(date, { ...(place ?? {}), latitude: place?.latitude ?? latitude ?? null }, hemisphere);
}

/** What holds for a plant at a place's season, with the group's own rules over it. */
export function careFor(
  found: FoundRules,
  at: Pick<PlaceSeason, "season" | "since" | "left">,
  plant: KnownPlant,
  circumstances: Circumstances,
  inGroup: InGroup,
): CareNow {
  return applyOwnRules(
    ruleAt(found.rules, at),
    ownRulesFor(plant, at.season, circumstances.ownRules, inGroup),
  );
}

/**
 * How plants of one taxon in one place stand with their water today. The one that has waited longest counts; a plant
 * whose rest without water has just ended waits from the end of its rest.
 */
export function standingOf(
  plants: readonly KnownPlant[],
  care: CareNow,
  place: KnownPlace | null,
  placeName: string | null,
  date: Temporal.PlainDate,
): Standing {
  const longest = plants
    .filter((plant) => plant.lastWatered !== null)
    .sort((a, b) =>
      Temporal.PlainDate.compare(a.lastWatered as Temporal.PlainDate, b.lastWatered as Temporal.PlainDate),
    )[0];
  const lastWatered = longest?.lastWatered ?? null;
  const daysAgo = lastWatered === null ? null : lastWatered.until(date, { largestUnit: "day" }).days;
  const coldest = place?.coldestC ?? null;
  const standing = { plants, place: placeName, lastWatered, by: longest?.lastWateredBy ?? null, daysAgo };
  const state = stateOf(care, daysAgo, coldest);
  const floor = place?.floorC ?? null;
  return {
    ...standing,
    state,
    mode: care.mode,
    coldestC: state === "too cold" ? coldest : null,
    floorTooLowC: floor !== null && floor < care.least.dry ? floor : null,
  };
}

function stateOf(care: CareNow, daysAgo: number | null, coldest: number | null): Standing["state"] {
  if (care.mode === "none" || care.days === null) return "keep dry";
  if (daysAgo === null) return "never noted";
  const waited = Math.min(daysAgo, care.restEndedDaysAgo ?? daysAgo);
  const [lo, hi] = care.days;
  if (waited < lo) return "not yet";
  if (coldest !== null && coldest < care.least.moist) return "too cold";
  return waited <= hi ? "due" : "overdue";
}

/** Plants by the place they stand in, in the order of the plants. */
export function byPlace(plants: readonly KnownPlant[]): Map<string | null, KnownPlant[]> {
  const groups = new Map<string | null, KnownPlant[]>();
  for (const plant of plants) {
    const held = groups.get(plant.place);
    if (held) held.push(plant);
    else groups.set(plant.place, [plant]);
  }
  return groups;
}
