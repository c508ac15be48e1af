import { mkdirSync, rmSync } from "node:fs";
import { join } from "node:path";
import { PGlite } from "@electric-sql/pglite";
import type { Clock } from "../../bot/clock.js";
import { type Engine, embeddedEngine } from "../engine.js";
import { DataDirError, StoreError } from "../errors.js";
import { clusterDir, createCluster } from "./create.js";
import { type DirLock, lockDir } from "./lock.js";
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
  const lock = await takeDir(dataDir, options.pulse);
  try {
    await createCluster(dataDir, options.seed);
    dropServerNote(dataDir);
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
    throw new DataDirError(dataDir, `cannot be opened: ${wordsOf(cause)}`, { cause });
  }
}

/**
 * PostgreSQL's own note of who has the directory. Ours is held by now, so any that lies there is of a process that is
 * gone; a power cut may have left it empty, and PostgreSQL would not start beside an empty one.
 */
function dropServerNote(dataDir: string): void {
  rmSync(join(clusterDir(dataDir), "postmaster.pid"), { force: true });
}

async function takeDir(dataDir: string, pulse: Clock): Promise<DirLock> {
  try {
    mkdirSync(dataDir, { recursive: true });
    return await lockDir(dataDir, pulse.now().toString({ smallestUnit: "second" }));
  } catch (cause) {
    if (cause instanceof StoreError) throw cause;
    throw new DataDirError(dataDir, `cannot be used: ${wordsOf(cause)}`, { cause });
  }
}

function wordsOf(cause: unknown): string {
  return cause instanceof Error ? cause.message : String(cause);
}
