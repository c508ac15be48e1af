import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { type MigrationMeta, readMigrationFiles } from "drizzle-orm/migrator";
import type { Engine } from "./engine.js";
import { SchemaTooNewError } from "./errors.js";

const FOLDER = join(dirname(fileURLToPath(import.meta.url)), "migrations");
/** Any fixed number: all versions of the program ask for the same one. */
const LOCK = 7_263_511_204;

/** drizzle's own migrator over one connection, found below the database it built. */
interface Migrating {
  dialect: { migrate(migrations: MigrationMeta[], session: unknown, config: object): Promise<void> };
  session: unknown;
}

/** Instant of the newest migration this version knows, in milliseconds. */
export function newestKnown(folder = FOLDER): number {
  const journal = JSON.parse(readFileSync(join(folder, "meta", "_journal.json"), "utf8")) as {
    entries: { when: number }[];
  };
  return Math.max(...journal.entries.map(({ when }) => when));
}

/**
 * Brings the database to the present schema, forward only. An advisory lock is held on one connection throughout:
 * drizzle reads the last migration before its transaction and takes no lock of its own, so two processes starting
 * together would both apply it.
 * @throws {SchemaTooNewError} if a newer version has migrated it
 */
export async function migrate(engine: Engine, folder = FOLDER): Promise<void> {
  await engine.exclusive(async ({ db, rows }) => {
    await rows(`select pg_advisory_lock($1::bigint)`, [LOCK]);
    try {
      const known = newestKnown(folder);
      const [history] = await rows<{ found: string | null }>(
        `select to_regclass('drizzle.__drizzle_migrations')::text as found`,
      );
      if (history?.found) {
        const [newest] = await rows<{ at: string | number | null }>(
          `select max(created_at)::text as at from drizzle.__drizzle_migrations`,
        );
        const at = Number(newest?.at ?? 0);
        if (at > known) throw new SchemaTooNewError(day(at), day(known));
        if (at === known) return;
      }
      const { dialect, session } = db as unknown as Migrating;
      await dialect.migrate(readMigrationFiles({ migrationsFolder: folder }), session, {});
    } finally {
      await rows(`select pg_advisory_unlock($1::bigint)`, [LOCK]);
    }
  });
}

function day(milliseconds: number): string {
  return new Date(milliseconds).toISOString().slice(0, 10);
}
