import { Temporal } from "temporal-polyfill";
import { fahrenheit, fahrenheitDifference } from "../../../journal/units.js";
import type { Grain, Quantity, When } from "../../../language/interpretation.js";

/** How this household wants numbers and dates written. */
export interface Manner {
  units: "metric" | "imperial";
  zone: string;
  now: Temporal.Instant;
}

/** One decimal where there is one, a real minus sign. */
export function number(value: number, digits = 1): string {
  const rounded = Number(value.toFixed(digits));
  return String(Object.is(rounded, -0) ? 0 : rounded).replace("-", "−");
}

/** A limit or a figure of the trade, in whole °F. */
export const temperature = (celsius: number, manner: Pick<Manner, "units">): string =>
  manner.units === "imperial" ? `${number(fahrenheit(celsius), 0)} °F` : `${number(celsius)} °C`;

/** A temperature as it was read, to a tenth. */
export const readTemperature = (celsius: number, manner: Pick<Manner, "units">): string =>
  manner.units === "imperial" ? `${number(fahrenheit(celsius))} °F` : `${number(celsius)} °C`;

/** A difference of temperatures: K, or °F without the offset; of what was read, to a tenth. */
export const difference = (kelvin: number, manner: Pick<Manner, "units">, digits = 0): string =>
  manner.units === "imperial" ? `${number(fahrenheitDifference(kelvin), digits)} °F` : `${number(kelvin)} K`;

/** UCUM codes in the words of growers. */
const UNIT_WORDS: Readonly<Record<string, string>> = {
  Cel: "°C",
  "[degF]": "°F",
  mL: "ml",
  L: "l",
  cL: "cl",
  dL: "dl",
  hL: "hl",
  "[gal_us]": "US gal",
  "[gal_br]": "gal",
  "[qt_us]": "US qt",
  "[qt_br]": "qt",
  "[pt_us]": "US pt",
  "[pt_br]": "pt",
  "[foz_us]": "US fl oz",
  "[foz_br]": "fl oz",
  "[oz_av]": "oz",
  "[lb_av]": "lb",
  "[tsp_us]": "tsp",
  "[tbs_us]": "tbsp",
  "[cup_us]": "cups",
  "[bbl_us]": "barrels",
  "[in_i]": "in",
  "[ft_i]": "ft",
  "[yd_i]": "yd",
  "[mi_i]": "miles",
  "[cft_i]": "cu ft",
  "[Btu_IT]": "Btu",
  "[ftcd]": "foot-candles",
  "[ppm]": "ppm",
  "kW.h": "kWh",
  "W.h": "Wh",
  ug: "µg",
  d: "days",
  wk: "weeks",
  mo: "months",
  W: "W",
  K: "K",
};

/** A unit as people write it: "ml/l", "°C"; nothing for a bare number. */
export const unitWords = (unit: string): string =>
  unit === "1"
    ? ""
    : unit
        .split("/")
        .map((part) => UNIT_WORDS[part] ?? part)
        .join("/");

/** A quantity as it was said, its unit in plain words. */
export const quantity = (q: Quantity, digits = 2): string =>
  `${number(q.value, digits)} ${unitWords(q.unit)}`.trimEnd();

const DAYS = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];
const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
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
];
export const DAY_NAMES = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"];

/** "Tue 12 Jan", with the year where it is not this one. */
export function shortDate(date: Temporal.PlainDate, today: Temporal.PlainDate): string {
  const year = date.year === today.year || Math.abs(today.until(date).days) < 120 ? "" : ` ${date.year}`;
  return `${DAYS[date.dayOfWeek - 1]} ${date.day} ${MONTHS[date.month - 1]}${year}`;
}

/** "today", "yesterday", "tomorrow", "6 days ago", "in 3 days". */
export function nearness(date: Temporal.PlainDate, today: Temporal.PlainDate): string {
  const days = today.until(date, { largestUnit: "day" }).days;
  if (days === 0) return "today";
  if (days === -1) return "yesterday";
  if (days === 1) return "tomorrow";
  return days < 0 ? `${-days} days ago` : `in ${days} days`;
}

/** Both near and exact: "Tue 12 Jan, 6 days ago"; "today" and "yesterday" stand alone. */
export function day(date: Temporal.PlainDate, today: Temporal.PlainDate): string {
  const near = nearness(date, today);
  return /\d/.test(near) ? `${shortDate(date, today)}, ${near}` : near;
}

const PARTS: Readonly<Record<number, string>> = { 6: "morning", 12: "afternoon", 18: "evening" };

/** When something was, as short as it can be said exactly. */
export function when(range: When | undefined, manner: Manner): string {
  const today = manner.now.toZonedDateTimeISO(manner.zone).toPlainDate();
  if (!range) return "today";
  const from = Temporal.PlainDateTime.from(range.from);
  const to = Temporal.PlainDateTime.from(range.to);
  const said = SAY[range.grain];
  return said(from, to, today);
}

type SayRange = (
  from: Temporal.PlainDateTime,
  to: Temporal.PlainDateTime,
  today: Temporal.PlainDate,
) => string;

const clock = (time: Temporal.PlainDateTime): string =>
  time.toPlainTime().toString({ smallestUnit: "minute" });

const lastDay = (from: Temporal.PlainDateTime, to: Temporal.PlainDateTime): Temporal.PlainDate => {
  const last = to.subtract({ minutes: 1 }).toPlainDate();
  return Temporal.PlainDate.compare(last, from.toPlainDate()) < 0 ? from.toPlainDate() : last;
};

const SAY: Readonly<Record<Grain, SayRange>> = {
  moment: (from, _to, today) => `${clock(from)} ${day(from.toPlainDate(), today)}`,
  hour: (from, _to, today) => `${clock(from)} ${day(from.toPlainDate(), today)}`,
  part: (from, _to, today) => {
    const near = nearness(from.toPlainDate(), today);
    const part = PARTS[from.hour] ?? "";
    if (near === "today") return part === "" ? "today" : `this ${part}`;
    return `${near === "yesterday" ? "yesterday" : shortDate(from.toPlainDate(), today)} ${part}`.trim();
  },
  night: (from, to, today) => nightOf(from.toPlainDate(), to.toPlainDate(), today),
  day: (from, to, today) => {
    const last = lastDay(from, to);
    if (from.toPlainDate().equals(last)) return day(last, today);
    return `${shortDate(from.toPlainDate(), today)} to ${shortDate(last, today)}`;
  },
  week: (from, to, today) =>
    `week of ${shortDate(from.toPlainDate(), today)} to ${shortDate(lastDay(from, to), today)}`,
  month: (from, _to, today) =>
    `${MONTH_NAMES[from.month - 1]}${from.year === today.year ? "" : ` ${from.year}`}`,
};

/** "night of 14 to 15 Jan": names the night without a quarrel about which date it has. */
export function nightOf(from: Temporal.PlainDate, to: Temporal.PlainDate, today: Temporal.PlainDate): string {
  const year = to.year === today.year ? "" : ` ${to.year}`;
  if (from.month === to.month) return `night of ${from.day} to ${to.day} ${MONTHS[to.month - 1]}${year}`;
  return `night of ${from.day} ${MONTHS[from.month - 1]} to ${to.day} ${MONTHS[to.month - 1]}${year}`;
}

/** "a", "a and b", "a, b and c". */
export function list(words: readonly string[]): string {
  if (words.length <= 1) return words[0] ?? "";
  return `${words.slice(0, -1).join(", ")} and ${words[words.length - 1]}`;
}
