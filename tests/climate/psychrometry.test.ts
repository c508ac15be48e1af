import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  dayDeficitKPa,
  dewPointC,
  frostPointC,
  meanSaturationKPa,
  psychrometerKPa,
  relativeHumidity,
  saturationVapourPressureKPa,
  vapourPressureDeficitKPa,
  vapourPressureKPa,
} from "../../bot/horticulture/climate/psychrometry.js";

const FAO = "Allen et al. 1998, FAO Irrigation and Drainage Paper 56";
const PSYCHROLIB = "psychrolib 1.1.1, after the ASHRAE Handbook of Fundamentals";

describe("saturation vapour pressure", () => {
  test.each([
    [24.5, 3.075, 0.001, `${FAO}, example 3`],
    [1, 0.657, 0.001, `${FAO}, annex 2 table 2.3 (from memory)`],
    [20, 2.338, 0.001, `${FAO}, annex 2 table 2.3 (from memory)`],
    [30, 4.243, 0.001, `${FAO}, annex 2 table 2.3 (from memory)`],
    [5, 0.8726, 0.0009, "encyclopaedia table of vapour pressure of water"],
    [15, 1.7056, 0.0017, "encyclopaedia table of vapour pressure of water"],
    [25, 3.1697, 0.0032, "ASHRAE Handbook of Fundamentals 2017, ch. 1 table 3"],
  ])("at %d °C is %d kPa", (celsius, kPa, within) => {
    expect(Math.abs(saturationVapourPressureKPa(celsius) - kPa)).toBeLessThanOrEqual(within);
  });
  test(`of a day is the mean of both extremes (${FAO}, example 3)`, () => {
    expect(meanSaturationKPa(15, 24.5)).toBeCloseTo(2.39, 2);
    expect(saturationVapourPressureKPa(19.75)).toBeCloseTo(2.3, 2);
  });
});

describe("vapour pressure and deficit", () => {
  test(`from the extremes (${FAO}, example 5)`, () => {
    expect(vapourPressureKPa(18, 25, 82, 54)).toBeCloseTo(1.7, 2);
  });
  test(`of a day at Uccle (${FAO}, example 18)`, () => {
    expect(meanSaturationKPa(12.3, 21.5)).toBeCloseTo(1.997, 2);
    expect(Math.abs(dayDeficitKPa(12.3, 21.5, 84, 63) - 0.589)).toBeLessThan(0.002);
  });
  test(`from a psychrometer (${FAO}, example 4)`, () => {
    expect(psychrometerKPa(25.6, 19.5, 87.9)).toBeCloseTo(1.91, 2);
    expect(() => psychrometerKPa(19, 20)).toThrow(RangeError);
  });
  test.each([
    [10, 80, 0.246],
    [10, 90, 0.123],
    [30, 40, 2.548],
  ])(`at %d °C and %d %% is %d kPa (${PSYCHROLIB})`, (celsius, rh, kPa) => {
    expect(Math.abs(vapourPressureDeficitKPa(celsius, rh) - kPa)).toBeLessThan(0.005);
  });
});

describe("dew point", () => {
  test.each([
    [20, 50, 9.27],
    [10, 90, 8.44],
    [5, 95, 4.27],
    [8, 85, 5.64],
  ])(`at %d °C and %d %% is %d °C (${PSYCHROLIB})`, (celsius, rh, dew) => {
    expect(Math.abs(dewPointC(celsius, rh) - dew)).toBeLessThan(0.1);
  });
  test("below zero differs from the frost point (WMO-No. 8, annex 4.B, from memory)", () => {
    expect(frostPointC(5, 60)).toBeCloseTo(-1.9, 1);
    expect(dewPointC(5, 60)).toBeCloseTo(-2.1, 1);
  });
  test("gives the humidity back (MetPy, relative_humidity_from_dewpoint)", () => {
    expect(Math.abs(relativeHumidity(25, 12) - 44.25)).toBeLessThan(0.1);
  });
  test("and humidity undo each other", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -20, max: 45, noNaN: true }),
        fc.double({ min: 1, max: 100, noNaN: true }),
        (celsius, rh) => {
          expect(relativeHumidity(celsius, dewPointC(celsius, rh))).toBeCloseTo(rh, 6);
          expect(dewPointC(celsius, rh)).toBeLessThanOrEqual(celsius + 1e-9);
        },
      ),
    );
  });
  test.each([0, -5, 101, Number.NaN])("has no meaning at %d %%", (rh) => {
    expect(() => dewPointC(10, rh)).toThrow(RangeError);
    expect(() => vapourPressureDeficitKPa(10, rh)).toThrow(RangeError);
  });
});
