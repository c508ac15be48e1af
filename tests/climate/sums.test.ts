import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  gramsPerLFor,
  nutrientMgPerL,
  phosphorus,
  potassium,
  ratioMl,
} from "../../bot/horticulture/climate/dilution.js";
import { germinationRate } from "../../bot/horticulture/climate/germination.js";
import {
  degreeHours,
  driftsToC,
  energyKWh,
  geometryOf,
  holdsDownToC,
  lossCoefficient,
  setPointC,
  storedKWh,
  surfaceC,
  twoCompartments,
  U_VALUES,
} from "../../bot/horticulture/climate/heat.js";
import { parts, roundPotL, squarePotL } from "../../bot/horticulture/climate/pots.js";
import { convertUnits, degreeDaysC, uValueSi } from "../../bot/horticulture/climate/units.js";

const near = (value: number, expected: number, within: number) =>
  expect(Math.abs(value - expected), `${value} against ${expected}`).toBeLessThanOrEqual(within);

describe("heat", () => {
  const house = geometryOf({ length: 3.6, width: 2.4, eaves: 1.5, ridge: 2.2 });
  test("area and volume of a gable house (plane geometry)", () => {
    near(house.areaM2, 29.68, 0.01);
    near(house.volumeM3, 15.98, 0.01);
  });
  test("bubble lining lowers what 2 kW hold (constructed; U-values of G. Hands 2001)", () => {
    const bare = lossCoefficient(house.areaM2, U_VALUES["single glass"], house.volumeM3, 1);
    const lined = lossCoefficient(house.areaM2, U_VALUES["glass with bubble lining"], house.volumeM3, 0.8);
    near(bare, 175.9, 0.1);
    near(lined, 128.9, 0.1);
    near(holdsDownToC(2000, bare, 5), -6.4, 0.1);
    near(holdsDownToC(2000, lined, 5), -10.5, 0.1);
  });
  test("two compartments: the partition cancels in the sum (constructed)", () => {
    const both = twoCompartments({
      warm: { lossWPerK: 70, celsius: 10 },
      cool: { lossWPerK: 110, celsius: 5 },
      partitionWPerK: 24.15,
      outsideC: -4,
    });
    near(both.partitionW, 120.75, 0.01);
    near(both.warmW, 1100.75, 0.01);
    near(both.coolW, 869.25, 0.01);
    near(driftsToC(110, 24.15, 10, -4), -1.48, 0.01);
  });
  test("a day above the set point in the mean still needs heat at night (constructed, sine day)", () => {
    near(degreeHours(0, 12, 5), 34.5, 0.05);
    near(energyKWh(176, 34.5), 6.07, 0.01);
  });
  test("a drum and a slab of stone (constructed, Q = m c dT)", () => {
    near(storedKWh(200, 4.19, 8), 1.862, 0.005);
    near(storedKWh(159, 0.8, 8), 0.283, 0.002);
  });
  test("set point with its allowances (constructed)", () => {
    expect(setPointC(5, { hysteresisK: 1.5, sensorK: 0.5, coldSpotK: 1 })).toBe(8);
  });
  test("inner surface of glass at 5 °C against -5 °C (constructed)", () => {
    near(surfaceC(5, -5, 5.75), -2.475, 0.02);
  });
  test("1.13 Btu is 6.42, not the 6 that is in print (Engineering ToolBox)", () => {
    near(uValueSi(1.13), 6.42, 0.01);
  });
});

describe("pots", () => {
  test.each([
    [4, 2, 14, 0.102626, "Cracku exam question 157, with a better pi"],
    [10, 4, 3, 0.12252, "a printed answer is wrong by nearly two; this is the frustum"],
    [33, 25.5, 22.2, 15, "15 L pot of a size list, height solved"],
  ])("a round pot of %d over %d, %d high", (top, base, height, litres) => {
    near(roundPotL(top, base, height), litres, litres * 0.002);
  });
  test("a square one (constructed)", () => near(squarePotL(9, 6.5, 8.5), 0.515, 0.002));
  test("a recipe by parts (proportion)", () => {
    expect(parts(12, { loam: 2, grit: 1, pumice: 1 })).toEqual({ loam: 6, grit: 3, pumice: 3 });
  });
});

