import { readMeasures } from "../../bot/language/en/phrases.js";
import type { Measure } from "../../bot/language/measure.js";
import { vocabulary } from "../language/support/corpus.js";
import type { SetResult } from "./run.js";

export interface MeasureLine {
  text: string;
  expected: { value?: number; from?: number; to?: number; unit: string }[];
}

/** UCUM codes of the units that the public sets name, with their size in the set's own unit of that kind. */
const UNITS: Record<string, { kind: string; size: number }> = {
  C: { kind: "Cel", size: 1 },
  F: { kind: "[degF]", size: 1 },
  degree: { kind: "deg", size: 1 },
  l: { kind: "volume", size: 1 },
  ml: { kind: "volume", size: 0.001 },
  hl: { kind: "volume", size: 100 },
  gal: { kind: "volume", size: 3.785411784 },
  cup: { kind: "volume", size: 0.2365882365 },
  bbl: { kind: "volume", size: 158.987294928 },
  ft3: { kind: "volume", size: 28.316846592 },
  g: { kind: "mass", size: 1 },
  kg: { kind: "mass", size: 1000 },
  ug: { kind: "mass", size: 1e-6 },
  lb: { kind: "mass", size: 453.59237 },
  oz: { kind: "mass", size: 28.349523125 },
  t: { kind: "mass", size: 1e6 },
  m: { kind: "length", size: 1 },
  cm: { kind: "length", size: 0.01 },
  mm: { kind: "length", size: 0.001 },
  dm: { kind: "length", size: 0.1 },
  km: { kind: "length", size: 1000 },
  in: { kind: "length", size: 0.0254 },
  ft: { kind: "length", size: 0.3048 },
  mi: { kind: "length", size: 1609.344 },
};
const OURS: Record<string, { kind: string; size: number }> = {
  Cel: { kind: "Cel", size: 1 },
  "[degF]": { kind: "[degF]", size: 1 },
  deg: { kind: "deg", size: 1 },
  mL: { kind: "volume", size: 0.001 },
  cL: { kind: "volume", size: 0.01 },
  dL: { kind: "volume", size: 0.1 },
  L: { kind: "volume", size: 1 },
  hL: { kind: "volume", size: 100 },
  "[gal_us]": { kind: "volume", size: 3.785411784 },
  "[qt_us]": { kind: "volume", size: 0.946352946 },
  "[pt_us]": { kind: "volume", size: 0.473176473 },
  "[cup_us]": { kind: "volume", size: 0.2365882365 },
  "[bbl_us]": { kind: "volume", size: 158.987294928 },
  "[cft_i]": { kind: "volume", size: 28.316846592 },
  "[foz_us]": { kind: "volume", size: 0.0295735295625 },
  ug: { kind: "mass", size: 1e-6 },
  mg: { kind: "mass", size: 1e-3 },
  g: { kind: "mass", size: 1 },
  kg: { kind: "mass", size: 1000 },
  t: { kind: "mass", size: 1e6 },
  "[lb_av]": { kind: "mass", size: 453.59237 },
  "[oz_av]": { kind: "mass", size: 28.349523125 },
  mm: { kind: "length", size: 0.001 },
  cm: { kind: "length", size: 0.01 },
  dm: { kind: "length", size: 0.1 },
  m: { kind: "length", size: 1 },
  km: { kind: "length", size: 1000 },
  "[in_i]": { kind: "length", size: 0.0254 },
  "[ft_i]": { kind: "length", size: 0.3048 },
  "[yd_i]": { kind: "length", size: 0.9144 },
  "[mi_i]": { kind: "length", size: 1609.344 },
};

interface Amount {
  kind: string;
  from?: number;
  to?: number;
  end: number;
  start: number;
}

const near = (a: number | undefined, b: number | undefined): boolean =>
  a === undefined || b === undefined
    ? a === b
    : Math.abs(a - b) <= 1e-6 * Math.max(1e-9, Math.abs(a), Math.abs(b)) + 1e-12;

/** A bound ("at least", "under") leaves one side open, a plain value closes both. */
function amountOf(measure: Measure, start: number, end: number): Amount | undefined {
  const unit = OURS[(measure.unit ?? "").split("/")[0] as string];
  if (!unit) return undefined;
  const low = measure.value * unit.size;
  const high = (measure.to ?? measure.value) * unit.size;
  if (measure.bound === "over") return { kind: unit.kind, from: low, start, end };
  if (measure.bound === "under") return { kind: unit.kind, to: high, start, end };
  return { kind: unit.kind, from: low, to: high, start, end };
}

/** "7 feet and 10 inches" is one length where the set says so. */
function joined(found: readonly Amount[], wanted: number): Amount[] {
  if (found.length <= wanted) return [...found];
  const result: Amount[] = [];
  for (const one of found) {
    const last = result.at(-1);
    if (
      last &&
      last.kind === one.kind &&
      one.start - last.end <= 1 &&
      last.from !== undefined &&
      one.from !== undefined
    ) {
      last.from += one.from;
      last.to = (last.to ?? 0) + (one.to ?? 0);
      last.end = one.end;
    } else result.push({ ...one });
  }
  return result;
}

/** Values and units of measures, compared in one unit a kind. */
export function checkMeasures(set: string, lines: readonly MeasureLine[]): SetResult {
  const failures: string[] = [];
  let right = 0;
  for (const line of lines) {
    const all = readMeasures(line.text, vocabulary().lexicon).flatMap((one) => {
      const amount = amountOf(one.measure, one.start, one.end);
      return amount && (set === "temperature") === ["Cel", "[degF]", "deg"].includes(amount.kind)
        ? [amount]
        : [];
    });
    const found = joined(all, line.expected.length);
    const wanted = line.expected.map((one) => {
      const unit = UNITS[one.unit] as { kind: string; size: number };
      const low = one.value ?? one.from;
      const high = one.value ?? one.to;
      return {
        kind: unit.kind,
        from: low === undefined ? undefined : low * unit.size,
        to: high === undefined ? undefined : high * unit.size,
      };
    });
    const same =
      found.length === wanted.length &&
      wanted.every(
        (one, i) =>
          one.kind === found[i]?.kind && near(one.from, found[i]?.from) && near(one.to, found[i]?.to),
      );
    if (same) right++;
    else failures.push(`${line.text} | want ${JSON.stringify(line.expected)} | got ${JSON.stringify(found)}`);
  }
  return { set, lines: lines.length, right, remark: "value and unit", failures };
}
