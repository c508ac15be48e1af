import tzLookup from "@photostructure/tz-lookup";
import { Temporal } from "temporal-polyfill";
import { z } from "zod";
import { kindOfName } from "../horticulture/due/place-kind.js";
import type { TaskChoices } from "../horticulture/due/task-types.js";
import type { DuePlant } from "../horticulture/due/types.js";
import type { OwnCareRule } from "../horticulture/own-rules.js";
import { type Hemisphere, hemisphereOf } from "../horticulture/seasons.js";
import type { TaxonIndex } from "../horticulture/taxon-index.js";

/** The household of a simulation, from the file that the interpreter reads too, with a few keys of its own. */

export interface SimPlace {
  name: string;
  kind: string;
  floorC: number | null;
}

export interface SimHousehold {
  zone: string;
  latitude: number | null;
  hemisphere: Hemisphere;
  places: SimPlace[];
  defaultPlace: string | null;
  members: string[];
  plants: DuePlant[];
  reminderTime: string;
  reminderDays: number[];
  quietHours: { from: string; to: string } | null;
  dangerAtNight: boolean | null;
  choices: TaskChoices;
  ownRules: OwnCareRule[];
}

/** What a person can mend in the file: one sentence. */
export class HouseholdFileError extends Error {
  constructor(message: string) {
    super(message);
    this.name = "HouseholdFileError";
  }
}

const quantity = z.object({ value: z.number(), unit: z.string() });
const clock = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'is no time such as "07:30"');
const subject = z.object({
  genus: z.string().optional(),
  species: z.string().optional(),
  tag: z.string().optional(),
  name: z.string().optional(),
  group: z.string().optional(),
  all: z.literal(true).optional(),
});

const file = z.object({
  latitude: z.number().min(-90).max(90).nullish(),
  longitude: z.number().min(-180).max(180).nullish(),
  zone: z.string().nullish(),
  places: z
    .array(
      z.object({
        name: z.string().min(1),
        floor: quantity.nullish(),
        aliases: z.array(z.string()).default([]),
        default: z.boolean().optional(),
        kind: z.enum(["glasshouse", "bench", "frame", "room", "outdoors"]).nullish(),
      }),
    )
    .default([]),
  members: z.array(z.union([z.string(), z.object({ name: z.string() })])).default([]),
  plants: z
    .array(
      z.object({
        tag: z.string().nullish(),
        genus: z.string().nullish(),
        species: z.string().nullish(),
        cultivar: z.string().nullish(),
        name: z.string().nullish(),
        place: z.string().nullish(),
        potDiameterCm: z.number().positive().nullish(),
        potMaterial: z.string().nullish(),
        pot: z.object({ diameter: quantity.nullish(), material: z.string().nullish() }).nullish(),
        young: z.boolean().optional(),
      }),
    )
    .default([]),
  reminderTime: clock.default("07:30"),
  reminderDays: z.array(z.number().int().min(1).max(7)).min(1).default([1, 2, 3, 4, 5, 6, 7]),
  quietHours: z.object({ from: clock, to: clock }).nullish(),
  dangerAtNight: z.boolean().nullish(),
  tasks: z
    .record(
      z.string(),
      z.object({ off: z.boolean().optional(), month: z.number().int().min(1).max(12).optional() }),
    )
    .default({}),
  rules: z
    .array(
      z.object({
        subjects: z.array(subject),
        season: z.enum(["winter", "spring", "summer", "autumn"]).optional(),
        everyDays: z.object({ from: z.number().positive(), to: z.number().positive() }).optional(),
        never: z.string().optional(),
        least: quantity.optional(),
      }),
    )
    .default([]),
});
type HouseholdFile = z.infer<typeof file>;

export type Accepted = (genus: string, species: string | null) => { genus: string; species: string | null };

/** Names as the care tables have them: a synonym in the file stands for the accepted name. */
export const acceptedBy =
  (index: Pick<TaxonIndex, "resolve">): Accepted =>
  (genus, species) => {
    const resolved = index.resolve(species === null ? genus : `${genus} ${species}`);
    if (resolved.kind !== "taxon" || resolved.genus === null) return { genus, species };
    return { genus: resolved.genus, species: resolved.species ?? species };
  };

/**
 * Reads a household file; plants of one taxon without a tag or name in one place are one holding, as in the journal.
 * @param accepted the accepted name of a taxon as typed, or null
 * @throws {HouseholdFileError} saying what is wrong in one sentence
 */
