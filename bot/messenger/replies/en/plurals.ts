/** How growers speak of several plants of a genus: in lower case and as an English plural, where the name bears one. */

/** Names that do not follow the endings. */
const OWN: Readonly<Record<string, string>> = {
  Cymbidium: "cymbidiums",
  Opuntia: "opuntias",
  Cactus: "cacti",
};

/**
 * @example plural("Haworthia") //=> "haworthias"; plural("Ferocactus") //=> "ferocacti"; plural("Lithops") //=> "lithops"
 */
export function plural(genus: string): string {
  const own = OWN[genus];
  if (own) return own;
  const name = genus.toLowerCase();
  if (/cactus$/.test(name)) return name.replace(/us$/, "i");
  // Greek and Latin names in -s and -x stand for one and for many: lithops, echinopsis, adromischus.
  if (/[sx]$/.test(name)) return name;
  if (/[^aeiou]y$/.test(name)) return name.replace(/y$/, "ies");
  return `${name}s`;
}
