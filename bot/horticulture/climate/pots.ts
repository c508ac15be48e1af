/** Substrate that pots take; inside dimensions, litres. */

/** Round pots of the trade taper to about this share of their width, and are about so high (POT lists; common practice). */
export const BASE_SHARE = 0.72;
export const HEIGHT_SHARE = 0.94;
/** Filled to a finger under the rim. */
export const FILL_SHARE = 0.9;
/** Fine parts fall between coarse ones: a mix measures less than its parts. */
export const SHRINK_SHARE = 0.15;

/** A round tapered pot, L. @param heightCm to the fill line */
export const roundPotL = (topCm: number, baseCm: number, heightCm: number): number =>
  (Math.PI * heightCm * (topCm ** 2 + topCm * baseCm + baseCm ** 2)) / 12 / 1000;

/** A square tapered pot, L. */
export function squarePotL(topCm: number, baseCm: number, heightCm: number): number {
  const [top, base] = [topCm ** 2, baseCm ** 2];
  return (heightCm * (top + base + Math.sqrt(top * base))) / 3 / 1000;
}

export interface SubstrateNeed {
  pots: number;
  topCm: number;
  baseCm: number;
  heightCm: number;
  eachL: number;
  totalL: number;
  /** Sum of loose parts to measure out, so that the mix fills the pots. */
  partsL: number;
  /** Whether the height was given or taken from the trade's proportions. */
  heightAssumed: boolean;
}

/** Substrate for so many round pots. @throws {RangeError} unless all figures lie above 0 */
export function substrateFor(pots: number, topCm: number, heightCm: number | null): SubstrateNeed {
  const height = heightCm ?? topCm * HEIGHT_SHARE;
  if (!(pots > 0 && topCm > 0 && height > 0)) throw new RangeError("pots have sizes above 0");
  const baseCm = topCm * BASE_SHARE;
  const eachL = roundPotL(topCm, baseCm, height) * FILL_SHARE;
  const totalL = eachL * pots;
  return {
    pots,
    topCm,
    baseCm,
    heightCm: height,
    eachL,
    totalL,
    partsL: totalL / (1 - SHRINK_SHARE),
    heightAssumed: heightCm === null,
  };
}

/** Parts of a recipe by volume, L each. */
export function parts(totalL: number, recipe: Readonly<Record<string, number>>): Record<string, number> {
  const sum = Object.values(recipe).reduce((all, part) => all + part, 0);
  return Object.fromEntries(Object.entries(recipe).map(([name, part]) => [name, (totalL * part) / sum]));
}
