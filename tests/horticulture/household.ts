import { Temporal } from "temporal-polyfill";
import type { Circumstances, KnownPlant } from "../../bot/horticulture/answers.js";

/** The demo's glasshouse: an allotment club's on the Baltic coast. */

export const day = (iso: string): Temporal.PlainDate => Temporal.PlainDate.from(iso);

export function plant(taxon: string, place: string | null, lastWatered: string | null = null): KnownPlant {
  const [genus = "", species = null] = taxon.split(" ");
  return {
    genus,
    species,
    cultivar: null,
    tag: null,
    name: null,
    place,
    count: null,
    lastWatered: lastWatered === null ? null : day(lastWatered),
    lastWateredBy: lastWatered === null ? null : "Priya",
  };
}

export function around(date: string, rest: Partial<Circumstances> = {}): Circumstances {
  return {
    date: day(date),
    hemisphere: "north",
    latitude: 53.4,
    places: [
      { name: "Long House", floorC: 5, meanMinC: 6.5, nights: 14 },
      { name: "Warm Bench", floorC: 12, meanMinC: 12.8, nights: 14 },
    ],
    defaultPlace: "Long House",
    plants: [],
    ownRules: [],
    ...rest,
  };
}
