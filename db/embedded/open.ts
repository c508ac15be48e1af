import { mkdirSync } from "node:fs";
import { PGlite } from "@electric-sql/pglite";
import type { Clock } from "../../bot/clock.js";
import { type Engine, embeddedEngine } from "../engine.js";
import { DataDirError } from "../errors.js";
import { clusterDir, createCluster } from "./create.js";
import { lockDir } from "./lock.js";
import { SyncedFiles } from "./synced-files.js";

const SETTINGS = {
  fsync: "on",
  // The one method that ends in the file system call we added; fdatasync is an empty shell in PGlite.
  wal_sync_method: "fsync",
  full_page_writes: "on",
  synchronous_commit: "on",
  // A household needs no more; 128 MB would double the memory and the time to open.
  shared_buffers: "16MB",
  max_wal_size: "64MB",
};

/** PGlite's own start parameters without `-F`, which turns synchronisation off. */
export function startParams(): string[] {
  const settings = Object.entries(SETTINGS).flatMap(([name, value]) => ["-c", `${name}=${value}`]);
  return [...PGlite.defaultStartParams.filter((param) => param !== "-F"), ...settings];
}

export interface EmbeddedDatabase {
  engine: Engine;
  /** Synchronisations with the disk so far. */
  syncs: () => number;
}

/**
 * Opens the database of a data directory, making it first if need be, and keeps every other process out.
 * @throws {DataDirBusyError} while another process has it
 * @throws {DataDirError} if it cannot be made or opened
 */
export async function openEmbedded(options: {
  dataDir: string;
  pulse: Clock;
  seed?: string;
}): Promise<EmbeddedDatabase> {
  const { dataDir } = options;
  try {
    mkdirSync(dataDir, { recursive: true });
  } catch (cause) {
    throw new DataDirError(dataDir, `cannot be made: ${(cause as Error).message}`, { cause });
  }
  const lock = await lockDir(dataDir, options.pulse.now().toString({ smallestUnit: "second" }));
  try {
    await createCluster(dataDir, options.seed);
    const files = new SyncedFiles(clusterDir(dataDir));
    const pglite = await PGlite.create({ fs: files, startParams: startParams() });
    const engine = embeddedEngine(pglite);
    const close = async () => {
      try {
        await engine.close();
      } finally {
        lock.release();
      }
    };
    return { engine: { ...engine, close }, syncs: () => files.syncs };
  } catch (cause) {
    lock.release();
    if (cause instanceof DataDirError) throw cause;
    throw new DataDirError(
      dataDir,
      `cannot be opened: ${cause instanceof Error ? cause.message : String(cause)}`,
      {
        cause,
      },
    );
  }
}
