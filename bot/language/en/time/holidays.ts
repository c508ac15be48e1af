import type { TimeMatch } from "../../language.js";

/** What a row of the calendar's table says of a holiday: "easter+1", "nth:1:1:9" (number, weekday, month) or "12-25". */
export function holidayMatch(
  holiday: { end: number; value: string },
  year: { end: number; value: number } | undefined,
): TimeMatch {
  const end = year?.end ?? holiday.end;
  const given = year ? { year: year.value } : {};
  if (holiday.value.startsWith("easter")) {
    return { end, expr: { day: { kind: "easter", days: Number(holiday.value.slice(6)) || 0, ...given } } };
  }
  if (holiday.value.startsWith("nth:")) {
    const [, nth, weekday, inMonth] = holiday.value.split(":").map(Number);
    return {
      end,
      expr: {
        day: {
          kind: "nth-weekday",
          nth: nth as number,
          weekday: weekday as number,
          month: inMonth as number,
          ...given,
        },
      },
    };
  }
  const [month, day] = holiday.value.split("-").map(Number);
  return { end, expr: { day: { kind: "date", month: month as number, day: day as number, ...given } } };
}
