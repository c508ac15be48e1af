/** Comparing names as people type them. Pure string work, no knowledge of plants. */

/** Lower case, no accents, no apostrophes, hyphens as spaces, single spaces, no hybrid sign. */
export function plain(name: string): string {
  return name
    .replace(/(^|\s)[×x](?=[A-Z])/g, "$1")
    .normalize("NFD")
    .replace(/[\u0300-\u036f]/g, "")
    .toLowerCase()
    .replace(/[’'`´]/g, "")
    .replace(/[-–_]/g, " ")
    .replace(/(?:^|\s)[×x](?=\s|$)|×/g, " ")
    .replace(/[^a-z0-9[\] .]/g, " ")
    .replace(/\s+/g, " ")
    .trim();
}

/** A name as it sounds: spellings that are heard alike become equal. */
export function heard(name: string): string {
  return name
    .replace(/ph/g, "f")
    .replace(/rh/g, "r")
    .replace(/th/g, "t")
    .replace(/ch/g, "c")
    .replace(/[ao]e/g, "e")
    .replace(/[ck]/g, "c")
    .replace(/y/g, "i")
    .replace(/z/g, "s")
    .replace(/(.)\1+/g, "$1");
}

/**
 * Edits between two words, counting a swap of neighbours as one (optimal string alignment).
 * @param limit beyond it the answer is limit + 1
 * @example editDistance("copiopoa", "copiapoa", 2) //=> 1
 */
export function editDistance(a: string, b: string, limit: number): number {
  if (Math.abs(a.length - b.length) > limit) return limit + 1;
  let beforeLast: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, column) => column);
  for (let row = 1; row <= a.length; row++) {
    const current = [row];
    let least = row;
    for (let column = 1; column <= b.length; column++) {
      const same = a[row - 1] === b[column - 1];
      let cost = Math.min(
        (last[column] as number) + 1,
        (current[column - 1] as number) + 1,
        (last[column - 1] as number) + (same ? 0 : 1),
      );
      if (row > 1 && column > 1 && a[row - 1] === b[column - 2] && a[row - 2] === b[column - 1]) {
        cost = Math.min(cost, (beforeLast[column - 2] as number) + 1);
      }
      current[column] = cost;
      least = Math.min(least, cost);
    }
    if (least > limit) return limit + 1;
    beforeLast = last;
    last = current;
  }
  return Math.min(last[b.length] as number, limit + 1);
}

/** What a plural may be the plural of, likeliest first: aloes, cacti, crassulae, sempervivums, cactuses. */
export function singulars(word: string): string[] {
  const forms: string[] = [];
  if (word.endsWith("ies")) forms.push(`${word.slice(0, -3)}y`);
  if (word.endsWith("es") && word.length > 4) forms.push(word.slice(0, -2), word.slice(0, -1));
  if (word.endsWith("s") && word.length > 3) forms.push(word.slice(0, -1));
  if (word.endsWith("i") && word.length > 4) forms.push(`${word.slice(0, -1)}us`, `${word.slice(0, -1)}os`);
  if (word.endsWith("ii") && word.length > 4) forms.push(`${word.slice(0, -2)}us`);
  if (word.endsWith("ae") && word.length > 4) forms.push(word.slice(0, -1));
  if (word.endsWith("a") && word.length > 4) forms.push(`${word.slice(0, -1)}um`);
  if (word.endsWith("leaves")) forms.push(`${word.slice(0, -6)}leaf`);
  return forms;
}

/** A Latin epithet without its gender: magnifica and magnificus meet. */
export function epithetStem(epithet: string): string {
  return epithet.replace(/(?:us|um|a|is|e|er|ra|rum)$/, "").replace(/(?:ii|i|ae)$/, "i");
}
