import { latinSingulars } from "../names/latin.js";

/** "waters", "watches", "dries": a verb in the third person, a noun in the plural. */
function withS(word: string): string {
  if (/(?:s|x|z|ch|sh)$/.test(word)) return `${word}es`;
  return /[^aeiou]y$/.test(word) ? `${word.slice(0, -1)}ies` : `${word}s`;
}

/** "sows in" of "sow in": the third person of a verb with what belongs to it. */
export function third(base: string): string {
  const [verb = "", ...rest] = base.split(" ");
  return [withS(verb), ...rest].join(" ");
}

/** Plurals of a common name, of which the last word changes; "agaves" first, as most people make it, then "finches". */
export function pluralsOf(name: string): string[] {
  const lower = name.toLowerCase();
  const forms = [`${lower}s`];
  const right = withS(lower);
  if (right !== forms[0]) forms.push(right);
  if (lower.endsWith("us")) forms.push(`${lower.slice(0, -2)}i`);
  if (lower.endsWith("foot")) forms.push(`${lower.slice(0, -4)}feet`);
  if (lower.endsWith("tooth")) forms.push(`${lower.slice(0, -5)}teeth`);
  return forms;
}

/** What a word could be the plural of: "aloes" of aloe, "echinocacti" of echinocactus; "lithop" is made of lithops. */
export function singularsOf(word: string): string[] {
  const forms = [word.endsWith("s") ? word.slice(0, -1) : `${word}s`];
  if (word.endsWith("es")) forms.push(word.slice(0, -2));
  if (word.endsWith("ies")) forms.push(`${word.slice(0, -3)}y`);
  forms.push(...latinSingulars(word));
  return forms;
}

export const singular = (word: string): string => (word.endsWith("s") ? word.slice(0, -1) : word);

/** "devs" of "Devs fed the orchids": whose name stands in a word that may have lost its apostrophe. */
export const looseOwnerOf = (word: string): string | undefined =>
  word.endsWith("s") ? word.slice(0, -1) : undefined;
