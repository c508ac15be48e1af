/** Feed and sprays; labels go before all of this, and no rate is ever supplied here. */

/** mL of product in so many litres of water at so many mL a litre. */
export const productMl = (litres: number, mlPerL: number): number => litres * mlPerL;

/** 1:N in so many litres: one part in N of the whole, or one part to N of water. Far apart at 1:4, alike at 1:200. */
export const ratioMl = (litres: number, ratio: number): { oneInMl: number; oneToMl: number } => ({
  oneInMl: (1000 * litres) / ratio,
  oneToMl: (1000 * litres) / (ratio + 1),
});

/** Nitrogen (or another nutrient) in mg/L from grams a litre of a feed with so many per cent. */
export const nutrientMgPerL = (gramsPerL: number, percent: number): number => gramsPerL * percent * 10;
export const gramsPerLFor = (mgPerL: number, percent: number): number => mgPerL / (10 * percent);

/** Labels give P₂O₅ and K₂O. */
export const phosphorus = (p2o5: number): number => p2o5 * 0.4364;
export const potassium = (k2o: number): number => k2o * 0.8301;
