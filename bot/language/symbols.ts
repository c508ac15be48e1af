/** Symbols of standards, which no language has words for: names of time zones, points on the globe. */

/** A name of the IANA time zone database, or UTC. */
const ZONE = /\b([A-Z][A-Za-z]+\/[A-Z][A-Za-z_]+(?:\/[A-Z][A-Za-z_]+)?|UTC)\b/i;

/** "54.4 N": degrees with the letter of their direction. */
const DEGREES = /-?\d+(?:[.,]\d+)?\s*°?\s*[NSEW]\b/i;

/** The first name of a time zone in a text, as written. */
export const zoneIn = (text: string): string | undefined => ZONE.exec(text)?.[0];

/** "54.4 N 18.6 E" and all behind it, where a latitude and a longitude stand in the text. */
export function coordinatesIn(text: string): string | undefined {
  const first = DEGREES.exec(text);
  if (!first || !/\d/.test(first[0])) return undefined;
  const rest = text.slice(first.index).replace(/[.!\s]+$/, "");
  return /[NS]/i.test(first[0]) && /\d\s*°?\s*[EW]\b/i.test(rest) ? rest : undefined;
}
