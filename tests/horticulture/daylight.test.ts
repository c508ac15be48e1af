import { Temporal } from "temporal-polyfill";
import { describe, expect, test } from "vitest";
import {
  daylightHours,
  inverseDistance,
  SUNRISE_ALTITUDE,
  solarDeclination,
  sunriseToSunsetHours,
  sunsetHourAngle,
} from "../../bot/horticulture/daylight.js";

const dayOfYear = (iso: string) => Temporal.PlainDate.from(iso).dayOfYear;

describe("daylight after FAO-56", () => {
  // FAO Irrigation & Drainage Paper 56 (Allen et al. 1998), examples 8 and 9: 3 September, 20° south
  test("follows the worked example step by step", () => {
    const declination = solarDeclination(246);
    expect(declination).toBeCloseTo(0.12, 2);
    expect(inverseDistance(246)).toBeCloseTo(0.985, 3);
    expect(sunsetHourAngle(-20, declination)).toBeCloseTo(1.527, 3);
    expect(daylightHours(-20, 246)).toBeCloseTo(11.7, 1);
  });

  test.each([
    // Harwell 2012, USGS SIR 2012-5202, example 2.3: 15 April 2020, 30° north
    [30, dayOfYear("2020-04-15"), 12.7, 0.1],
    // FAO-56 eq. 34 against astronomy-engine 2.1.19: 21 June, 50° north
    [50, 172, 16.15, 0.03],
    // FAO-56 eq. 34 at the sites of the almanac table below
    [51.5, dayOfYear("2026-12-21"), 7.6, 0.02],
    [55.95, dayOfYear("2026-12-21"), 6.68, 0.02],
    [-33.87, dayOfYear("2026-12-21"), 14.26, 0.02],
    [-33.87, dayOfYear("2026-06-21"), 9.74, 0.02],
    [0, dayOfYear("2026-06-21"), 12, 0.01],
    [64.15, dayOfYear("2026-12-21"), 3.54, 0.02],
    // beyond the circle the formula knows only night and day
    [69.65, dayOfYear("2026-01-15"), 0, 0.001],
    [69.65, dayOfYear("2026-06-21"), 24, 0.001],
    [-69.65, dayOfYear("2026-06-21"), 0, 0.001],
  ])("at latitude %s on day %s: %s h", (latitude, day, hours, tolerance) => {
    expect(Math.abs(daylightHours(latitude, day) - hours)).toBeLessThanOrEqual(tolerance);
  });
});

describe("sunrise to sunset as almanacs print it", () => {
  test.each([
    // astronomy-engine 2.1.19 (npm), upper limb with refraction
    ["London", 51.5, "2026-12-21", 7.83],
    ["Edinburgh", 55.95, "2026-12-21", 6.96],
    ["Sydney", -33.87, "2026-12-21", 14.41],
    ["Sydney", -33.87, "2026-06-21", 9.9],
    ["the equator", 0, "2026-06-21", 12.12],
    ["Reykjavik", 64.15, "2026-12-21", 4.12],
    ["50° north", 50, "2026-06-21", 16.37],
  ])("in %s (%s) on %s: %s h", (_site, latitude, iso, hours) => {
    expect(Math.abs(sunriseToSunsetHours(latitude, dayOfYear(iso)) - hours)).toBeLessThanOrEqual(0.03);
  });

  // US Naval Observatory convention: centre of the sun 50 arc minutes under the horizon
  test("takes the sun's centre at 50 arc minutes under the horizon", () => {
    expect(SUNRISE_ALTITUDE).toBeCloseTo(-0.8333, 4);
  });

  // about 7 minutes at the equator, 10 at 50° (USNO; Almerja physics answers)
  test.each([
    [0, 6.5],
    [50, 9.8],
  ])("is longer than 12 h at the equinox at latitude %s by %s minutes", (latitude, minutes) => {
    const day = dayOfYear("2026-03-20");
    const centre = (24 / Math.PI) * sunsetHourAngle(latitude, 0);
    const limb = (24 / Math.PI) * sunsetHourAngle(latitude, 0, SUNRISE_ALTITUDE);
    expect(Math.abs(60 * (limb - centre) - minutes)).toBeLessThanOrEqual(0.6);
    expect(sunriseToSunsetHours(latitude, day)).toBeGreaterThan(12);
  });
});
