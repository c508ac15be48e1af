import { execFileSync } from "node:child_process";
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { is } from "drizzle-orm";
import { getTableConfig, PgTable } from "drizzle-orm/pg-core";
import { describe, expect, test } from "vitest";
import { systemClock } from "../../bot/clock.js";
import { openEmbedded } from "../../db/embedded/open.js";
import { serverEngine } from "../../db/engine.js";
import { migrate } from "../../db/migrate.js";
import * as schema from "../../db/schema/index.js";
import { openStore } from "../../db/store.js";
import { freshDataDir, quietLog } from "../support/pglite.js";
import { freshDatabase } from "../support/postgres.js";

const ROOT = join(import.meta.dirname, "../..");
const MIGRATIONS = join(ROOT, "db/migrations");
const tables = Object.values(schema).flatMap((value) =>
  is(value, PgTable) ? [value as unknown as PgTable] : [],
);

describe("migrations on PostgreSQL", () => {
  test("lead from an empty database to the schema, and do nothing the second time", async () => {
    const { url, drop } = await freshDatabase();
    const engine = serverEngine({ url });
    try {
      await migrate(engine);
      const history = () =>
        engine.rows(`select id, hash, created_at from drizzle.__drizzle_migrations order by id`);
      const once = await history();
      await migrate(engine);
      expect(await history()).toEqual(once);
      expect(once).toHaveLength(readdirSync(MIGRATIONS).filter((name) => name.endsWith(".sql")).length);
      const columns = await engine.rows<{ table_name: string; column_name: string }>(
        `select table_name, column_name, is_nullable = 'NO' as required from information_schema.columns
         where table_schema = 'public' order by 1, 2`,
      );
      const declared = tables
        .flatMap((table) => {
          const { name, columns } = getTableConfig(table);
          return columns.map((c) => ({
            table_name: name,
            column_name: c.name,
            required: c.notNull || c.primary,
          }));
        })
        .sort((a, b) => compare(a.table_name, b.table_name) || compare(a.column_name, b.column_name));
      expect(columns).toEqual(declared);
    } finally {
      await engine.close();
      await drop();
    }
  });

  test("four processes starting together migrate once", async () => {
    const { url, drop } = await freshDatabase();
    const stores = await Promise.all(
      Array.from({ length: 4 }, () =>
        openStore({ databaseUrl: url, dataDir: "", clock: systemClock, log: quietLog, connections: 2 }),
      ),
    );
    const engine = serverEngine({ url, connections: 1 });
    try {
      const [row] = await engine.rows<{ count: number }>(
        `select count(*)::int as count from drizzle.__drizzle_migrations`,
      );
      expect(row?.count).toBe(readdirSync(MIGRATIONS).filter((name) => name.endsWith(".sql")).length);
    } finally {
      await engine.close();
      await Promise.all(stores.map((store) => store.close()));
      await drop();
    }
  });

  test("a database of a newer version is refused in words, and left alone", async () => {
    const { url, drop } = await freshDatabase();
    const engine = serverEngine({ url, connections: 1 });
    try {
      await migrate(engine);
      await engine.rows(
        `insert into drizzle.__drizzle_migrations (hash, created_at) values ('newer', 4102444800000)`,
      );
      const opening = openStore({ databaseUrl: url, dataDir: "", clock: systemClock, log: quietLog });
      await expect(opening).rejects.toMatchObject({
        name: "SchemaTooNewError",
        found: "2100-01-01",
        message: expect.stringContaining("newer version of Areole"),
      });
    } finally {
      await engine.close();
      await drop();
    }
  });

  test("a server that cannot be reached is named as such", async () => {
    const opening = openStore({
      databaseUrl: "postgres://nobody@127.0.0.1:1/none",
      dataDir: "",
      clock: systemClock,
      log: quietLog,
    });
    await expect(opening).rejects.toMatchObject({ name: "StoreError", unreachable: true });
  });
});

describe("migrations on PGlite", () => {
  test("a database of a newer version is refused, and the directory is free again", async () => {
    const dataDir = await freshDataDir();
    try {
      const { engine } = await openEmbedded({ dataDir, pulse: systemClock });
      await engine.rows(
        `insert into drizzle.__drizzle_migrations (hash, created_at) values ('newer', 4102444800000)`,
      );
      await engine.close();
      const open = () => openStore({ dataDir, clock: systemClock, log: quietLog });
      await expect(open()).rejects.toMatchObject({ name: "SchemaTooNewError" });
      await expect(open()).rejects.toMatchObject({ name: "SchemaTooNewError" });
    } finally {
      rmSync(dataDir, { recursive: true, force: true });
    }
  });
});

describe("the migrations' files", () => {
  test("say in their first line whether older code still runs on them", () => {
    for (const name of readdirSync(MIGRATIONS).filter((file) => file.endsWith(".sql"))) {
      expect(readFileSync(join(MIGRATIONS, name), "utf8").split("\n")[0], name).toMatch(/^-- .*older/i);
    }
  });

  test("leave nothing of the schema out", () => {
    const out = mkdtempSync(join(tmpdir(), "areole-drift-"));
    try {
      const copy = join(out, "migrations");
      cpSync(MIGRATIONS, copy, { recursive: true });
      const before = readdirSync(copy).length;
      const said = execFileSync(
        process.execPath,
        [
          join(ROOT, "node_modules/drizzle-kit/bin.cjs"),
          "generate",
          "--dialect=postgresql",
          `--schema=${join(ROOT, "db/schema/index.ts")}`,
          // drizzle-kit takes this path as relative, whatever it is.
          "--out=migrations",
        ],
        { cwd: out, encoding: "utf8" },
      );
      expect(said).toContain("No schema changes");
      expect(readdirSync(copy)).toHaveLength(before);
    } finally {
      rmSync(out, { recursive: true, force: true });
    }
  });
});

function compare(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
