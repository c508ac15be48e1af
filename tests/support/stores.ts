import { type Clock, systemClock } from "../../bot/clock.js";
import { openStore, type StoreOptions } from "../../db/store.js";
import { openEmbeddedStore, quietLog, type TestStore } from "./pglite.js";
import { freshDatabase } from "./postgres.js";

/** A store on a database of its own on the test server. */
export async function openServerStore(
  clock: Clock = systemClock,
  options: Partial<StoreOptions> = {},
): Promise<TestStore & { url: string }> {
  const { url, drop } = await freshDatabase();
  const store = await openStore({ databaseUrl: url, dataDir: "", clock, log: quietLog, ...options });
  const end = async () => {
    await store.close();
    await drop();
  };
  return { store, dataDir: "", url, end };
}

/** Both databases, for suites that hold for either. */
export const BOTH = [
  ["PGlite", openEmbeddedStore],
  ["PostgreSQL", openServerStore],
] as const satisfies readonly [
  string,
  (clock?: Clock, options?: Partial<StoreOptions>) => Promise<TestStore>,
][];