describe("feed and sprays", () => {
  test("200 ppm N from a 10 % feed (eHow)", () => near(gramsPerLFor(200, 10), 2, 1e-9));
  test("and back", () => near(nutrientMgPerL(2, 10), 200, 1e-9));
  test("13.5 oz of 20 % in 100 US gal are 200 ppm (UMass Extension)", () => {
    const gramsPerL = convertUnits(13.5, "[oz_av]", "g") / convertUnits(100, "[gal_us]", "L");
    near(nutrientMgPerL(gramsPerL, 20), 200, 3);
  });
  test("1:200 both ways in 5 L (definition)", () => {
    near(ratioMl(5, 200).oneInMl, 25, 0.01);
    near(ratioMl(5, 200).oneToMl, 24.88, 0.01);
  });
  test("labels give oxides (from memory)", () => {
    near(phosphorus(100), 43.6, 0.1);
    near(potassium(100), 83, 0.1);
  });
});

describe("germination", () => {
  test.each([
    [15, 148, 0.0624, 0.1605, "Newcombe 1998, table I (from memory)"],
    [0, 20, 0, 0.1611, "Newcombe 1998, table I (from memory)"],
    [1, 29, 0.0061, 0.1718, "Newcombe 1998, table I (from memory)"],
    [5, 25, 0.0886, 0.3913, "SciPy 1.17.1, wilson"],
    [10, 10, 0.7225, 1, "SciPy 1.17.1, wilson"],
    [0, 10, 0, 0.2775, "SciPy 1.17.1, wilson"],
  ])("%d of %d: %d to %d", (count, outOf, lo, hi) => {
    const { interval } = germinationRate(count, outOf);
    near(interval[0], lo, 0.0005);
    near(interval[1], hi, 0.0005);
  });
  test("at 90 % (NIST/SEMATECH 7.2.4.1)", () => {
    const { interval } = germinationRate(4, 20, 1.644854);
    near(interval[0], 0.0931, 0.0002);
    near(interval[1], 0.3784, 0.0002);
  });
  test.each([
    [1, 0],
    [5, 4],
    [-1, 4],
    [1.5, 4],
  ])("%d of %d is no count", (count, outOf) => {
    expect(() => germinationRate(count, outOf)).toThrow(RangeError);
  });
  test("the interval holds the rate and stays within 0 and 1", () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 5000 }), fc.nat(), (outOf, some) => {
        const { rate, interval } = germinationRate(some % (outOf + 1), outOf);
        expect(interval[0]).toBeGreaterThanOrEqual(0);
        expect(interval[1]).toBeLessThanOrEqual(1);
        expect(interval[0] - 1e-12).toBeLessThanOrEqual(rate);
        expect(interval[1] + 1e-12).toBeGreaterThanOrEqual(rate);
      }),
    );
  });
});

describe("units", () => {
  test.each([
    [45, "[degF]", "Cel", 7.222, 0.001, "definition"],
    [-40, "Cel", "[degF]", -40, 1e-9, "definition"],
    [13, "K", "[degF]", 23.4, 1e-9, "a maker prints 55.4: a difference takes no 32 (Macrolux)"],
    [10, "K", "[degF]d", 18, 1e-9, "OpenLearn 2.2.2: the size of a degree"],
    [3, "[in_i]", "cm", 7.62, 1e-9, "definition"],
    [1, "[foz_us]", "mL", 29.5735, 0.0001, "NIST SP 811 (from memory)"],
    [1, "[foz_br]", "mL", 28.4131, 0.0001, "NIST SP 811 (from memory)"],
    [1, "[gal_br]", "[gal_us]", 1.20095, 1e-5, "ratio of the definitions (from memory)"],
    [1, "mL/L", "[foz_us]/[gal_us]", 0.128, 0.0005, "128 fl oz a gallon"],
    [1, "mL/L", "[foz_br]/[gal_br]", 0.16, 0.0005, "160 fl oz a gallon"],
    [1, "kW", "[Btu]/h", 3412, 0.5, "Winchester greenhouse page"],
    [1.95, "mm[Hg]", "Pa", 260, 0.1, "GE table"],
  ])("%d %s in %s", (value, from, to, expected, within) => {
    near(convertUnits(value, from, to), expected, within);
  });
  test("degree-days take no offset (difference scale)", () => expect(degreeDaysC(1800)).toBe(1000));
  test.each([
    ["Cel", "L"],
    ["Cel", "K"],
    ["mL", "mL/L"],
    ["stone", "kg"],
  ])("%s is no %s", (from, to) => {
    expect(() => convertUnits(1, from, to)).toThrow(/cannot read/);
  });
});
