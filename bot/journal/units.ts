import type { Quantity } from "../language/interpretation.js";

/** A quantity whose unit cannot be brought to what the journal compares in. */
export class UnitError extends Error {
  constructor(
    readonly unit: string,
    readonly wanted: string,
  ) {
    super(`cannot read ${unit} as ${wanted}`);
    this.name = "UnitError";
  }
}

/** A temperature (not a difference) in °C from UCUM `Cel`, `[degF]` or `K`. */
export function toCelsius(quantity: Quantity): number {
  switch (quantity.unit) {
    case "Cel":
      return quantity.value;
    case "[degF]":
      return (quantity.value - 32) / 1.8;
    case "K":
      return quantity.value - 273.15;
    default:
      throw new UnitError(quantity.unit, "a temperature");
  }
}

/** The value in the journal's own unit of its kind: °C, %, lx, kWh. */
export function canonicalReading(quantity: Quantity): number {
  switch (quantity.unit) {
    case "%":
    case "lx":
    case "kW.h":
      return quantity.value;
    case "klx":
      return quantity.value * 1000;
    case "W.h":
      return quantity.value / 1000;
    default:
      return toCelsius(quantity);
  }
}

/** °C to °F, or a difference in K to a difference in °F (no offset). */
export const fahrenheit = (celsius: number): number => celsius * 1.8 + 32;
export const fahrenheitDifference = (kelvin: number): number => kelvin * 1.8;
