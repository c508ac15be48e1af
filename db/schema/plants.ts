import { sql } from "drizzle-orm";
import {
  boolean,
  doublePrecision,
  foreignKey,
  index,
  integer,
  pgTable,
  primaryKey,
  text,
  uniqueIndex,
  uuid,
} from "drizzle-orm/pg-core";
import { household, instant, json, words } from "./columns.js";
import { collections, households } from "./households.js";
import { oneHousehold } from "./tenancy.js";

/** A house, a bench, a frame. Removed ones stay, since journal entries point at them. */
export const places = pgTable(
  "places",
  {
    householdId: household(),
    id: uuid("id").notNull(),
    collectionId: uuid("collection_id"),
    name: words("name").notNull(),
    aliases: json("aliases").notNull().default([]),
    floor: json("floor"),
    floorC: doublePrecision("floor_c"),
    kind: text("kind", { enum: ["glasshouse", "bench", "frame", "room", "outdoors"] }),
    isDefault: boolean("is_default").notNull().default(false),
    removedAt: instant("removed_at"),
  },
  (t) => [
    primaryKey({ columns: [t.householdId, t.id] }),
    uniqueIndex("places_name")
      .on(
        t.householdId,
        sql`coalesce(${t.collectionId}, '00000000-0000-0000-0000-000000000000'::uuid)`,
        sql`lower(${t.name})`,
      )
      .where(sql`${t.removedAt} is null`),
    foreignKey({ columns: [t.householdId], foreignColumns: [households.householdId] }).onDelete("cascade"),
    foreignKey({
      columns: [t.householdId, t.collectionId],
      foreignColumns: [collections.householdId, collections.id],
    }),
    oneHousehold(),
  ],
);

/** A tagged plant, or without tag and name a holding of a taxon. */
export const plants = pgTable(
  "plants",
  {
    householdId: household(),
    id: uuid("id").notNull(),
    collectionId: uuid("collection_id"),
    tag: words("tag"),
    name: words("name"),
    genus: words("genus").notNull(),
    species: words("species"),
    cultivar: words("cultivar"),
    fieldNumber: words("field_number"),
    count: integer("count"),
    potDiameterCm: doublePrecision("pot_diameter_cm"),
    potMaterial: words("pot_material"),
    placeId: uuid("place_id"),
    source: words("source"),
    acquiredOn: text("acquired_on"),
    sownOn: text("sown_on"),
    status: text("status", { enum: ["alive", "gone"] })
      .notNull()
      .default("alive"),
    createdAt: instant("created_at").notNull(),
  },
  (t) => [
    primaryKey({ columns: [t.householdId, t.id] }),
    index("plants_genus").on(t.householdId, t.genus),
    foreignKey({ columns: [t.householdId], foreignColumns: [households.householdId] }).onDelete("cascade"),
    foreignKey({
      columns: [t.householdId, t.collectionId],
      foreignColumns: [collections.householdId, collections.id],
    }),
    foreignKey({ columns: [t.householdId, t.placeId], foreignColumns: [places.householdId, places.id] }),
    oneHousehold(),
  ],
);
