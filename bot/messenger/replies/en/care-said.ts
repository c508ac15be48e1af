import type { ListItem } from "../../../horticulture/answers.js";
import { list } from "./figures.js";

/** An answer in words: at most four lines, the rest behind a button, and what may be tapped next. */
export interface CareSaid {
  lines: string[];
  more: string[];
  /** Names to choose from: what the button shows, and what typing it would say. */
  choices: { label: string; words: string }[];
}

export const LINES = 4;
export const NAMES_IN_LINE = 8;

/** Result first; whatever does not fit into four lines goes behind the button. */
export function said(lines: readonly (string | null)[], more: readonly (string | null)[] = []): CareSaid {
  const told = lines.filter((line): line is string => line !== null && line !== "");
  const rest = more.filter((line): line is string => line !== null && line !== "");
  return { lines: told.slice(0, LINES), more: [...told.slice(LINES), ...rest], choices: [] };
}

/** As {@link said}, with the basis always in sight: on a line of its own, or at the end of the last one. */
export function grounded(
  lines: readonly (string | null)[],
  basis: string,
  more: readonly (string | null)[] = [],
): CareSaid {
  const told = lines.filter((line): line is string => line !== null && line !== "");
  const shown = told.slice(0, LINES);
  const last = shown[shown.length - 1] ?? "";
  const joined = shown.length > 1 && (shown.length === LINES || last.length + basis.length <= 76);
  const first = joined ? [...shown.slice(0, -1), `${last} ${basis}`] : [...shown, basis];
  return said(first, [...told.slice(LINES), ...more]);
}

/** The person's own word first, the accepted name in brackets where it differs. */
export function nameOf(asked: string, accepted: string): string {
  return asked.toLowerCase() === accepted.toLowerCase() ? accepted : `${asked} (${accepted})`;
}

/** "Aloe, Gasteria and 3 more" */
export function names(items: readonly ListItem[], show: (item: ListItem) => string): string {
  const shown = items.slice(0, NAMES_IN_LINE).map(show);
  const left = items.length - shown.length;
  return left > 0 ? `${shown.join(", ")} and ${left} more` : list(shown);
}
