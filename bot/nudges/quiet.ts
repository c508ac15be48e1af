import { Temporal } from "temporal-polyfill";
import type { Household } from "../journal/ports.js";

/** Nights in which nothing late is made up for, where a household has told no quiet hours of its own. */
const USUAL_NIGHT = { from: "21:00", to: "07:00" } as const;

type Span = { from: string; to: string };

/** When the quiet hours that hold at this instant end; null outside of them. */
export function quietUntil(span: Span | null, zone: string, now: Temporal.Instant): Temporal.Instant | null {
  if (span === null || span.from === span.to) return null;
  const local = now.toZonedDateTimeISO(zone);
  const time = local.toPlainTime();
  const from = Temporal.PlainTime.from(span.from);
  const to = Temporal.PlainTime.from(span.to);
  const afterFrom = Temporal.PlainTime.compare(time, from) >= 0;
  const beforeTo = Temporal.PlainTime.compare(time, to) < 0;
  const overNight = Temporal.PlainTime.compare(from, to) > 0;
  if (overNight ? !(afterFrom || beforeTo) : !(afterFrom && beforeTo)) return null;
  const day = overNight && afterFrom ? local.toPlainDate().add({ days: 1 }) : local.toPlainDate();
  const end = day.toZonedDateTime({ timeZone: zone, plainTime: to }).toInstant();
  // On the day the clocks change the end may already be past.
  return Temporal.Instant.compare(end, now) > 0 ? end : null;
}

/** When a danger may be told; null for at once. */
export const dangerWaitsUntil = (
  household: Pick<Household, "quietHours" | "dangerAtNight">,
  zone: string,
  now: Temporal.Instant,
): Temporal.Instant | null =>
  household.dangerAtNight === true ? null : quietUntil(household.quietHours, zone, now);

/** Whether something that is late may still be made up for at this hour. */
export const mayMakeUp = (
  household: Pick<Household, "quietHours">,
  zone: string,
  now: Temporal.Instant,
): boolean => quietUntil(household.quietHours ?? USUAL_NIGHT, zone, now) === null;
