import fc from "fast-check";
import { Temporal } from "temporal-polyfill";
import { describe, expect, test } from "vitest";
import { spotOf, zoneNamed } from "../../bot/journal/gazetteer.js";

describe("where the glasshouse is", () => {
  test.each([
    ["Gdansk", "Europe/Warsaw", 54.4, 18.7],
    ["Gdańsk", "Europe/Warsaw", 54.4, 18.7],
    ["gdansk, poland", "Europe/Warsaw", 54.4, 18.7],
    ["Hobart", "Australia/Hobart", -42.9, 147.3],
    ["Portland, Maine", "America/New_York", 43.7, -70.3],
    ["Portland Maine", "America/New_York", 43.7, -70.3],
    ["Portland, Oregon", "America/Los_Angeles", 45.5, -122.7],
    ["54.35, 18.65", "Europe/Warsaw", 54.4, 18.7],
    ["54.35 N 18.65 E", "Europe/Warsaw", 54.4, 18.7],
    ["42.9 S, 147.3 E", "Australia/Hobart", -42.9, 147.3],
    ["33.9 S 18.4 E", "Africa/Johannesburg", -33.9, 18.4],
  ])("%s", (words, zone, latitude, longitude) => {
    const spot = spotOf(words);
    expect(spot?.zone).toBe(zone);
    expect(spot?.latitude).toBeCloseTo(latitude, 0);
    expect(spot?.longitude).toBeCloseTo(longitude, 0);
  });

  test.each(["", "  ", ",", "Nowhereville", "95 N 18 E", "54, 200", "Portland, Poland", "the greenhouse"])(
    "nothing is called “%s”",
    (words) => expect(spotOf(words)).toBeNull(),
  );

  test("coordinates come back, with a zone that exists", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -8999, max: 8999 }),
        fc.integer({ min: -17999, max: 17999 }),
        fc.boolean(),
        (north, east, lettered) => {
          const [latitude, longitude] = [north / 100, east / 100];
          const words = lettered
            ? `${Math.abs(latitude)} ${latitude < 0 ? "S" : "N"}, ${Math.abs(longitude)} ${longitude < 0 ? "W" : "E"}`
            : `${latitude}, ${longitude}`;
          const spot = spotOf(words);
          expect(spot?.latitude).toBeCloseTo(latitude, 9);
          expect(spot?.longitude).toBeCloseTo(longitude, 9);
          expect(() =>
            Temporal.Instant.fromEpochMilliseconds(0).toZonedDateTimeISO(spot?.zone ?? ""),
          ).not.toThrow();
        },
      ),
      { numRuns: 200 },
    );
  });

  test("any words give a spot or none", () => {
    fc.assert(
      fc.property(fc.string(), (words) => spotOf(words) === null || (spotOf(words)?.zone ?? "") !== ""),
    );
  });
});

test.each([
  ["europe/warsaw", "Europe/Warsaw"],
  ["America/New York", "America/New_York"],
  ["UTC", "UTC"],
  ["Mars/Base", null],
  ["half past seven", null],
  ["", null],
])("the zone “%s”", (words, zone) => expect(zoneNamed(words)).toBe(zone));
