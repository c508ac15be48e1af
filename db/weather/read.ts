import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { parse } from "csv-parse/sync";
import { Temporal } from "temporal-polyfill";
import { TableError } from "../care/csv.js";

const WEATHER_DIR = dirname(fileURLToPath(import.meta.url));

/** One day outdoors. */
export interface WeatherDay {
  minC: number;
  maxC: number;
  /** Mean relative humidity, %. */
  humidity: number;
}

/** Whole years of daily weather, used over and over: the years of a date are counted round. */
export class WeatherSeries {
  readonly #days = new Map<string, WeatherDay>();
  readonly #from: number;
  readonly #years: number;

  constructor(days: ReadonlyMap<string, WeatherDay>) {
    const years = [...days.keys()].map((date) => Number(date.slice(0, 4)));
    this.#from = Math.min(...years);
    this.#years = Math.max(...years) - this.#from + 1;
    for (const [date, day] of days) this.#days.set(date, day);
  }

  /** Weather of a day; in the south that of the day half a year later. */
  on(date: Temporal.PlainDate, hemisphere: "north" | "south" = "north"): WeatherDay {
    const turned = hemisphere === "south" ? date.add({ months: 6 }) : date;
    const round = (((turned.year - this.#from) % this.#years) + this.#years) % this.#years;
    const year = this.#from + round;
    const day = this.#days.get(
      Temporal.PlainDate.from({ year, month: turned.month, day: turned.day }).toString(),
    );
    if (!day) throw new RangeError(`the weather file holds no ${turned}`);
    return day;
  }
}

/**
 * Daily weather from a CSV file with columns date, min_c, max_c, humidity; lines that begin with # are remarks.
 * @throws {TableError} naming the line that cannot be read
 */
export function readWeather(name = "baltic-coast.csv", dir = WEATHER_DIR): WeatherSeries {
  const file = `db/weather/${name}`;
  const rows = parse(readFileSync(join(dir, name), "utf8"), {
    columns: true,
    comment: "#",
    trim: true,
    info: true,
  }) as unknown as { record: Record<string, string>; info: { lines: number } }[];
  const days = new Map<string, WeatherDay>();
  for (const { record, info } of rows) {
    const number = (column: string): number => {
      const value = Number(record[column]);
      if (record[column] === undefined || record[column] === "" || !Number.isFinite(value)) {
        throw new TableError(file, info.lines, `${column}: "${record[column] ?? ""}" is no number`);
      }
      return value;
    };
    const day = { minC: number("min_c"), maxC: number("max_c"), humidity: number("humidity") };
    if (day.minC > day.maxC) throw new TableError(file, info.lines, "the minimum lies above the maximum");
    days.set(record.date ?? "", day);
  }
  if (days.size === 0) throw new TableError(file, 1, "holds no day");
  return new WeatherSeries(days);
}
