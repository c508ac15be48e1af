/**
 * A phrase of time before it is settled: which day it means depends on whether the sentence looks back (a
 * log) or ahead (a plan).
 */
export interface TimeExpr {
  day?: DayExpr;
  /** Part of the day. */
  part?: Part;
  /** "this morning", "last night", "tonight": the part nearest to now. */
  near?: "this" | "last" | "next";
  clock?: Clock;
  /** End of a span of clock times on one day. */
  clockTo?: Clock;
  span?: SpanExpr;
  /** "since X": from the start of X until now. */
  open?: "since" | "until" | "after" | "before";
  /** End of a range of days. */
  to?: TimeExpr;
  /** "at about eleven". */
  about?: true;
  /** "the same day": whatever the clause before said. */
  same?: true;
  /** "the next day": so many days after what the clause before said. */
  later?: number;
}
export type Part = "morning" | "afternoon" | "evening" | "night";
export interface Clock {
  hour: number;
  minute: number;
  /** Minutes were written, so it is a moment and not an hour. */
  exact: boolean;
  /** Written "530": the half of the day is open. */
  loose?: true;
  /** "7 am": settled; a bare "7" may be either. */
  half?: "am" | "pm";
}
export type DayExpr =
  | { kind: "offset"; days: number }
  | { kind: "weekday"; weekday: number; shift?: -1 | 0 | 1; week?: number; back?: number }
  | { kind: "date"; year?: number; month: number; day: number; weekday?: number }
  | { kind: "day-of-month"; day: number; month?: -1 | 0 | 1; weekday?: number }
  | { kind: "easter"; days: number; year?: number }
  | { kind: "nth-weekday"; nth: number; weekday: number; month?: number; year?: number; monthShift?: number }
  | { kind: "from"; base: DayExpr; days: number };
export type SpanExpr =
  | { kind: "week"; shift: number; part?: "start" | "end" | "middle" }
  | { kind: "weekend"; shift: number | undefined }
  | { kind: "month"; month: number; year?: number; shift?: -1 | 0 | 1; part?: "start" | "end" | "middle" }
  | { kind: "month-shift"; shift: number; part?: "start" | "end" | "middle" }
  | { kind: "year"; year?: number; shift?: number; part?: "start" | "end" | "middle" }
  | { kind: "season"; season: "spring" | "summer" | "autumn" | "winter"; shift?: -1 | 0 | 1; year?: number }
  | { kind: "last"; count: number; unit: TimeUnit }
  | { kind: "nth-week"; nth: number; month?: number; year?: number; monthShift?: number }
  | { kind: "ago"; count: number; unit: TimeUnit; ahead?: true };
export type TimeUnit = "minute" | "hour" | "day" | "week" | "fortnight" | "month" | "year" | "night";
