import type { Season } from "../care.js";
import type { InGroup } from "../coverage.js";
import { type FoundRules, ruleAt } from "../lookup.js";
import { applyOwnRules, type CareNow, type OwnCareRule, ownRulesFor } from "../own-rules.js";
import { type PlaceSeason, placeSeason } from "../place-season.js";
import { nextSeason, northernDay, seasonBefore, withinSeason } from "../seasons.js";
import { youngDays } from "./pace.js";
import type { DuePlace, DuePlant, DueSetting } from "./types.js";

/** Where a day stands in the year: the season, days since it began and until it ends. */
export interface Standpoint {
  season: Season;
  since: number;
  left: number;
}

/** What a plant stands on: its place, the season the place is in, and the calendar's. */
export interface Ground {
  place: DuePlace | null;
  at: PlaceSeason;
  calendar: Standpoint;
  /** What the table alone says of a taxon here, worked out once. */
  book: Map<FoundRules, CareNow>;
}

const grounds = new WeakMap<DueSetting, Map<string, Ground>>();

/** The ground of a plant; worked out once for each place of a setting. */
export function groundOf(plant: DuePlant, setting: DueSetting): Ground {
  let known = grounds.get(setting);
  if (!known) {
    known = new Map();
    grounds.set(setting, known);
  }
  const name = plant.place ?? setting.defaultPlace ?? "";
  let ground = known.get(name);
  if (!ground) {
    const place = setting.places.get(name) ?? null;
    ground = {
      place,
      at: placeSeason(setting.date, place ?? {}, setting.hemisphere),
      calendar: withinSeason(northernDay(setting.date, setting.hemisphere)),
      book: new Map(),
    };
    known.set(name, ground);
  }
  return ground;
}

/**
 * What a plant wants on its ground. A rest without water is kept as soon as place or calendar is in it and until both
 * are out of it: a warm bench does not start desert cacti in February, a cold house holds them back into March
 * (common practice; the books say early March for a house held at 10 °C). An interval of the household's own goes
 * before that.
 */
export function careOn(
  found: FoundRules,
  plant: DuePlant,
  ground: Ground,
  setting: DueSetting,
  inGroup: InGroup,
): CareNow {
  const own =
    setting.ownRules.length === 0 ? [] : ownRulesFor(plant, ground.at.season, setting.ownRules, inGroup);
  let kept = own.length === 0 ? ground.book.get(found) : undefined;
  if (!kept) {
    kept = keptOn(found, ground, own);
    if (own.length === 0) ground.book.set(found, kept);
  }
  const neverWatered = kept.overrides.some(
    (override) => override.what === "never" && override.act === "water",
  );
  if (!plant.young || neverWatered) return kept;
  return { ...kept, mode: kept.mode === "none" ? "sips" : kept.mode, days: youngDays(kept.days) };
}

function keptOn(found: FoundRules, { at, calendar }: Ground, own: OwnCareRule[]): CareNow {
  const care = applyOwnRules(ruleAt(found.rules, at), own);
  const ownInterval = care.overrides.some((override) => override.what === "interval");
  const dryByCalendar = found.rules[calendar.season].water.mode === "none";
  return !ownInterval && dryByCalendar ? applyOwnRules(ruleAt(found.rules, calendar), own) : care;
}

const SEASON_DAYS: Readonly<Record<Season, number>> = { winter: 90, spring: 92, summer: 92, autumn: 91 };

/** Days since the latest rest without water ended, by place and calendar both; null if the year has none. */
export function restEndedDaysAgo(found: FoundRules, { at, calendar }: Ground): number | null {
  const ends = [at, calendar].map((standpoint) => {
    let ago = standpoint.since;
    let before = seasonBefore(standpoint.season);
    for (let count = 0; count < 3; count++) {
      if (found.rules[before].water.mode === "none") return ago;
      ago += SEASON_DAYS[before];
      before = seasonBefore(before);
    }
    return null;
  });
  const known = ends.filter((days) => days !== null);
  return known.length === 0 ? null : Math.min(...known);
}

/** Days until the next season, where that is a rest without water; null otherwise. */
export function daysToRest(found: FoundRules, { at, calendar }: Ground): number | null {
  const ahead = [at, calendar].flatMap(({ season, left }) =>
    found.rules[nextSeason(season)].water.mode === "none" ? [left] : [],
  );
  return ahead.length === 0 ? null : Math.min(...ahead);
}
