import { Temporal } from "temporal-polyfill";

/**
 * The instant at which a wall-clock time comes on a day in a zone. In a gap (clocks go forward over it) the first
 * valid instant after it, in an overlap (clocks go back over it) the first of the two; so every day has exactly one.
 * A day that a zone left out altogether (Samoa, 30 December 2011) has the first instant after it.
 * @param time "07:30"
 * @throws {RangeError} if the time or the zone cannot be read
 * @example morningInstant(date("2027-03-28"), "02:30", "Europe/Berlin") //=> 2027-03-28T01:00:00Z, 03:00 there
 */
export function morningInstant(date: Temporal.PlainDate, time: string, zone: string): Temporal.Instant {
  const wanted = date.toPlainDateTime(Temporal.PlainTime.from(time));
  const before = wanted.toZonedDateTime(zone, { disambiguation: "earlier" });
  const after = wanted.toZonedDateTime(zone, { disambiguation: "later" });
  if (before.toPlainDateTime().equals(wanted)) return before.toInstant();
  // In the gap the two readings lie around it; the transition between them is the first valid instant.
  const transition = before.getTimeZoneTransition("next");
  return (transition ?? after).toInstant();
}