export function parseHousehold(text: string, from: Temporal.PlainDate, accepted: Accepted): SimHousehold {
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch (error) {
    throw new HouseholdFileError(`is no JSON: ${error instanceof Error ? error.message : String(error)}`);
  }
  const read = file.safeParse(json);
  if (!read.success) {
    const [issue] = read.error.issues;
    const at = issue && issue.path.length > 0 ? issue.path.join(".") : "the file";
    throw new HouseholdFileError(`${at}: ${issue?.message ?? "cannot be read"}`);
  }
  const known = read.data;
  const places = known.places.map(
    ({ name, floor, kind }): SimPlace => ({
      name,
      kind: kind ?? kindOfName(name),
      floorC: floor ? celsius(floor, `floor of ${name}`) : null,
    }),
  );
  const defaultPlace = known.places.find((place) => place.default)?.name ?? known.places[0]?.name ?? null;
  const latitude = known.latitude ?? null;
  return {
    zone: zoneOf(known),
    latitude,
    hemisphere: hemisphereOf(latitude),
    places,
    defaultPlace,
    members: known.members.map((member) => (typeof member === "string" ? member : member.name)),
    plants: plantsOf(known, defaultPlace, from, accepted),
    reminderTime: known.reminderTime,
    reminderDays: known.reminderDays,
    quietHours: known.quietHours ?? null,
    dangerAtNight: known.dangerAtNight ?? null,
    choices: known.tasks as TaskChoices,
    ownRules: known.rules.map((rule) => ({
      subjects: rule.subjects as OwnCareRule["subjects"],
      ...(rule.season ? { season: rule.season } : {}),
      ...(rule.everyDays ? { everyDays: rule.everyDays } : {}),
      ...(rule.never ? { never: rule.never } : {}),
      ...(rule.least ? { leastC: celsius(rule.least, "least") } : {}),
      saidBy: "household",
      saidOn: from,
      words: "",
    })),
  };
}

function zoneOf({ zone, latitude, longitude }: HouseholdFile): string {
  const named = zone ?? (latitude != null && longitude != null ? tzLookup(latitude, longitude) : "UTC");
  try {
    return Temporal.Now.zonedDateTimeISO(named).timeZoneId;
  } catch {
    throw new HouseholdFileError(`zone: "${named}" is no IANA time zone such as Europe/Warsaw`);
  }
}

function celsius({ value, unit }: { value: number; unit: string }, what: string): number {
  if (unit === "Cel") return value;
  if (unit === "[degF]") return ((value - 32) * 5) / 9;
  if (unit === "K") return value - 273.15;
  throw new HouseholdFileError(`${what}: "${unit}" is no unit of temperature; use Cel or [degF]`);
}

function plantsOf(
  known: HouseholdFile,
  defaultPlace: string | null,
  from: Temporal.PlainDate,
  accepted: Accepted,
): DuePlant[] {
  const held = new Map<string, DuePlant>();
  known.plants.forEach((plant, index) => {
    if (!plant.genus) return;
    const { genus, species } = accepted(plant.genus, plant.species ?? null);
    const place = plant.place ? placeNamed(plant.place, known, index) : defaultPlace;
    const label = plant.tag ?? plant.name ?? `${genus} ${species ?? ""} ${plant.cultivar ?? ""}`.trim();
    const id = `${label}|${place ?? ""}`;
    if (held.has(id)) return;
    held.set(id, {
      id,
      genus,
      species,
      cultivar: plant.cultivar ?? null,
      tag: plant.tag ?? null,
      name: plant.name ?? null,
      place,
      potDiameterCm: plant.potDiameterCm ?? potCm(plant.pot?.diameter ?? null),
      potMaterial: plant.potMaterial ?? plant.pot?.material ?? null,
      knownSince: from,
      ...(plant.young ? { young: true } : {}),
    });
  });
  return [...held.values()];
}

/** A place by its name or one of its aliases; without any places the words themselves. */
function placeNamed(words: string, { places }: HouseholdFile, index: number): string {
  if (places.length === 0) return words;
  const said = words.toLowerCase();
  const found = places.find(({ name, aliases }) =>
    [name, ...aliases].some((known) => known.toLowerCase() === said),
  );
  if (!found) throw new HouseholdFileError(`plants.${index}.place: "${words}" is none of the places`);
  return found.name;
}

function potCm(diameter: { value: number; unit: string } | null): number | null {
  if (!diameter) return null;
  const factor = { cm: 1, mm: 0.1, "[in_i]": 2.54 }[diameter.unit];
  if (factor === undefined)
    throw new HouseholdFileError(`pot: "${diameter.unit}" is no unit of length; use cm`);
  return diameter.value * factor;
}
