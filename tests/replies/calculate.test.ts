import { Temporal } from "temporal-polyfill";
import { describe, expect, test } from "vitest";
import { calculate } from "../../bot/horticulture/climate/calculate.js";
import type { Calculation } from "../../bot/language/interpretation.js";
import { calculateLines } from "../../bot/messenger/replies/en/calculate.js";

const metric = {
  units: "metric",
  zone: "Europe/Warsaw",
  now: Temporal.Instant.from("2027-01-15T08:00:00Z"),
} as const;
const imperial = { ...metric, units: "imperial" } as const;
const around = { latitude: 51.5, today: Temporal.PlainDate.from("2027-01-15") };
const q = (value: number, unit = "1") => ({ value, unit });
const cel = (value: number) => q(value, "Cel");

type Inputs = Parameters<typeof calculate>[1];
const said = (calculation: Calculation, inputs: Inputs, manner: typeof metric | typeof imperial = metric) =>
  calculateLines(calculate(calculation, inputs, around), manner).lines;

/** Figures as published; the source beside each. */
describe("a sum in words", () => {
  test.each<[string, Calculation, Inputs, string]>([
    // psychrolib 1.1.1, GetTDewPointFromRelHum: 9.27 °C, within 0.1
    [
      "dew point",
      "dew_point",
      { air_temperature: cel(20), relative_humidity: q(50, "%") },
      "Dew point 9.3 °C, for air of 20 °C and 50 %.",
    ],
    // psychrolib 1.1.1: 8.44 °C, within 0.1
    [
      "dew point of damp air",
      "dew_point",
      { air_temperature: cel(10), relative_humidity: q(90, "%") },
      "Dew point 8.4 °C, for air of 10 °C and 90 %.",
    ],
    // psychrolib 1.1.1, GetSatVapPres: 2.548 kPa, within 0.005
    [
      "deficit",
      "vapour_pressure_deficit",
      { air_temperature: cel(30), relative_humidity: q(40, "%") },
      "Vapour pressure deficit 2.55 kPa, for air of 30 °C and 40 %.",
    ],
    // Worcester student greenhouse design report: 3259 kWh at 0.17 make 554.03
    [
      "cost",
      "running_cost",
      { heater: q(3259, "W"), duration: q(1000, "h"), price: q(0.17, "USD/kW.h") },
      "3.26 kW for 1000 hours at full power: 3259 kWh, 554.03 USD.",
    ],
    // FAO-56 by astronomy-engine 2.1.19, London 2026-12-21: 7.83 h from sunrise to sunset, within 0.03
    [
      "day length",
      "day_length",
      { date: "2026-12-21" },
      "21 Dec 2026, 51.5° N: 7 h 50 min from sunrise to sunset.",
    ],
    // R. G. Newcombe, Statistics in Medicine 17 (1998) 857-872, table I (from memory): 15 of 148, 0.0624 to 0.1605
    [
      "germination",
      "germination",
      { count: q(15), outOf: q(148) },
      "15 of 148 up: 10 %. So few seeds say: between 6 and 16 % (95 %).",
    ],
    // definition: 1:200 in 5 L is 25.0 mL as one in 200
    [
      "dilution",
      "dilution",
      { dilution: q(200), volume: q(5, "L") },
      "25 ml of product, topped up with water to 5 l: 1:200 read as one part in 200.",
    ],
    ["a powder", "dilution", { dilution: q(2, "g/L"), volume: q(5, "L") }, "10 g in 5 l."],
    ["conversion", "convert", { value: q(50, "[degF]"), to: "Cel" }, "50 °F is 10 °C."],
  ])("%s", (_what, calculation, inputs, first) => {
    expect(said(calculation, inputs)[0]).toBe(first);
  });

  test("1:N is echoed both ways where that matters, and not where it does not", () => {
    // definition: at 1:4 the two are a fifth apart, at 1:200 half a per cent
    expect(said("dilution", { dilution: q(4), volume: q(5, "L") })[1]).toBe(
      "Where the label means one part to 4 parts of water: 1000 ml.",
    );
    expect(said("dilution", { dilution: q(200), volume: q(5, "L") }).join()).not.toContain("parts of water");
  });

  test("frost is told by its own point", () => {
    // WMO-No. 8 forms over ice (from memory): −1.9 °C at 5 °C and 60 %
    expect(said("dew_point", { air_temperature: cel(5), relative_humidity: q(60, "%") })[1]).toContain(
      "−1.9 °C (frost point)",
    );
  });

  test("a heater is an estimate, no guarantee, compared with a typical house", () => {
    const lines = said("heat_hold", { heater: q(2, "kW"), inside: cel(5), outside: cel(-12) });
    // 2000 W over 17 K; 3.6 by 2.4 m of glass 176 W/K, lined 129 W/K (geometry and growers' table of G. Hands 2001)
    expect(lines[0]).toBe("2 kW holds 5 °C at −12 °C outdoors if the house loses no more than 118 W/K.");
    expect(lines[1]).toContain(
      "176 W/K in single glass: down to −6.4 °C; 129 W/K in glass with bubble lining: down to −10.5 °C",
    );
    expect(lines.join("\n")).toMatch(/estimate.*no guarantee/);
    expect(lines.join("\n")).toMatch(/RCD/);
  });

  test("differences in °F carry no 32", () => {
    const lines = said(
      "heat_hold",
      { heater: q(2, "kW"), inside: q(41, "[degF]"), outside: q(10, "[degF]") },
      imperial,
    );
    expect(lines[0]).toContain("holds 41 °F at 10 °F outdoors");
    expect(lines[2]).toContain("allow 4 °F to 5 °F");
  });

  test("what dilutes, feeds or sprays sends to the label", () => {
    expect(said("dilution", { dilution: q(2, "mL/L"), volume: q(5, "L") })).toEqual([
      "10 ml of product in 5 l.",
      expect.stringContaining("label goes first"),
    ]);
  });

  test.each<[Calculation, Inputs, RegExp]>([
    ["dew_point", { air_temperature: cel(20) }, /^At what humidity\?/],
    ["dew_point", { air_temperature: cel(20), relative_humidity: q(120, "%") }, /^Humidity lies above 0/],
    ["heat_hold", { inside: cel(5) }, /^How strong is the heater\?/],
    ["heat_hold", { heater: q(2, "kW"), inside: cel(5), outside: cel(8) }, /nothing needs heating/],
    ["running_cost", { heater: q(2, "kW") }, /^For how long\?/],
    ["substrate_volume", { pots: q(40) }, /^How wide/],
    ["dilution", { dilution: q(200) }, /^In how much water\?/],
    ["germination", { count: q(50), outOf: q(40) }, /no more come up than were sown/],
    ["convert", { value: q(5, "cm"), to: "kg" }, /^That unit does not fit/],
  ])("%s of %j asks for what is missing", (calculation, inputs, line) => {
    expect(said(calculation, inputs)).toHaveLength(1);
    expect(said(calculation, inputs)[0]).toMatch(line);
  });

  test("without a latitude there is no day length", () => {
    const lines = calculateLines(calculate("day_length", {}, { ...around, latitude: null }), metric).lines;
    expect(lines[0]).toMatch(/^Where is the glasshouse/);
  });

  test.each([metric, imperial])("is four lines at most, without raw codes, $units", (manner) => {
    const asked: [Calculation, Inputs][] = [
      ["substrate_volume", { pots: q(40), diameter: q(9, "cm") }],
      ["heat_hold", { heater: q(2, "kW"), inside: cel(5) }],
      ["dilution", { dilution: q(4), volume: q(5, "L") }],
      ["relative_humidity", { air_temperature: cel(10), relative_humidity: q(80, "%"), inside: cel(20) }],
      ["day_length", {}],
      ["running_cost", { heater: q(2, "kW"), duration: q(1, "h") }],
    ];
    for (const [calculation, inputs] of asked) {
      const lines = said(calculation, inputs, manner);
      expect(lines.length).toBeLessThanOrEqual(4);
      expect(lines.join("\n")).not.toMatch(/!|\[|Cel\b|kW\.h|_/);
    }
  });
});
