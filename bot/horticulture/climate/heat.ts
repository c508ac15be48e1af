/**
 * Heat that a glasshouse loses in a still, overcast night, and how cold it may be outdoors for a heater to hold. Steady
 * state: ground, thermal mass, clear sky, wind and snow are left out; allow 2 to 3 K less on clear windy nights
 * (common practice).
 * @source U-values: growers' table of G. Hands 2001 and makers' sheets, ANSI/ASAE EP406 (from memory);
 *   0.33 Wh/(m³ K) for air: D. MacKay, Sustainable Energy, 2009, p. 289
 */

export const AIR_WH_PER_M3K = 0.33;

/** Heat transmittance of coverings, W/(m² K), without leakage. Bubble lining as growers measured it, not as in theory. */
export const U_VALUES = {
  "single glass": 5.75,
  "glass with bubble lining": 4.2,
  "polythene film": 6.8,
  "double polythene": 4,
  "twin-wall 4 mm": 4,
  "twin-wall 6 mm": 3.6,
  "twin-wall 10 mm": 3.1,
  "double glass": 2.9,
} as const;
export type Covering = keyof typeof U_VALUES;

/** A house with a gable roof, m. */
export interface House {
  length: number;
  width: number;
  eaves: number;
  ridge: number;
}

/** Exposed area (walls, gables, roof slopes; not the floor), m², and volume, m³. */
export function geometryOf({ length, width, eaves, ridge }: House): { areaM2: number; volumeM3: number } {
  const rise = ridge - eaves;
  const slope = Math.hypot(width / 2, rise);
  return {
    areaM2: 2 * length * eaves + 2 * width * eaves + width * rise + 2 * length * slope,
    volumeM3: length * width * (eaves + rise / 2),
  };
}

/**
 * Loss coefficient, W/K.
 * @param airChanges an hour: 0.75 to 1.5 in a new glass house, 1 to 2 in an old one, 2 to 4 in a poor one (from memory);
 *   0 if the U-value is an all-in coefficient
 */
export const lossCoefficient = (
  areaM2: number,
  uValue: number,
  volumeM3: number,
  airChanges: number,
): number => areaM2 * uValue + AIR_WH_PER_M3K * airChanges * volumeM3;

/** Heat lost at two temperatures, W; never negative. */
export const heatLossW = (lossWPerK: number, insideC: number, outsideC: number): number =>
  Math.max(0, lossWPerK * (insideC - outsideC));

/** Lowest outdoor temperature at which a heater holds, °C. */
export const holdsDownToC = (heaterW: number, lossWPerK: number, insideC: number): number =>
  insideC - heaterW / lossWPerK;

/** Two compartments with a partition: what each heater must give, W; the partition's heat cancels in the sum. */
export function twoCompartments(parts: {
  warm: { lossWPerK: number; celsius: number };
  cool: { lossWPerK: number; celsius: number };
  partitionWPerK: number;
  outsideC: number;
}): { partitionW: number; warmW: number; coolW: number } {
  const { warm, cool, partitionWPerK, outsideC } = parts;
  const partitionW = partitionWPerK * (warm.celsius - cool.celsius);
  return {
    partitionW,
    warmW: heatLossW(warm.lossWPerK, warm.celsius, outsideC) + partitionW,
    coolW: Math.max(0, cool.lossWPerK * (cool.celsius - outsideC) - partitionW),
  };
}

/** Temperature of an unheated compartment beside a warm one, °C. */
export const driftsToC = (
  lossWPerK: number,
  partitionWPerK: number,
  warmC: number,
  outsideC: number,
): number => (lossWPerK * outsideC + partitionWPerK * warmC) / (lossWPerK + partitionWPerK);

/**
 * Degree-hours of a day under a set point, from its extremes on a sine; the daily mean hides cold nights.
 * @example degreeHours(0, 12, 5) //=> 34.5
 */
export function degreeHours(minC: number, maxC: number, setC: number, steps = 1440): number {
  const mean = (minC + maxC) / 2;
  const swing = (maxC - minC) / 2;
  let sum = 0;
  for (let step = 0; step < steps; step++) {
    const celsius = mean + swing * Math.cos((2 * Math.PI * (step + 0.5)) / steps);
    sum += Math.max(0, setC - celsius);
  }
  return (24 * sum) / steps;
}

export const energyKWh = (lossWPerK: number, hours: number): number => (lossWPerK * hours) / 1000;

/** Heat stored, kWh. @param specificKJ water 4.19, stone and concrete 0.8 to 0.9 kJ/(kg K) */
export const storedKWh = (massKg: number, specificKJ: number, kelvin: number): number =>
  (massKg * specificKJ * kelvin) / 3600;

/** Set point that keeps a minimum with a thermostat that switches on so far below it, °C. */
export const setPointC = (
  minC: number,
  { hysteresisK, sensorK, coldSpotK }: { hysteresisK: number; sensorK: number; coldSpotK: number },
): number => minC + hysteresisK + sensorK + coldSpotK;

/** Inner surface of a covering, °C. @param surfaceM2KPerW 0.13 of a wall, about 0.10 of a roof */
export const surfaceC = (insideC: number, outsideC: number, uValue: number, surfaceM2KPerW = 0.13): number =>
  insideC - uValue * surfaceM2KPerW * (insideC - outsideC);
