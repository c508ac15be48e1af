import type { Alarm } from "../journal/outcome.js";
import type { Id, Place } from "../journal/ports.js";

/** An alarm as it is kept with its reminder: the place by id and name, the figures as they were. */
export type DangerFacts = {
  placeId: Id | null;
  placeName: string | null;
  entryId: Id;
} & (
  | {
      kind: "under_floor";
      statistic: "min" | "max" | "current" | "mean";
      valueC: number;
      /** Null: under freezing point, no floor being known. */
      floorC: number | null;
    }
  | { kind: "power_cut" }
  | { kind: "heat_lost"; cold: boolean }
  | { kind: "outdoor_cold"; valueC: number; holdsDownToC: number }
);

export function dangerFacts(alarm: Alarm): DangerFacts {
  const at = {
    placeId: alarm.place?.id ?? null,
    placeName: alarm.place?.name ?? null,
    entryId: alarm.entryId,
  };
  switch (alarm.kind) {
    case "under_floor":
      return {
        ...at,
        kind: alarm.kind,
        statistic: alarm.statistic,
        valueC: alarm.valueC,
        floorC: alarm.place.floorC,
      };
    case "power_cut":
      return { ...at, kind: alarm.kind };
    case "heat_lost":
      return { ...at, kind: alarm.kind, cold: alarm.cold };
    case "outdoor_cold":
      return { ...at, kind: alarm.kind, valueC: alarm.valueC, holdsDownToC: alarm.holdsDownToC };
  }
}

/** The same danger, whatever its figures: it is repeated once, not once for every reading. */
export const dangerSubject = (facts: DangerFacts): string => `${facts.kind}:${facts.placeId ?? "all"}`;

/** What an entry says that ends a danger: power back, heat on, a reading at or above the floor. */
export interface Relief {
  act: string;
  place: Pick<Place, "id" | "floorC"> | null;
  reading: { quantity: string; statistic: string; value: number } | null;
}

const SCATTER_K = 0.05;

export function relieves(relief: Relief, facts: DangerFacts): boolean {
  const here = relief.place === null || facts.placeId === null || relief.place.id === facts.placeId;
  switch (facts.kind) {
    case "power_cut":
      return relief.act === "power_back" && here;
    case "heat_lost":
      return (relief.act === "heat_on" && here) || (relief.act === "power_back" && here);
    case "under_floor":
      return (
        relief.reading !== null &&
        relief.reading.quantity === "air_temperature" &&
        relief.reading.statistic !== "max" &&
        relief.place?.id === facts.placeId &&
        relief.reading.value >= (relief.place.floorC ?? 0) - SCATTER_K
      );
    case "outdoor_cold":
      return (
        relief.reading?.quantity === "outdoor_temperature" &&
        relief.reading.statistic !== "max" &&
        relief.reading.value >= facts.holdsDownToC
      );
  }
}
