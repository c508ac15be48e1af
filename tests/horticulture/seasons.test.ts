import fc from "fast-check";
import { Temporal } from "temporal-polyfill";
import { describe, expect, test } from "vitest";
import { monthSpans, turnMonthWords } from "../../bot/horticulture/months.js";
import {
  hemisphereOf,
  northernDay,
  seasonOfDay,
  seasonOn,
  turnMonths,
  withinSeason,
  wrapDay,
} from "../../bot/horticulture/seasons.js";
import { windowOn } from "../../bot/horticulture/windows.js";

const day = (iso: string) => Temporal.PlainDate.from(iso);
const anyDate = fc
  .record({
    year: fc.integer({ min: 2020, max: 2040 }),
    month: fc.integer({ min: 1, max: 12 }),
    day: fc.integer({ min: 1, max: 31 }),
  })
  .map((fields) => Temporal.PlainDate.from(fields, { overflow: "constrain" }));

describe("meteorological seasons", () => {
  // NOAA NCEI, as quoted by timeanddate.com and abc27: seasons are whole months
  test.each([
    ["2027-02-28", "winter", "summer"],
    ["2028-02-29", "winter", "summer"],
    ["2027-03-01", "spring", "autumn"],
    ["2027-05-31", "spring", "autumn"],
    ["2027-06-01", "summer", "winter"],
    ["2027-11-30", "autumn", "spring"],
    ["2027-12-01", "winter", "summer"],
    ["2027-01-01", "winter", "summer"],
  ])("%s is %s in the north, %s in the south", (iso, north, south) => {
    expect(seasonOn(day(iso), "north")).toBe(north);
    expect(seasonOn(day(iso), "south")).toBe(south);
  });

  test("the northern day tells the same season as the date, in both hemispheres", () => {
    fc.assert(
      fc.property(anyDate, fc.constantFrom("north" as const, "south" as const), (date, hemisphere) => {
        expect(seasonOfDay(northernDay(date, hemisphere))).toBe(seasonOn(date, hemisphere));
      }),
    );
  });

  test("a northern day never runs back from one date to the next within a year", () => {
    fc.assert(
      fc.property(anyDate, (date) => {
        const turned = northernDay(date.add({ days: 1 }), "south") - northernDay(date, "south");
        expect(wrapDay(turned)).toBeLessThanOrEqual(4);
      }),
    );
  });

  test("counts the days within a season", () => {
    expect(withinSeason(59)).toEqual({ season: "spring", since: 0, left: 92 });
    expect(withinSeason(58)).toEqual({ season: "winter", since: 89, left: 1 });
    expect(withinSeason(0)).toEqual({ season: "winter", since: 31, left: 59 });
  });

  test.each([
    [53.4, "north"],
    [-33.9, "south"],
    [0, "north"],
    [null, "north"],
  ] as const)("latitude %s lies %s", (latitude, hemisphere) => {
    expect(hemisphereOf(latitude)).toBe(hemisphere);
  });
});

describe("months", () => {
  test("turn by half a year and back", () => {
    expect(turnMonths([1, 2, 3], "south")).toEqual([7, 8, 9]);
    expect(turnMonths([11, 12, 1], "south")).toEqual([5, 6, 7]);
    expect(turnMonths(turnMonths([1, 6, 7, 12], "south"), "south")).toEqual([1, 6, 7, 12]);
  });

  test.each([
    [[1, 2, 3], [[1, 3]]],
    [[11, 12, 1, 2], [[11, 2]]],
    [
      [2, 9],
      [
        [2, 2],
        [9, 9],
      ],
    ],
    [[1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12], [[1, 12]]],
    [[], []],
  ])("%j are the spans %j", (months, spans) => {
    expect(monthSpans(months)).toEqual(spans);
  });

  test.each([
    ["repot dry, late January to March", "repot dry, late July to September"],
    ["last water in Oct, none till Mar.", "last water in Apr, none till Sep."],
    ["leaves may fall; they march on", "leaves may fall; they march on"],
    ["sow in May", "sow in November"],
  ])("%s reads %s in the south", (north, south) => {
    expect(turnMonthWords(north, "south")).toBe(south);
    expect(turnMonthWords(north, "north")).toBe(north);
  });

  test.each([
    ["2027-02-10", [1, 2, 3], "north", { open: true, opens: null }],
    ["2027-10-05", [1, 2, 3], "north", { open: false, opens: "2028-01-01" }],
    ["2027-02-10", [1, 2, 3], "south", { open: false, opens: "2027-07-01" }],
    ["2027-05-31", [4, 9], "north", { open: false, opens: "2027-09-01" }],
    ["2027-05-31", [], "north", { open: false, opens: null }],
  ] as const)("on %s the window %j in the %s is %j", (iso, months, hemisphere, expected) => {
    const window = windowOn(months, day(iso), hemisphere);
    expect({ open: window.open, opens: window.opens?.toString() ?? null }).toEqual(expected);
  });
});
