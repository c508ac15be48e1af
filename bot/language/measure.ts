/** A number that measures or counts something, as a reader of numbers and units found it. */
export interface Measure {
  value: number;
  /** Upper end of a range. */
  to?: number;
  /** UCUM code; "deg" where the scale was not said; absent for a bare number. */
  unit?: string;
  dimension?: string;
  /** 1:200 is 200. */
  ratio?: number;
  /** Half strength is 0.5. */
  strength?: number;
  /** Written as "a" or "an": one of something. */
  article?: true;
  /** "12 of the 40": the 40. */
  outOf?: number;
  /** Written as a fraction, "12/40": both numbers. */
  fraction?: readonly [number, number];
  /** The sign was said, so it can hardly be anything but a temperature. */
  signed?: true;
  bound?: "over" | "under";
  /** The text was a single digit run, e.g. a tag or a time could be meant. */
  text: string;
}

/** The same measure with every key in its place: objects of one shape are read fastest. */
export const measureOf = (read: Measure): Measure => ({
  value: read.value,
  to: read.to,
  unit: read.unit,
  dimension: read.dimension,
  ratio: read.ratio,
  strength: read.strength,
  article: read.article,
  outOf: read.outOf,
  fraction: read.fraction,
  signed: read.signed,
  bound: read.bound,
  text: read.text,
});

/** Whether a measure says of what it is: by its unit, as a ratio or as a strength. */
export const hasDimension = (measure: Measure): boolean =>
  measure.unit !== undefined || measure.ratio !== undefined || measure.strength !== undefined;
