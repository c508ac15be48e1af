/**
 * How many of a batch came up, and what that says of the seed. Pots are clusters: the true interval is wider.
 * @source NIST/SEMATECH e-Handbook of Statistical Methods, 7.2.4.1 (Wilson)
 */

export interface Germination {
  count: number;
  outOf: number;
  /** 0 to 1 */
  rate: number;
  /** Wilson interval, 0 to 1. */
  interval: readonly [number, number];
}

const Z_95 = 1.959964;

/** @throws {RangeError} unless 0 <= count <= outOf and outOf > 0, both whole */
export function germinationRate(count: number, outOf: number, z = Z_95): Germination {
  if (!(Number.isInteger(count) && Number.isInteger(outOf) && outOf > 0 && count >= 0 && count <= outOf)) {
    throw new RangeError("seedlings are counted, and no more come up than were sown");
  }
  const rate = count / outOf;
  const z2 = z * z;
  const middle = rate + z2 / (2 * outOf);
  const half = z * Math.sqrt((rate * (1 - rate)) / outOf + z2 / (4 * outOf * outOf));
  const scale = 1 + z2 / outOf;
  return {
    count,
    outOf,
    rate,
    interval: [Math.max(0, (middle - half) / scale), Math.min(1, (middle + half) / scale)],
  };
}
