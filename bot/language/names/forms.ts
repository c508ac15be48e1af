/** Plurals of an English common name: the last word changes. */
export function commonPlurals(name: string): string[] {
  const lower = name.toLowerCase();
  const forms = [`${lower}s`];
  if (/(s|x|z|ch|sh)$/.test(lower)) forms.push(`${lower}es`);
  if (/[^aeiou]y$/.test(lower)) forms.push(`${lower.slice(0, -1)}ies`);
  if (lower.endsWith("us")) forms.push(`${lower.slice(0, -2)}i`);
  if (lower.endsWith("foot")) forms.push(`${lower.slice(0, -4)}feet`);
  if (lower.endsWith("tooth")) forms.push(`${lower.slice(0, -5)}teeth`);
  return forms;
}

const EPITHET = /^[a-z]{3,}(?:a|us|um|is|ii|i|ae|oides|ens|ans|ior|ops|fera|ata)$/;

/** Whether a lower-case word could be a species epithet that the tables do not hold. */
export const looksLikeEpithet = (word: string): boolean => EPITHET.test(word);

/** What a word could be the plural of: "aloes" of aloe, "echinocacti" of echinocactus. */
export function singularForms(word: string): string[] {
  const forms: string[] = [];
  if (word.endsWith("s")) forms.push(word.slice(0, -1));
  else forms.push(`${word}s`);
  if (word.endsWith("es")) forms.push(word.slice(0, -2), `${word.slice(0, -2)}is`);
  if (word.endsWith("ii")) forms.push(`${word.slice(0, -2)}us`);
  if (word.endsWith("i")) forms.push(`${word.slice(0, -1)}us`);
  if (word.endsWith("as")) forms.push(`${word.slice(0, -2)}um`);
  if (word.endsWith("a")) forms.push(`${word.slice(0, -1)}um`, `${word.slice(0, -1)}on`);
  if (word.endsWith("ae")) forms.push(word.slice(0, -1));
  if (word.endsWith("ies")) forms.push(`${word.slice(0, -3)}y`);
  return forms;
}
