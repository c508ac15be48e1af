import { describe, expect, test } from "vitest";
import { type CalculationInputs, calculate } from "../../bot/horticulture/climate/calculate.js";
import { day } from "../due/support.js";

const around = { latitude: 53.4, today: day("2027-01-15") };
const q = (value: number, unit: string) => ({ value, unit });
const close = (value: number) => expect.closeTo(value, 1);

describe("questions as they are asked", () => {
  test.each<[string, string, CalculationInputs, object]>([
    [
      "dew point at 70 °F and 55 %",
      "dew_point",
      { air_temperature: q(70, "[degF]"), relative_humidity: q(55, "%") },
      { dewC: close(11.7), frostC: null },
    ],
    [
      "frost point below zero",
      "dew_point",
      { air_temperature: q(5, "Cel"), relative_humidity: q(60, "%") },
      { dewC: close(-2.1), frostC: close(-1.9) },
    ],
    [
      "vpd for 30 °C and 45 %",
      "vapour_pressure_deficit",
      { air_temperature: q(30, "Cel"), relative_humidity: q(45, "%") },
      { kPa: close(2.33) },
    ],
    [
      "5 °C and 90 % outside, 15 °C inside",
      "relative_humidity",
      { outside: q(5, "Cel"), relative_humidity: q(90, "%"), inside: q(15, "Cel") },
      { rh: close(46) },
    ],
    [
      "a 2 kW heater, 5 inside, -12 outside",
      "heat_hold",
      { heater: q(2, "kW"), inside: q(5, "Cel"), outside: q(-12, "Cel") },
      {
        mayLoseWPerK: close(117.6),
        own: null,
        yardsticks: [
          { covering: "single glass", holds: false, holdsDownToC: close(-6.4) },
          { covering: "glass with bubble lining", holds: false, holdsDownToC: close(-10.5) },
        ],
      },
    ],
    [
      "1500 W for 10 hours at 14 cents",
      "running_cost",
      { heater: q(1500, "W"), duration: q(10, "h"), price: q(0.14, "USD/kW.h") },
      { kWh: 15, cost: close(2.1), currency: "USD" },
    ],
    ["without a price", "running_cost", { heater: q(2, "kW"), duration: q(1, "d") }, { kWh: 48, cost: null }],
    [
      "20 pots of 12 cm, 10 cm deep",
      "substrate_volume",
      { pots: q(20, "1"), diameter: q(12, "cm"), height: q(10, "cm") },
      { heightAssumed: false, totalL: close(15.2) },
    ],
    [
      "40 pots of 9 cm",
      "substrate_volume",
      { pots: q(40, "1"), diameter: q(9, "cm") },
      { heightAssumed: true, totalL: close(14.5) },
    ],
    [
      "2 US gallons at 2 teaspoons a gallon",
      "dilution",
      { volume: q(2, "[gal_us]"), dilution: q(2, "[tsp_us]/[gal_us]") },
      { productMl: close(19.7), ratio: null },
    ],
    [
      "5 litres at 1:50",
      "dilution",
      { volume: q(5, "L"), dilution: q(50, "1") },
      { productMl: 100, oneToMl: close(98), ratio: 50 },
    ],
    [
      "daylight on 21 June",
      "day_length",
      { date: "2027-06-21" },
      { hours: close(16.76), sunriseToSunset: close(17) },
    ],
    ["daylight today", "day_length", {}, { hours: close(7.8) }],
    [
      "12 out of 40",
      "germination",
      { count: q(12, "1"), outOf: q(40, "1") },
      { rate: 0.3, interval: [close(0.18), close(0.45)] },
    ],
    [
      "45 °F in °C",
      "convert",
      { value: q(45, "[degF]"), to: "Cel" },
      { to: { value: close(7.2), unit: "Cel" }, difference: false },
    ],
    [
      "a difference of 5 K in °F",
      "convert",
      { value: q(5, "K"), to: "[degF]" },
      { to: { value: 9, unit: "[degF]" }, difference: true },
    ],
  ])("%s", (_, calculation, inputs, result) => {
    expect(calculate(calculation, inputs, around)).toMatchObject({ kind: calculation, ...result });
  });

  test("a heater in a house whose loss is known", () => {
    const inputs = { heater: q(2, "kW"), inside: q(5, "Cel"), outside: q(-10, "Cel") };
    expect(calculate("heat_hold", inputs, { ...around, lossWPerK: 120 })).toMatchObject({
      own: { holds: true, holdsDownToC: expect.closeTo(-11.67, 1) },
    });
  });
});

describe("what cannot be worked out names its input", () => {
  test.each<[string, CalculationInputs, string, string]>([
    ["dew_point", { air_temperature: q(12, "Cel") }, "missing", "relative_humidity"],
    ["dew_point", { relative_humidity: q(85, "%") }, "missing", "air_temperature"],
    [
      "dew_point",
      { air_temperature: q(12, "Cel"), relative_humidity: q(140, "%") },
      "impossible",
      "relative_humidity",
    ],
    [
      "dew_point",
      { air_temperature: q(400, "Cel"), relative_humidity: q(40, "%") },
      "impossible",
      "air_temperature",
    ],
    ["dew_point", { air_temperature: q(12, "L"), relative_humidity: q(40, "%") }, "unit", "air_temperature"],
    ["heat_hold", { inside: q(5, "Cel"), outside: q(-5, "Cel") }, "missing", "heater"],
    ["heat_hold", { heater: q(2, "kW"), inside: q(5, "Cel"), outside: q(8, "Cel") }, "impossible", "outside"],
    ["running_cost", { heater: q(2, "kW") }, "missing", "duration"],
    ["substrate_volume", { pots: q(20, "1") }, "missing", "diameter"],
    ["dilution", { volume: q(5, "L") }, "missing", "dilution"],
    ["dilution", { volume: q(5, "L"), dilution: q(2, "h/L") }, "unit", "dilution"],
    ["germination", { count: q(41, "1"), outOf: q(40, "1") }, "impossible", "count"],
    ["convert", { value: q(5, "Cel"), to: "L" }, "unit", "to"],
    ["convert", { to: "L" }, "missing", "value"],
    ["day_length", { date: "2027-02-30" }, "impossible", "date"],
    ["alchemy", {}, "missing", "calculation"],
  ])("%s %j: %s %s", (calculation, inputs, why, input) => {
    expect(calculate(calculation, inputs, around)).toEqual({ kind: "cannot", why, input });
  });
  test("day length without a latitude", () => {
    expect(calculate("day_length", {}, { ...around, latitude: null })).toMatchObject({ input: "latitude" });
  });
});
