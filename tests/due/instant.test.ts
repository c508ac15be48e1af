import fc from "fast-check";
import { Temporal } from "temporal-polyfill";
import { describe, expect, test } from "vitest";
import { morningInstant } from "../../bot/nudges/due-instant.js";
import { day } from "./support.js";

describe("the instant of a wall-clock time", () => {
  test.each([
    ["an ordinary morning", "2028-01-15", "07:30", "Europe/Warsaw", "2028-01-15T06:30:00Z"],
    [
      "in the gap, the first instant after it",
      "2028-03-26",
      "02:30",
      "Europe/Warsaw",
      "2028-03-26T01:00:00Z",
    ],
    ["at the gap's first minute", "2028-03-26", "02:00", "Europe/Warsaw", "2028-03-26T01:00:00Z"],
    ["just before the gap", "2028-03-26", "01:59", "Europe/Warsaw", "2028-03-26T00:59:00Z"],
    ["in the overlap, the first of the two", "2028-10-29", "02:30", "Europe/Warsaw", "2028-10-29T00:30:00Z"],
    ["an American gap", "2028-03-12", "02:15", "America/New_York", "2028-03-12T07:00:00Z"],
    ["an American overlap", "2028-11-05", "01:15", "America/New_York", "2028-11-05T05:15:00Z"],
    ["an Australian gap", "2028-10-01", "02:45", "Australia/Melbourne", "2028-09-30T16:00:00Z"],
    ["an Australian overlap", "2028-04-02", "02:45", "Australia/Melbourne", "2028-04-01T15:45:00Z"],
    ["half an hour's gap", "2028-10-01", "02:10", "Australia/Lord_Howe", "2028-09-30T15:30:00Z"],
    ["half an hour's overlap", "2028-04-02", "01:45", "Australia/Lord_Howe", "2028-04-01T14:45:00Z"],
    ["a day that was left out", "2011-12-30", "07:30", "Pacific/Apia", "2011-12-30T10:00:00Z"],
  ])("%s", (_, date, time, zone, instant) => {
    expect(morningInstant(day(date), time, zone).toString()).toBe(instant);
  });

  test.each([
    "Europe/Warsaw",
    "Europe/London",
    "America/New_York",
    "America/Los_Angeles",
    "Australia/Melbourne",
    "Australia/Lord_Howe",
    "Asia/Kolkata",
    "UTC",
  ])("every day of a leap year has exactly one, at the right local time, in %s", (zone) => {
    for (const time of ["07:30", "02:30", "01:45", "00:00", "23:59"]) {
      let before: Temporal.Instant | null = null;
      for (let on = day("2028-01-01"); on.year === 2028; on = on.add({ days: 1 })) {
        const instant = morningInstant(on, time, zone);
        const local = instant.toZonedDateTimeISO(zone);
        expect(local.toPlainDate().equals(on)).toBe(true);
        const wanted = Temporal.PlainTime.from(time);
        const shift = local.toPlainTime().since(wanted).total("minutes");
        // Later than told only where the wall clock leaps over it.
        if (shift !== 0) {
          expect(shift).toBeGreaterThan(0);
          expect(shift).toBeLessThanOrEqual(60);
          expect(local.subtract({ nanoseconds: 1 }).offset).not.toBe(local.offset);
        }
        if (before) expect(Temporal.Instant.compare(instant, before)).toBe(1);
        before = instant;
      }
    }
  });

  test("is the earliest instant that is not before the wall-clock time", () => {
    const zones = fc.constantFrom("Europe/Berlin", "America/Chicago", "Australia/Lord_Howe", "Asia/Tehran");
    const minutes = fc.integer({ min: 0, max: 1439 });
    fc.assert(
      fc.property(zones, minutes, fc.integer({ min: 0, max: 3650 }), (zone, minute, days) => {
        const on = day("2020-01-01").add({ days });
        const time = new Temporal.PlainTime(Math.floor(minute / 60), minute % 60);
        const instant = morningInstant(on, time.toString(), zone);
        const local = instant.toZonedDateTimeISO(zone).toPlainDateTime();
        expect(Temporal.PlainDateTime.compare(local, on.toPlainDateTime(time))).toBeGreaterThanOrEqual(0);
        const minuteBefore = instant.subtract({ minutes: 1 }).toZonedDateTimeISO(zone).toPlainDateTime();
        expect(Temporal.PlainDateTime.compare(minuteBefore, on.toPlainDateTime(time))).toBeLessThan(0);
      }),
      { numRuns: 2000 },
    );
  });
});
