import { Temporal } from "temporal-polyfill";
import { turnMonth, YEAR_DAYS } from "../seasons.js";
import { dateOf, epochDay, isBefore } from "./days.js";
import type { FrostBand, TaskView } from "./task-types.js";

/** Taken where no latitude was told: the tables are written for it. */
const ASSUMED_LATITUDE = 52;
/** Measured autumns that go before the band's date. */
const AUTUMNS_TRUSTED = 2;

/** First frost of the autumn and last one of the spring that belong to the cold season nearest to a day. */
export interface FrostDates {
  first: Temporal.PlainDate;
  last: Temporal.PlainDate;
  /** Where the first one comes from. */
  known: "measured" | "latitude";
}

type Measured = Pick<TaskView, "latitude" | "frostDays" | "setting">;

/**
 * Frost dates around a day; null in latitudes that are taken as free of frost, unless frost was measured.
 * The household's own readings go before the latitude once they hold two autumns, and at once if they are earlier.
 */
export function frostDates(view: Measured, bands: readonly FrostBand[]): FrostDates | null {
  const { date, hemisphere } = view.setting;
  const latitude = Math.abs(view.latitude ?? ASSUMED_LATITUDE);
  const band = bands.find(({ from, to }) => latitude >= from && latitude < to);
  // The cold season that a day belongs to begins in its July (January in the south).
  const opens = turnMonth(7, hemisphere);
  const year = date.month >= opens ? date.year : date.year - 1;
  const seasonStart = Temporal.PlainDate.from({ year, month: opens, day: 1 });
  const inSeason = ({ month, day }: { month: number; day: number }) => {
    const turned = turnMonth(month, hemisphere);
    const of = turned >= opens ? year : year + 1;
    return Temporal.PlainDate.from({ year: of, month: turned, day });
  };
  const measured = firstFrosts(view.frostDays, seasonStart);
  if (!band && measured.length === 0) return null;
  const byBand = band ? inSeason(band.firstFrost) : null;
  const earliest = measured.reduce<Temporal.PlainDate | null>(
    (a, b) => (a === null || isBefore(b, a) ? b : a),
    null,
  );
  const ownFirst =
    earliest !== null &&
    (byBand === null || isBefore(earliest, byBand) || measured.length >= AUTUMNS_TRUSTED);
  const last = band ? inSeason(band.lastFrost) : seasonStart.add({ months: 9 });
  return {
    first: ownFirst ? (earliest as Temporal.PlainDate) : (byBand as Temporal.PlainDate),
    last,
    known: ownFirst ? "measured" : "latitude",
  };
}

/** Days from the start of a cold season within which a frost is one of its autumn. */
const AUTUMN_DAYS = 184;

/** First frost of each earlier cold season, as the day of the present one. */
function firstFrosts(
  days: readonly Temporal.PlainDate[],
  seasonStart: Temporal.PlainDate,
): Temporal.PlainDate[] {
  const start = epochDay(seasonStart);
  const firsts = new Map<number, number>();
  for (const day of days) {
    const ago = start - epochDay(day);
    if (ago <= 0) continue;
    const years = Math.ceil(ago / YEAR_DAYS);
    const into = years * YEAR_DAYS - ago;
    // A frost of the spring is no first frost.
    if (into > AUTUMN_DAYS) continue;
    firsts.set(years, Math.min(into, firsts.get(years) ?? AUTUMN_DAYS));
  }
  return [...firsts.values()].map((into) => dateOf(start + into));
}
