import { type Hemisphere, turnMonth } from "./seasons.js";

/** English names of the months, for texts of the tables that name one. */
export const MONTH_NAMES = [
  "January",
  "February",
  "March",
  "April",
  "May",
  "June",
  "July",
  "August",
  "September",
  "October",
  "November",
  "December",
] as const;

const NAMED = new RegExp(
  `\\b(?:${MONTH_NAMES.map((name) => `${name}|${name.slice(0, 3)}(?=[\\s,;.)–-]|$)`).join("|")})`,
  "g",
);

/**
 * A text of the tables as a southern reader should see it: each month it names moved by half a year. "may" and
 * "march" in lower case are left alone.
 * @example turnMonthWords("stop water by late October", "south") //=> "stop water by late April"
 */
export function turnMonthWords(text: string, hemisphere: Hemisphere): string {
  if (hemisphere === "north") return text;
  return text.replace(NAMED, (word) => {
    const month = MONTH_NAMES.findIndex((name) => name.startsWith(word.slice(0, 3))) + 1;
    const turned = MONTH_NAMES[turnMonth(month, hemisphere) - 1] as string;
    return word.length === 3 && word !== "May" ? turned.slice(0, 3) : turned;
  });
}

/**
 * Months as spans, over the turn of the year where they run on; months in any order.
 * @example monthSpans([12, 1, 2, 9]) //=> [[9, 9], [12, 2]]
 */
export function monthSpans(months: readonly number[]): [from: number, to: number][] {
  const held = new Set(months);
  if (held.size === 12) return [[1, 12]];
  const before = (month: number) => ((month + 10) % 12) + 1;
  const after = (month: number) => (month % 12) + 1;
  const spans: [number, number][] = [];
  for (const month of [...held].sort((a, b) => a - b)) {
    if (held.has(before(month))) continue;
    let to = month;
    while (held.has(after(to))) to = after(to);
    spans.push([month, to]);
  }
  return spans;
}
