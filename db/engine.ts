import { AsyncLocalStorage } from "node:async_hooks";
import type { PGlite, Transaction as PGliteTransaction } from "@electric-sql/pglite";
import type { PgDatabase, PgQueryResultHKT } from "drizzle-orm/pg-core";
import { drizzle as drizzlePGlite } from "drizzle-orm/pglite";
import { drizzle as drizzleServer } from "drizzle-orm/postgres-js";
import postgres from "postgres";
import { PreparedClient } from "./embedded/prepared-client.js";
import { StoreError, storeError } from "./errors.js";
import * as schema from "./schema/index.js";

/** drizzle over either driver; `execute` of it is not used, its results differ between the two. */
export type Db = PgDatabase<PgQueryResultHKT, typeof schema>;
export type Param = string | number | boolean | null;

/** One open transaction. */
export interface Link {
  db: Db;
  /** Rows of a hand-written statement, prepared by the server under its text. Instants go in as ISO 8601 text. */
  rows<T>(text: string, params?: readonly Param[]): Promise<T[]>;
}

/**
 * PGlite in this process or a PostgreSQL server, behind one face.
 * @throws {StoreError} for whatever the database refuses
 */
export interface Engine {
  kind: "embedded" | "server";
  /** Connections that may work side by side. */
  width: number;
  transaction<T>(work: (link: Link) => Promise<T>): Promise<T>;
  /** One statement in a transaction of its own. */
  rows<T>(text: string, params?: readonly Param[]): Promise<T[]>;
  /** Several statements without parameters, outside any transaction. */
  script(text: string): Promise<void>;
  /** One connection held throughout, outside any transaction. */
  exclusive<T>(
    work: (session: { db: Db; rows: Link["rows"]; script: Engine["script"] }) => Promise<T>,
  ): Promise<T>;
  /** The transaction this call runs inside of, if any. */
  current(): Link | null;
  close(): Promise<void>;
}

/** Inside one transaction another may not be opened: with a single connection both would wait forever. */
class Nesting {
  readonly #open = new AsyncLocalStorage<Link | null>();
  current(): Link | null {
    return this.#open.getStore() ?? null;
  }
  refuse(): void {
    if (this.current() !== null) {
      throw new StoreError("A transaction is open already; use its store instead of opening another.");
    }
  }
  run<T>(link: Link, work: (link: Link) => Promise<T>): Promise<T> {
    return this.#open.run(link, () => work(link));
  }
}

async function guarded<T>(work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    throw storeError(error);
  }
}

/** The driver below a drizzle database or transaction, which drizzle keeps as `session.client`. */
function clientBelow<T>(db: unknown): T {
  return (db as { session: { client: T } }).session.client;
}

export function embeddedEngine(database: PGlite): Engine {
  const pglite = new PreparedClient(database);
  const db = drizzlePGlite(pglite as unknown as PGlite, { schema });
  const nesting = new Nesting();
  const rowsOn =
    (client: Pick<PGliteTransaction, "query">): Link["rows"] =>
    async <T>(text: string, params: readonly Param[] = []) =>
      (await client.query<T>(text, [...params])).rows;
  const script = async (text: string) => {
    await guarded(() => database.exec(text));
  };
  return {
    kind: "embedded",
    width: 1,
    current: () => nesting.current(),
    script,
    rows: (text, params) => {
      nesting.refuse();
      return guarded(() => rowsOn(pglite)(text, params));
    },
    transaction: (work) => {
      nesting.refuse();
      return guarded(() =>
        db.transaction((tx) =>
          nesting.run({ db: tx as unknown as Db, rows: rowsOn(clientBelow<PGliteTransaction>(tx)) }, work),
        ),
      );
    },
    exclusive: (work) => guarded(() => work({ db: db as unknown as Db, rows: rowsOn(pglite), script })),
    close: () => pglite.close(),
  };
}

export interface ServerOptions {
  url: string;
  /** Connections at most; 10 unless told. */
  connections?: number;
  onNotice?: (message: string) => void;
}

export function serverEngine(options: ServerOptions): Engine {
  const width = options.connections ?? 10;
  const open = (max: number) =>
    postgres(options.url, {
      max,
      connect_timeout: 10,
      connection: { application_name: "areole" },
      onnotice: (notice) => options.onNotice?.(String(notice.message)),
    });
  const sql = open(width);
  const db = drizzleServer(sql, { schema });
  const nesting = new Nesting();
  const rowsOn =
    (client: postgres.Sql | postgres.TransactionSql): Link["rows"] =>
    async <T>(text: string, params: readonly Param[] = []) =>
      [...(await client.unsafe(text, [...params], { prepare: true }))] as T[];
  return {
    kind: "server",
    width,
    current: () => nesting.current(),
    script: async (text) => {
      await guarded(() => sql.unsafe(text));
    },
    rows: (text, params) => {
      nesting.refuse();
      return guarded(() => rowsOn(sql)(text, params));
    },
    transaction: (work) => {
      nesting.refuse();
      return guarded(() =>
        db.transaction((tx) =>
          nesting.run(
            { db: tx as unknown as Db, rows: rowsOn(clientBelow<postgres.TransactionSql>(tx)) },
            work,
          ),
        ),
      );
    },
    exclusive: async (work) => {
      // A client of its own with one connection: what is locked on it stays locked until it ends.
      const single = open(1);
      try {
        return await guarded(() =>
          work({
            db: drizzleServer(single, { schema }) as unknown as Db,
            rows: rowsOn(single),
            script: async (text) => {
              await single.unsafe(text);
            },
          }),
        );
      } finally {
        await single.end({ timeout: 5 });
      }
    },
    close: () => sql.end({ timeout: 5 }),
  };
}
