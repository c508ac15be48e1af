/** How many lines a reply has at most. */
export const LINES = 4;

export interface Folded {
  lines: string[];
  /** What waits behind the button. */
  more: string[];
}

/** At most four lines; of a longer list the last one says how many more there are. */
export function fold(lines: readonly string[], what = "more", most = LINES): Folded {
  if (lines.length <= most) return { lines: [...lines], more: [] };
  const shown = lines.slice(0, most - 1);
  const more = lines.slice(most - 1);
  return { lines: [...shown, `And ${more.length} ${what}.`], more };
}
