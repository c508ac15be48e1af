import type { DuePlant, WaterDue } from "../horticulture/due/types.js";
import { taxonOf } from "./lines.js";

/** What a simulation counts, and what should not have happened in it. */
export class Tally {
  days = 0;
  mornings = 0;
  dangers = 0;
  readings = 0;
  waterings = 0;
  otherEntries = 0;
  /** Waterings later than their window, by the named reason; those without one are violations. */
  readonly late = new Map<string, number>();
  readonly violations = new Map<string, string[]>();
  /** Plants that no rule of the table speaks for. */
  readonly unruled = new Set<string>();

  violation(kind: string, what: string): void {
    const list = this.violations.get(kind) ?? [];
    list.push(what);
    this.violations.set(kind, list);
  }

  /** A watering that was later than its window. */
  lateWatering(item: WaterDue, date: string, reason: string | null): void {
    const kind = reason === null ? "no reason" : (reason.split(/[ :]/)[0] as string);
    this.late.set(kind, (this.late.get(kind) ?? 0) + 1);
    if (reason === null) this.violation("interval over range without reason", `${named(item.plant)} ${date}`);
  }

  get broken(): number {
    return [...this.violations.values()].reduce((sum, list) => sum + list.length, 0);
  }

  /** Lines for a person. */
  lines(): string[] {
    const late = [...this.late].map(([reason, count]) => `${reason} ${count}`).join(", ");
    return [
      `${this.days} days: ${this.mornings} mornings, ${this.dangers} danger messages, ${this.readings} readings, ${this.waterings} waterings, ${this.otherEntries} other entries.`,
      `Waterings after their window: ${late === "" ? "none" : late}.`,
      ...(this.unruled.size === 0 ? [] : [`Without a rule, left out: ${[...this.unruled].join("; ")}.`]),
      `Violations: ${this.broken === 0 ? "none" : this.broken}.`,
      ...[...this.violations].map(
        ([kind, list]) =>
          `  ${kind}: ${list.length} (${list.slice(0, 3).join("; ")}${list.length > 3 ? "; ..." : ""})`,
      ),
    ];
  }
}

export const named = (plant: DuePlant): string =>
  `${plant.tag ?? taxonOf(plant)}${plant.place === null ? "" : `, ${plant.place}`}`;
