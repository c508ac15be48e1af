import { createHash, randomUUID } from "node:crypto";
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
} from "node:fs";
import { tmpdir, userInfo } from "node:os";
import { join } from "node:path";
import { type Clock, systemClock } from "../../bot/clock.js";
import { openStore, type Store, type StoreLog, type StoreOptions } from "../../db/store.js";

export const quietLog: StoreLog = { info: () => {}, warn: () => {} };

/** Names what a ready-made data directory depends on. */
function seedName(): string {
  const hash = createHash("sha256");
  const migrations = join(import.meta.dirname, "../../db/migrations");
  for (const name of readdirSync(migrations).sort()) {
    if (name.endsWith(".sql")) hash.update(readFileSync(join(migrations, name)));
  }
  hash.update(
    readFileSync(join(import.meta.dirname, "../../node_modules/@electric-sql/pglite/package.json")),
  );
  return `areole-seed-${userInfo().uid}-${hash.digest("hex").slice(0, 12)}`;
}

/**
 * A data directory with an empty, migrated database, made once and kept for later runs: making one takes PGlite some
 * seconds. To be copied, not opened.
 */
export async function seedDataDir(): Promise<string> {
  const seed = join(tmpdir(), seedName());
  if (existsSync(seed)) return seed;
  const draft = `${seed}.${randomUUID()}`;
  const store = await openStore({ dataDir: draft, clock: systemClock, log: quietLog });
  await store.close();
  try {
    renameSync(draft, seed);
  } catch {
    // Another test file was quicker.
    rmSync(draft, { recursive: true, force: true });
  }
  return seed;
}

/** A data directory of its own with an empty, migrated database. */
export async function freshDataDir(): Promise<string> {
  const dir = mkdtempSync(join(tmpdir(), "areole-data-"));
  mkdirSync(dir, { recursive: true });
  cpSync(await seedDataDir(), dir, { recursive: true });
  return dir;
}

export interface TestStore {
  store: Store;
  dataDir: string;
  /** Closes the store and removes its files. */
  end(): Promise<void>;
}

/** An embedded store on fresh files. */
export async function openEmbeddedStore(
  clock: Clock = systemClock,
  options: Partial<StoreOptions> = {},
): Promise<TestStore> {
  const dataDir = await freshDataDir();
  const store = await openStore({ dataDir, clock, log: quietLog, ...options });
  const end = async () => {
    await store.close();
    rmSync(dataDir, { recursive: true, force: true });
  };
  return { store, dataDir, end };
}
