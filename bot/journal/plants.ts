import type { Instruction, Subject } from "../language/interpretation.js";
import { addHolding } from "./holdings.js";
import type { NamedPlant, Outcome } from "./outcome.js";
import type { Plant } from "./ports.js";
import { placeNamed, type Scope } from "./scope.js";

type AddPlant = Extract<Instruction, { do: "add_plant" }>;

/** "L-014 is an Aloe polyphylla, we call it Spiral": keeps what labels and names mean, one plant each. */
export async function namePlants(scope: Scope, instructions: readonly AddPlant[]): Promise<Outcome> {
  const named: NamedPlant[] = [];
  const unknown: string[] = [];
  for (const instruction of instructions) {
    const one = await namePlant(scope, instruction);
    if (one) named.push(one);
    else unknown.push(instruction.plant.tag ?? instruction.plant.name ?? "");
  }
  return { kind: "plants_named", named, unknown };
}

/** Null where neither the label nor the name is known and no taxon was said. */
async function namePlant(scope: Scope, { plant, place }: AddPlant): Promise<NamedPlant | null> {
  const standing = placeNamed(scope.places, place);
  const known = scope.plants.find((one) => isSame(one, plant));
  if (known) {
    const change = changeOf(known, plant, standing?.id ?? null);
    if (Object.keys(change).length > 0) await scope.store.updatePlant(known.id, change);
    Object.assign(known, change);
    return { plant: known, place: placeOf(scope, known), before: true };
  }
  const { genus } = plant;
  if (genus === undefined) return null;
  const added = await addHolding(scope, { ...plant, genus }, standing?.id ?? whereTheyStand(scope, genus), {
    count: 1,
    name: plant.name ?? null,
  });
  return { plant: added, place: placeOf(scope, added), before: false };
}

/** A label is one plant's; a name is, where no label was told. */
function isSame(known: Plant, said: Subject): boolean {
  if (said.tag !== undefined && known.tag !== null) return same(known.tag, said.tag);
  return said.name !== undefined && known.name !== null && same(known.name, said.name);
}
const same = (a: string, b: string): boolean => a.toLowerCase() === b.toLowerCase();

/** What was said anew; a new genus takes the species of the old one away. */
function changeOf(known: Plant, said: Subject, placeId: string | null): Partial<Plant> {
  const renamed = said.genus !== undefined && (said.genus !== known.genus || said.species !== undefined);
  return {
    ...(said.tag === undefined ? {} : { tag: said.tag }),
    ...(said.name === undefined ? {} : { name: said.name }),
    ...(renamed
      ? {
          genus: said.genus as string,
          species: said.species ?? null,
          cultivar: said.cultivar ?? null,
          fieldNumber: said.fieldNumber ?? null,
        }
      : {}),
    ...(placeId === null ? {} : { placeId }),
  };
}

/** Where all others of the genus stand, or the only place there is. */
function whereTheyStand(scope: Scope, genus: string): string | null {
  const places = new Set(scope.plants.filter((one) => one.genus === genus).map((one) => one.placeId));
  const [only] =
    places.size === 1 ? places : scope.places.length === 1 ? scope.places.map(({ id }) => id) : [];
  return only ?? null;
}

const placeOf = (scope: Scope, plant: Plant) => scope.places.find(({ id }) => id === plant.placeId) ?? null;

/** Labels in these subjects that no plant of the household has. */
export function newTags(scope: Scope, subjects: readonly Subject[]): string[] {
  return subjects.flatMap(({ tag }) =>
    tag !== undefined && !scope.plants.some((plant) => plant.tag !== null && same(plant.tag, tag))
      ? [tag]
      : [],
  );
}
