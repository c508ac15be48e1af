import { Temporal } from "temporal-polyfill";
import type { When } from "../language/interpretation.js";

/** Local wall-clock of an instant, "YYYY-MM-DDTHH:MM". */
export function localMinute(instant: Temporal.Instant, zone: string): string {
  return instant.toZonedDateTimeISO(zone).toPlainDateTime().toString({ smallestUnit: "minute" });
}

/**
 * The instants of a local wall-clock range: in a daylight-saving gap the first valid instant after it, in an
 * overlap the earlier of the two for the start and the later for the end, so that nothing falls between.
 */
export function instantsOf(when: When, zone: string): { from: Temporal.Instant; to: Temporal.Instant } {
  const at = (text: string, disambiguation: "compatible" | "later") =>
    Temporal.PlainDateTime.from(text).toZonedDateTime(zone, { disambiguation }).toInstant();
  const from = at(when.from, "compatible");
  if (when.to === when.from) return { from, to: from };
  const to = at(when.to, "later");
  return { from, to };
}

/** Whole calendar days between two instants in a zone; negative when `later` lies before `earlier`. */
export function daysBetween(earlier: Temporal.Instant, later: Temporal.Instant, zone: string): number {
  const a = earlier.toZonedDateTimeISO(zone).toPlainDate();
  const b = later.toZonedDateTimeISO(zone).toPlainDate();
  return a.until(b, { largestUnit: "day" }).days;
}

/** The local day on which something that took the range [from, to) is said to have been done: its last day. */
export function dayOf(from: Temporal.Instant, to: Temporal.Instant, zone: string): Temporal.PlainDate {
  const last = Temporal.Instant.compare(to, from) > 0 ? to.subtract({ milliseconds: 1 }) : from;
  return last.toZonedDateTimeISO(zone).toPlainDate();
}
