import type { Temporal } from "temporal-polyfill";
import type { Window } from "./answers.js";
import { monthSpans } from "./months.js";
import { type Hemisphere, turnMonths } from "./seasons.js";

/**
 * A window of northern months as it stands on a day in the household's hemisphere.
 * @example windowOn([1, 2, 3], Temporal.PlainDate.from("2027-10-05"), "north") // not open; opens 2028-01-01
 */
export function windowOn(
  northern: readonly number[],
  date: Temporal.PlainDate,
  hemisphere: Hemisphere,
): Window {
  const months = turnMonths(northern, hemisphere);
  const open = months.includes(date.month);
  if (open || months.length === 0) return { months, open, opens: null };
  const first = date.with({ day: 1 });
  const ahead = monthSpans(months).map(([from]) => (from - date.month + 12) % 12);
  return { months, open, opens: first.add({ months: Math.min(...ahead) }) };
}
