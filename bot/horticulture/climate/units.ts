/**
 * Units of the trade by their UCUM codes, converted by factors; temperatures with their offset, differences without.
 * @source NIST SP 811, appendix B (factors from memory; they are exact by definition)
 */

export type Dimension =
  | "temperature"
  | "temperature difference"
  | "length"
  | "area"
  | "volume"
  | "mass"
  | "power"
  | "energy"
  | "time"
  | "number"
  | "pressure";

interface Unit {
  of: Dimension;
  /** In the dimension's base: K, m, m², L, g, W, kWh, h, 1, Pa. */
  factor: number;
  offset?: number;
}

const US_GAL_L = 3.785411784;
const IMP_GAL_L = 4.54609;

const UNITS: Readonly<Record<string, Unit>> = {
  Cel: { of: "temperature", factor: 1, offset: 273.15 },
  "[degF]": { of: "temperature", factor: 5 / 9, offset: 459.67 },
  K: { of: "temperature difference", factor: 1 },
  "[degF]d": { of: "temperature difference", factor: 5 / 9 },
  m: { of: "length", factor: 1 },
  cm: { of: "length", factor: 0.01 },
  mm: { of: "length", factor: 0.001 },
  "[in_i]": { of: "length", factor: 0.0254 },
  "[ft_i]": { of: "length", factor: 0.3048 },
  m2: { of: "area", factor: 1 },
  "[sft_i]": { of: "area", factor: 0.09290304 },
  L: { of: "volume", factor: 1 },
  mL: { of: "volume", factor: 0.001 },
  m3: { of: "volume", factor: 1000 },
  "[gal_us]": { of: "volume", factor: US_GAL_L },
  "[gal_br]": { of: "volume", factor: IMP_GAL_L },
  "[qt_us]": { of: "volume", factor: US_GAL_L / 4 },
  "[pt_us]": { of: "volume", factor: US_GAL_L / 8 },
  "[pt_br]": { of: "volume", factor: IMP_GAL_L / 8 },
  "[cup_us]": { of: "volume", factor: US_GAL_L / 16 },
  "[foz_us]": { of: "volume", factor: US_GAL_L / 128 },
  "[foz_br]": { of: "volume", factor: IMP_GAL_L / 160 },
  "[tbs_us]": { of: "volume", factor: US_GAL_L / 256 },
  "[tsp_us]": { of: "volume", factor: US_GAL_L / 768 },
  cL: { of: "volume", factor: 0.01 },
  dL: { of: "volume", factor: 0.1 },
  "[qt_br]": { of: "volume", factor: IMP_GAL_L / 4 },
  "[cft_i]": { of: "volume", factor: 28.316846592 },
  g: { of: "mass", factor: 1 },
  kg: { of: "mass", factor: 1000 },
  mg: { of: "mass", factor: 0.001 },
  "[oz_av]": { of: "mass", factor: 28.349523125 },
  "[lb_av]": { of: "mass", factor: 453.59237 },
  W: { of: "power", factor: 1 },
  kW: { of: "power", factor: 1000 },
  "[Btu]/h": { of: "power", factor: 0.29307107 },
  "[Btu_IT]/h": { of: "power", factor: 0.29307107 },
  "kW.h": { of: "energy", factor: 1 },
  "W.h": { of: "energy", factor: 0.001 },
  h: { of: "time", factor: 1 },
  min: { of: "time", factor: 1 / 60 },
  d: { of: "time", factor: 24 },
  wk: { of: "time", factor: 168 },
  mo: { of: "time", factor: 730.5 },
  "1": { of: "number", factor: 1 },
  "%": { of: "number", factor: 0.01 },
  Pa: { of: "pressure", factor: 1 },
  hPa: { of: "pressure", factor: 100 },
  kPa: { of: "pressure", factor: 1000 },
  "mm[Hg]": { of: "pressure", factor: 133.322 },
};

/** Units that cannot be brought together; `from` is the one that was given. */
export class ConversionError extends Error {
  constructor(
    readonly from: string,
    readonly to: string,
  ) {
    super(`cannot read ${from} as ${to}`);
    this.name = "ConversionError";
  }
}

export const dimensionOf = (unit: string): Dimension | null => UNITS[unit]?.of ?? null;

/**
 * A value in another unit of its kind; compounds such as `mL/L` too. A difference in kelvin becomes one in degrees
 * Fahrenheit without the 32.
 * @throws {ConversionError} if either unit is unknown or they measure different things
 * @example convertUnits(13, "K", "[degF]") //=> 23.4
 */
export function convertUnits(value: number, from: string, to: string): number {
  if (from === to) return value;
  const [a, b] = [UNITS[from], UNITS[to]];
  if (a && b) {
    if (a.of === b.of) return (value + (a.offset ?? 0)) * (a.factor / b.factor) - (b.offset ?? 0);
    const difference = a.of === "temperature difference" && b.of === "temperature";
    if (difference) return value * (a.factor / b.factor);
    throw new ConversionError(from, to);
  }
  const [above, below] = from.split("/");
  const [wanted, per] = to.split("/");
  if (above === undefined || below === undefined || wanted === undefined || per === undefined) {
    throw new ConversionError(from, to);
  }
  return convertUnits(value, above, wanted) / convertUnits(1, below, per);
}

/** A U-value in Btu/(h ft² °F) as W/(m² K). */
export const uValueSi = (ip: number): number => ip * 5.678263;
/** Degree-days to a base in °F as degree-days in °C: a difference, no offset. */
export const degreeDaysC = (fahrenheit: number): number => fahrenheit / 1.8;
