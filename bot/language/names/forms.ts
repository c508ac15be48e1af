/**
 * The ways a Latin genus name is written in the plural or the possessive: Aloe, aloes; Echeveria,
 * echeverias, echeveriae; Copiapoa; Lithops; Astrophytum, astrophyta; Echinocactus, echinocacti.
 */
export function pluralForms(name: string): string[] {
  const lower = name.toLowerCase();
  const forms = new Set<string>([`${lower}s`, `${lower}es`]);
  if (lower.endsWith("us")) {
    forms.add(`${lower.slice(0, -2)}i`);
    forms.add(`${lower.slice(0, -2)}ii`);
  }
  if (lower.endsWith("um")) {
    forms.add(`${lower.slice(0, -2)}a`);
    forms.add(`${lower.slice(0, -2)}as`);
  }
  if (lower.endsWith("a")) forms.add(`${lower}e`);
  if (lower.endsWith("is")) forms.add(`${lower.slice(0, -2)}es`);
  if (lower.endsWith("on")) forms.add(`${lower.slice(0, -2)}a`);
  if (lower.endsWith("y")) forms.add(`${lower.slice(0, -1)}ies`);
  if (lower.endsWith("s")) forms.add(lower.slice(0, -1));
  if (lower.endsWith("f")) forms.add(`${lower.slice(0, -1)}ves`);
  return [...forms];
}

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

const EPITHET = /^[a-z]{4,}(a|us|um|is|e|ii|i|ae|ens|ans|or|oides|ops|ata|x|as|es|on|os)$/;

/** Whether a lower-case word could be a species epithet that the tables do not hold. */
export const looksLikeEpithet = (word: string): boolean => EPITHET.test(word);
