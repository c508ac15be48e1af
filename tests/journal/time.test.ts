import fc from "fast-check";
import { Temporal } from "temporal-polyfill";
import { describe, expect, test } from "vitest";
import { dayOf, daysBetween, instantsOf, localMinute } from "../../bot/journal/time.js";
import { canonicalReading, fahrenheit, toCelsius, UnitError } from "../../bot/journal/units.js";
import { day, nearness, nightOf, number, when } from "../../bot/messenger/replies/en/figures.js";

/** Zones with whole, half and odd changes of clocks, at midnight and at two, and one that skipped a day. */
const ZONES = [
  "Europe/Warsaw",
  "America/New_York",
  "Australia/Lord_Howe",
  "Australia/Hobart",
  "America/Santiago",
  "Africa/Cairo",
  "Asia/Kathmandu",
  "Pacific/Apia",
  "UTC",
];
const anyZone = fc.constantFrom(...ZONES);
const anyDate = fc
  .integer({ min: 0, max: 365 * 20 })
  .map((days) => Temporal.PlainDate.from("2015-01-01").add({ days }));
const anyMinute = fc
  .tuple(anyDate, fc.integer({ min: 0, max: 24 * 60 - 1 }))
  .map(([date, minute]) => date.toPlainDateTime({ hour: Math.floor(minute / 60), minute: minute % 60 }));
const text = (local: Temporal.PlainDateTime) => local.toString({ smallestUnit: "minute" });

describe("instants of a local range", () => {
  test("a day begins where the one before ends, whatever the clocks do", () => {
    fc.assert(
      fc.property(anyDate, anyZone, (date, zone) => {
        const range = (of: Temporal.PlainDate) =>
          instantsOf(
            {
              from: text(of.toPlainDateTime()),
              to: text(of.add({ days: 1 }).toPlainDateTime()),
              grain: "day",
            },
            zone,
          );
        const [first, next] = [range(date), range(date.add({ days: 1 }))];
        // Where midnight comes twice, the evening before reaches over it: nothing falls between.
        expect(Temporal.Instant.compare(first.to, next.from)).toBeGreaterThanOrEqual(0);
        expect(Temporal.Instant.compare(first.from, first.to)).toBeLessThanOrEqual(0);
      }),
    );
  });

  test("a moment comes back as it was, or as the first one after a gap", () => {
    fc.assert(
      fc.property(anyMinute, anyZone, (local, zone) => {
        const when = { from: text(local), to: text(local), grain: "moment" } as const;
        const { from, to } = instantsOf(when, zone);
        expect(to.equals(from)).toBe(true);
        expect(localMinute(from, zone) >= when.from).toBe(true);
        const there = Temporal.PlainDateTime.from(localMinute(from, zone));
        const gap = local.until(there).total("minutes");
        expect(gap === 0 || gap <= 24 * 60).toBe(true);
      }),
    );
  });

  test.each([
    ["Europe/Warsaw", "2027-03-28", 23],
    ["Europe/Warsaw", "2027-10-31", 25],
    ["Australia/Lord_Howe", "2027-10-03", 23.5],
    ["Australia/Lord_Howe", "2027-04-04", 24.5],
    ["Europe/Warsaw", "2028-02-29", 24],
  ])("in %s the day of %s has %d hours", (zone, date, hours) => {
    const next = Temporal.PlainDate.from(date).add({ days: 1 }).toString();
    const { from, to } = instantsOf({ from: `${date}T00:00`, to: `${next}T00:00`, grain: "day" }, zone);
    expect(to.since(from).total("hours")).toBe(hours);
  });

  test("what ends in an hour that comes twice ends with the second", () => {
    const night = { from: "2027-10-30T18:00", to: "2027-10-31T02:30", grain: "night" } as const;
    const { from, to } = instantsOf(night, "Europe/Warsaw");
    expect(to.toString()).toBe("2027-10-31T01:30:00Z");
    expect(to.since(from).total("hours")).toBe(9.5);
  });

  test("days are counted by the calendar", () => {
    fc.assert(
      fc.property(anyDate, fc.integer({ min: 0, max: 800 }), anyZone, (date, days, zone) => {
        const noon = (of: Temporal.PlainDate) => of.toZonedDateTime({ timeZone: zone, plainTime: "12:00" });
        const later = date.add({ days });
        fc.pre(noon(later).toPlainDate().equals(later) && noon(date).toPlainDate().equals(date));
        expect(daysBetween(noon(date).toInstant(), noon(later).toInstant(), zone)).toBe(days);
      }),
    );
  });

  test("what took a range is of its last day", () => {
    const { from, to } = instantsOf(
      { from: "2027-01-16T00:00", to: "2027-01-18T00:00", grain: "day" },
      "Europe/Warsaw",
    );
    expect(dayOf(from, to, "Europe/Warsaw").toString()).toBe("2027-01-17");
    expect(dayOf(from, from, "Europe/Warsaw").toString()).toBe("2027-01-16");
  });
});

