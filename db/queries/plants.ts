import { and, eq, isNull, sql } from "drizzle-orm";
import type { Temporal } from "temporal-polyfill";
import type { Id, Place, Plant } from "../../bot/journal/ports.js";
import type { Link } from "../engine.js";
import { StoreError } from "../errors.js";
import { NIL } from "../ids.js";
import { statement } from "../prepared.js";
import { places, plants } from "../schema/index.js";

type PlaceRow = typeof places.$inferSelect;
function asPlace({ householdId: _, removedAt: __, aliases, floor, ...rest }: PlaceRow): Place {
  return { ...rest, aliases: aliases as string[], floor: floor as Place["floor"] };
}

const selectPlaces = statement("places", (db) =>
  db
    .select()
    .from(places)
    .where(and(eq(places.householdId, sql.placeholder("household")), isNull(places.removedAt)))
    .orderBy(places.id),
);

export async function allPlaces(link: Link, household: Id): Promise<Place[]> {
  return (await selectPlaces(link, { household })).map(asPlace);
}

/** The place of that name in its collection, added if there was none. */
export async function addPlace(
  link: Link,
  householdId: Id,
  id: Id,
  place: Omit<Place, "id">,
): Promise<Place> {
  const [added] = await link.db
    .insert(places)
    .values({ ...place, householdId, id })
    .onConflictDoNothing()
    .returning();
  if (added !== undefined) return asPlace(added);
  const [there] = await link.db
    .select()
    .from(places)
    .where(
      and(
        eq(places.householdId, householdId),
        isNull(places.removedAt),
        eq(sql`coalesce(${places.collectionId}, ${NIL}::uuid)`, sql`${place.collectionId ?? NIL}::uuid`),
        eq(sql`lower(${places.name})`, sql`lower(${place.name})`),
      ),
    );
  if (there === undefined) throw new StoreError("A place that was just added is not there.");
  return asPlace(there);
}

export async function changePlace(
  link: Link,
  household: Id,
  id: Id,
  patch: Partial<Omit<Place, "id">>,
): Promise<void> {
  if (Object.keys(patch).length === 0) return;
  await link.db
    .update(places)
    .set(patch)
    .where(and(eq(places.householdId, household), eq(places.id, id)));
}

/** Entries keep pointing at it; plants that stood there stand nowhere known. */
export async function removePlace(link: Link, household: Id, id: Id, at: Temporal.Instant): Promise<void> {
  await link.db
    .update(places)
    .set({ removedAt: at, isDefault: false })
    .where(and(eq(places.householdId, household), eq(places.id, id), isNull(places.removedAt)));
  await link.db
    .update(plants)
    .set({ placeId: null })
    .where(and(eq(plants.householdId, household), eq(plants.placeId, id)));
}

type PlantRow = typeof plants.$inferSelect;
function asPlant({ householdId: _, ...plant }: PlantRow): Plant {
  return plant;
}

const selectPlants = statement("plants", (db) =>
  db
    .select()
    .from(plants)
    .where(
      and(
        eq(plants.householdId, sql.placeholder("household")),
        sql`(${plants.status} = 'alive' or ${sql.placeholder("gone")}::boolean)`,
      ),
    )
    .orderBy(plants.id),
);

export async function allPlants(link: Link, household: Id, gone: boolean): Promise<Plant[]> {
  return (await selectPlants(link, { household, gone })).map(asPlant);
}

export async function addPlant(link: Link, plant: typeof plants.$inferInsert): Promise<Plant> {
  const [added] = await link.db.insert(plants).values(plant).returning();
  if (added === undefined) throw new StoreError("A plant could not be added.");
  return asPlant(added);
}

export async function changePlant(
  link: Link,
  household: Id,
  id: Id,
  patch: Partial<Omit<Plant, "id" | "createdAt">>,
): Promise<void> {
  if (Object.keys(patch).length === 0) return;
  await link.db
    .update(plants)
    .set(patch)
    .where(and(eq(plants.householdId, household), eq(plants.id, id)));
}
