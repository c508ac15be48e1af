import { Temporal } from "temporal-polyfill";
import { CareHistory } from "../../bot/horticulture/due/history.js";
import type { DuePlace, DuePlant, DueSetting } from "../../bot/horticulture/due/types.js";
import { careKnowledge } from "../../bot/horticulture/knowledge.js";
import { readHazards } from "../../db/care/hazards.js";
import { readCareTable } from "../../db/care/read.js";
import { readTasks } from "../../db/care/tasks.js";
import { readNameRows } from "../../db/names/read.js";

const TABLE = readCareTable().table;
export const KNOWLEDGE = careKnowledge(TABLE, readNameRows(), readHazards(TABLE.sources));
export const TASKS = readTasks();
export const day = (text: string): Temporal.PlainDate => Temporal.PlainDate.from(text);
export const instant = (text: string): Temporal.Instant => Temporal.Instant.from(text);

const place = (name: string, floorC: number, latitude: number): [string, DuePlace] => [
  name,
  {
    name,
    kind: "glasshouse",
    floorC,
    latitude,
    meanMinC: null,
    nights: 0,
    coldestC: null,
    dampestLeastRh: null,
    vpdKPa: null,
  },
];

/** The club's two places at 54° north. */
export const setting = (date: string, hemisphere: "north" | "south" = "north"): DueSetting => ({
  date: day(date),
  hemisphere,
  places: new Map([place("Long House", 5, 54.4), place("Warm Bench", 12, 54.4)]),
  defaultPlace: "Long House",
  ownRules: [],
  postponements: [],
});

export const duePlant = (id: string, genus: string, more: Partial<DuePlant> = {}): DuePlant => ({
  id,
  genus,
  species: null,
  cultivar: null,
  tag: null,
  name: null,
  place: "Long House",
  potDiameterCm: null,
  potMaterial: null,
  knownSince: day("2026-01-01"),
  ...more,
});

/** So many tagged plants of so many genera of the care table, in both places. */
export function largeCollection(plants: number, genera: number): DuePlant[] {
  const known = [...TABLE.taxa.values()].filter(({ rank, genus }) => rank === "genus" && genus !== null);
  const step = Math.max(1, Math.floor(known.length / genera));
  const chosen = Array.from({ length: genera }, (_, index) => known[(index * step) % known.length]);
  return Array.from({ length: plants }, (_, index) =>
    duePlant(`p${index}`, chosen[index % genera]?.name ?? "Aloe", {
      tag: `L-${String(index).padStart(3, "0")}`,
      place: index % 3 === 0 ? "Warm Bench" : "Long House",
    }),
  );
}

/** A history in which each plant was watered on a day. */
export function wateredOn(watered: Readonly<Record<string, string>>): CareHistory {
  const history = new CareHistory();
  for (const [id, on] of Object.entries(watered)) {
    history.add({ id: `w-${id}`, act: "water", from: day(on), to: day(on), person: "Ines" }, [id]);
  }
  return history;
}