describe("dates in words", () => {
  const today = Temporal.PlainDate.from("2027-01-15");
  test("say near and exact", () => {
    fc.assert(
      fc.property(anyDate, (date) => {
        const said = day(date, today);
        const days = today.until(date, { largestUnit: "day" }).days;
        if (Math.abs(days) <= 1) expect(said).toBe(nearness(date, today));
        else
          expect(said).toMatch(
            new RegExp(`^(Mon|Tue|Wed|Thu|Fri|Sat|Sun) ${date.day} [A-Z][a-z]{2}( \\d{4})?, `),
          );
        expect(said.includes(`${Math.abs(days)} days`)).toBe(Math.abs(days) > 1);
      }),
    );
  });
  test.each([
    ["2027-01-14", "2027-01-15", "night of 14 to 15 Jan"],
    ["2026-12-31", "2027-01-01", "night of 31 Dec to 1 Jan"],
    ["2024-02-28", "2024-02-29", "night of 28 to 29 Feb 2024"],
  ])("the night of %s", (from, to, said) => {
    expect(nightOf(Temporal.PlainDate.from(from), Temporal.PlainDate.from(to), today)).toBe(said);
  });
  test.each([
    ["2027-01-15T06:00", "2027-01-15T12:00", "part", "this morning"],
    ["2027-01-14T18:00", "2027-01-15T00:00", "part", "yesterday evening"],
    ["2027-01-16T00:00", "2027-01-18T00:00", "day", "Sat 16 Jan to Sun 17 Jan"],
    ["2027-01-11T00:00", "2027-01-18T00:00", "week", "week of Mon 11 Jan to Sun 17 Jan"],
    ["2026-12-01T00:00", "2027-01-01T00:00", "month", "December 2026"],
    ["2027-01-15T07:40", "2027-01-15T07:40", "moment", "07:40 today"],
  ] as const)("%s to %s", (from, to, grain, said) => {
    const now = Temporal.Instant.from("2027-01-15T08:00:00Z");
    expect(when({ from, to, grain }, { units: "metric", zone: "Europe/Warsaw", now })).toBe(said);
  });
});

describe("numbers", () => {
  test("keep no minus before nought, and one sign", () => {
    fc.assert(
      fc.property(fc.double({ min: -500, max: 500, noNaN: true }), (value) => {
        const said = number(value);
        expect(said).toMatch(/^−?\d+(\.\d)?$/);
        expect(said).not.toBe("−0");
      }),
    );
  });
  test("a temperature comes back from °F", () => {
    fc.assert(
      fc.property(fc.double({ min: -60, max: 60, noNaN: true }), (celsius) => {
        expect(toCelsius({ value: fahrenheit(celsius), unit: "[degF]" })).toBeCloseTo(celsius, 9);
      }),
    );
  });
  test("a unit of something else is refused", () => {
    expect(() => canonicalReading({ value: 1, unit: "mL" })).toThrow(UnitError);
  });
});
