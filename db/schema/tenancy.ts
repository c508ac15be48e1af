import { sql } from "drizzle-orm";
import { pgPolicy, pgRole } from "drizzle-orm/pg-core";

/**
 * The role under which every household's transaction runs. It cannot log in and cannot step over row-level
 * security; the connecting user is a member and takes it on inside a transaction. Made by the first migration.
 */
export const APP_ROLE = "areole_app";
export const appRole = pgRole(APP_ROLE).existing();

/**
 * One household only: the one named by the transaction's setting `app.household`. Without the setting, or with the
 * empty one a used connection is left with, no row is seen and none can be written.
 */
export const oneHousehold = () =>
  pgPolicy("one_household", {
    as: "permissive",
    for: "all",
    to: "public",
    using: sql`household_id = nullif(current_setting('app.household', true), '')::uuid`,
    withCheck: sql`household_id = nullif(current_setting('app.household', true), '')::uuid`,
  });
