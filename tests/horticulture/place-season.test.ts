import fc from "fast-check";
import { Temporal } from "temporal-polyfill";
import { describe, expect, test } from "vitest";
import {
  assumedNightMinC,
  MAX_SHIFT_DAYS,
  type PlaceConditions,
  placeSeason,
  seasonAsked,
} from "../../bot/horticulture/place-season.js";
import { YEAR_DAYS } from "../../bot/horticulture/seasons.js";

const day = (iso: string) => Temporal.PlainDate.from(iso);
const BALTIC = 53.4;

describe("season of a place", () => {
  test.each<[string, string, PlaceConditions, string, [number, number]]>([
    // what it is about, date, place, its season, days ahead of the calendar from and to
    [
      "usual: a house as the tables assume",
      "2027-02-10",
      { meanMinC: 6, latitude: BALTIC },
      "winter",
      [-2, 2],
    ],
    ["nothing known: the calendar", "2027-02-10", {}, "winter", [0, 0]],
    [
      "a warm bench wakes in February",
      "2027-02-12",
      { meanMinC: 12.5, latitude: BALTIC },
      "spring",
      [18, 28],
    ],
    [
      "a floor of 12 stands for its nights",
      "2027-02-14",
      { floorC: 12, latitude: BALTIC },
      "spring",
      [18, 28],
    ],
    ["a floor of 5 changes nothing in a usual winter", "2027-02-14", { floorC: 5 }, "winter", [0, 0]],
    [
      "but in mid-January even a warm bench sleeps",
      "2027-01-15",
      { meanMinC: 14, latitude: BALTIC },
      "winter",
      [0, 2],
    ],
    ["a cold spring delays", "2027-03-06", { meanMinC: 3, latitude: BALTIC }, "winter", [-28, -10]],
    [
      "a cold house is still spring in April",
      "2027-04-10",
      { meanMinC: 2, latitude: BALTIC },
      "spring",
      [-28, -15],
    ],
    ["cold nights bring autumn forward", "2027-08-25", { meanMinC: 9, latitude: BALTIC }, "autumn", [8, 28]],
    ["a warm autumn holds winter off", "2027-12-05", { meanMinC: 13, latitude: BALTIC }, "autumn", [-28, -8]],
    ["the shift is bounded", "2027-03-20", { meanMinC: 40, latitude: BALTIC }, "spring", [28, 28]],
    ["far north, short days hold it back", "2027-02-10", { meanMinC: 13, latitude: 66 }, "winter", [0, 6]],
    ["south: a warm bench in August", "2027-08-12", { meanMinC: 12.5, latitude: -35 }, "spring", [18, 28]],
    ["south: a usual August", "2027-08-12", { meanMinC: 6, latitude: -35 }, "winter", [-3, 3]],
    [
      "one warm night is little evidence",
      "2027-02-12",
      { meanMinC: 12.5, nights: 1, latitude: BALTIC },
      "winter",
      [0, 5],
    ],
  ])("%s (%s)", (_what, iso, conditions, season, [from, to]) => {
    const at = placeSeason(day(iso), conditions);
    expect(at.season).toBe(season);
    expect(at.shiftDays).toBeGreaterThanOrEqual(from);
    expect(at.shiftDays).toBeLessThanOrEqual(to);
  });

  test("says when the light held it back, and what it went by", () => {
    const far = placeSeason(day("2027-02-10"), { meanMinC: 13, latitude: 66 });
    expect(far).toMatchObject({ heldByLight: true, known: "measured" });
    expect(placeSeason(day("2027-02-10"), { floorC: 12 })).toMatchObject({ known: "floor", meanMinC: 12 });
    expect(placeSeason(day("2027-02-10"), { floorC: 2 })).toMatchObject({ known: "assumed" });
  });

  test("wakes a warm bench two to four weeks before a cold house, and both by the end of March", () => {
    const wakes = (conditions: PlaceConditions) => {
      let date = day("2027-01-01");
      while (placeSeason(date, conditions).season !== "spring") date = date.add({ days: 1 });
      return date;
    };
    const warm = wakes({ meanMinC: 12.5, latitude: BALTIC });
    const usual = wakes({ meanMinC: 6.5, latitude: BALTIC });
    const cold = wakes({ meanMinC: 3, latitude: BALTIC });
    expect(warm.until(usual).days).toBeGreaterThanOrEqual(14);
    expect(warm.until(usual).days).toBeLessThanOrEqual(28);
    expect(usual.until(cold).days).toBeGreaterThanOrEqual(7);
    expect(Temporal.PlainDate.compare(cold, day("2027-03-31"))).toBeLessThan(0);
  });

  const dates = fc.integer({ min: 0, max: 730 }).map((days) => day("2027-01-01").add({ days }));
  const nights = fc.double({ min: -15, max: 30, noNaN: true });
  const latitudes = fc.double({ min: -60, max: 60, noNaN: true });

  test("never runs more than four weeks ahead or behind", () => {
    fc.assert(
      fc.property(dates, nights, latitudes, (date, meanMinC, latitude) => {
        const at = placeSeason(date, { meanMinC, latitude });
        expect(Math.abs(at.shiftDays)).toBeLessThanOrEqual(MAX_SHIFT_DAYS);
      }),
    );
  });

  test("is monotone: warmer nights never wake a place later, nor bring autumn earlier", () => {
    fc.assert(
      fc.property(dates, nights, nights, latitudes, (date, a, b, latitude) => {
        const cold = placeSeason(date, { meanMinC: Math.min(a, b), latitude });
        const warm = placeSeason(date, { meanMinC: Math.max(a, b), latitude });
        const northern = latitude < 0 ? date.add({ months: 6 }) : date;
        const warming = northern.dayOfYear > 16 && northern.dayOfYear < 195;
        const cooling = northern.dayOfYear > 200 || northern.dayOfYear < 10;
        if (warming) expect(warm.shiftDays).toBeGreaterThanOrEqual(cold.shiftDays);
        if (cooling) expect(warm.shiftDays).toBeLessThanOrEqual(cold.shiftDays);
      }),
    );
  });

  test("a place with steady nights never runs backwards", () => {
    fc.assert(
      fc.property(dates, nights, latitudes, (date, meanMinC, latitude) => {
        const today = placeSeason(date, { meanMinC, latitude }).day;
        const tomorrow = placeSeason(date.add({ days: 1 }), { meanMinC, latitude }).day;
        const step = ((tomorrow - today + YEAR_DAYS + 180) % YEAR_DAYS) - 180;
        expect(step).toBeGreaterThanOrEqual(-1);
        expect(step).toBeLessThanOrEqual(6);
      }),
    );
  });

  test("north and south mirror each other", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 28 }),
        fc.integer({ min: 1, max: 12 }),
        nights,
        (dayOfMonth, month, meanMinC) => {
          const date = Temporal.PlainDate.from({ year: 2027, month, day: dayOfMonth });
          const north = placeSeason(date, { meanMinC }, "north");
          const south = placeSeason(date.add({ months: 6 }), { meanMinC }, "south");
          expect(south).toEqual(north);
        },
      ),
    );
  });

  test("the assumed nights run smoothly over the year", () => {
    for (let at = 0; at < YEAR_DAYS; at++) {
      expect(Math.abs(assumedNightMinC(at + 1) - assumedNightMinC(at))).toBeLessThan(0.11);
    }
  });

  test("a season asked for by name is its middle, wherever the plants stand", () => {
    expect(seasonAsked("winter")).toMatchObject({ season: "winter", calendar: "winter", shiftDays: 0 });
    expect(seasonAsked("winter").since).toBeGreaterThan(20);
    expect(seasonAsked("winter").left).toBeGreaterThan(20);
  });
});
