/**
 * Writes `baltic-coast.csv`: four years of daily weather of our own making, always the same.
 *
 *   npx tsx db/weather/make-baltic-coast.ts
 *
 * Synthetic: monthly means as one knows them from the southern Baltic coast (from memory), a wandering departure from
 * them, and spells put in by hand: cold snaps, a late frost, heat waves, damp weeks. No station's measurements.
 */
import { writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { Temporal } from "temporal-polyfill";

const FROM = "2021-01-01";
const TO = "2024-12-31";

const MEAN_MIN = [-2, -2, 0, 3.5, 8, 11.5, 14, 14, 11, 6.5, 2.5, -0.5];
const MEAN_MAX = [2, 2.5, 6, 11, 16, 19.5, 22, 22, 18, 12.5, 6.5, 3];
const MEAN_RH = [86, 84, 80, 74, 72, 73, 75, 76, 79, 82, 86, 88];
/** Standard deviation of a day's departure, K. */
const SPREAD = [4.2, 4, 3.4, 3, 3, 2.8, 2.5, 2.4, 2.5, 3, 3.4, 4];

interface Spell {
  from: string;
  days: number;
  kelvin: number;
  /** Added to the relative humidity, %. */
  rh: number;
}
const SPELLS: readonly Spell[] = [
  { from: "2021-01-14", days: 8, kelvin: -9, rh: -4 },
  { from: "2021-02-06", days: 6, kelvin: -8, rh: -6 },
  { from: "2021-04-12", days: 3, kelvin: -5, rh: -8 },
  { from: "2021-06-18", days: 5, kelvin: 6, rh: -12 },
  { from: "2021-11-08", days: 11, kelvin: 1, rh: 11 },
  { from: "2021-12-20", days: 9, kelvin: -8, rh: -3 },
  { from: "2022-01-27", days: 6, kelvin: 6, rh: 6 },
  { from: "2022-03-08", days: 6, kelvin: -6, rh: -6 },
  { from: "2022-05-09", days: 3, kelvin: -5, rh: -6 },
  { from: "2022-07-18", days: 8, kelvin: 8, rh: -16 },
  { from: "2022-10-16", days: 5, kelvin: -4, rh: -4 },
  { from: "2022-12-09", days: 12, kelvin: -7, rh: -2 },
  { from: "2023-02-03", days: 9, kelvin: -12, rh: -8 },
  { from: "2023-04-02", days: 4, kelvin: -5, rh: -6 },
  { from: "2023-08-11", days: 10, kelvin: 6, rh: -10 },
  { from: "2023-10-24", days: 12, kelvin: 2, rh: 12 },
  { from: "2023-11-26", days: 8, kelvin: -6, rh: 0 },
  { from: "2024-01-05", days: 7, kelvin: -11, rh: -6 },
  { from: "2024-02-12", days: 10, kelvin: 5, rh: 8 },
  { from: "2024-05-18", days: 5, kelvin: 5, rh: -14 },
  { from: "2024-06-26", days: 6, kelvin: 7, rh: -10 },
  { from: "2024-09-02", days: 5, kelvin: 6, rh: -8 },
  { from: "2024-11-12", days: 12, kelvin: 1, rh: 10 },
];

/** Numbers in [0, 1), the same ones every time. */
function numbers(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}
const next = numbers(5405);
const normal = (): number => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next());

/** Straight between the middles of the months. */
function monthly(values: readonly number[], date: Temporal.PlainDate): number {
  const position = date.month - 1 + (date.day - 15) / 30.4;
  const index = Math.floor(position);
  const at = (month: number) => values[(month + 12) % 12] as number;
  return at(index) + (at(index + 1) - at(index)) * (position - index);
}

const lines = [
  "# Synthetic daily weather of a Baltic coast: made by make-baltic-coast.ts, no station's measurements.",
  "date,min_c,max_c,humidity",
];
let departure = 0;
for (
  let date = Temporal.PlainDate.from(FROM);
  Temporal.PlainDate.compare(date, TO) <= 0;
  date = date.add({ days: 1 })
) {
  departure = 0.78 * departure + Math.sqrt(1 - 0.78 ** 2) * normal();
  const spell = SPELLS.filter(({ from, days }) => {
    const since = Temporal.PlainDate.from(from).until(date, { largestUnit: "day" }).days;
    return since >= 0 && since < days;
  });
  const shift = departure * monthly(SPREAD, date) + spell.reduce((sum, { kelvin }) => sum + kelvin, 0);
  const clear = normal() * 0.8;
  const min = monthly(MEAN_MIN, date) + shift - clear;
  const max = Math.max(min + 1, monthly(MEAN_MAX, date) + shift + clear);
  const rh =
    monthly(MEAN_RH, date) + 5 * normal() - 3 * clear + spell.reduce((sum, each) => sum + each.rh, 0);
  const humidity = Math.round(Math.min(99, Math.max(38, rh)));
  lines.push(`${date},${min.toFixed(1)},${max.toFixed(1)},${humidity}`);
}
writeFileSync(join(dirname(fileURLToPath(import.meta.url)), "baltic-coast.csv"), `${lines.join("\n")}\n`);
