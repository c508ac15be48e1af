import { spawn } from "node:child_process";
import { randomUUID } from "node:crypto";
import { closeSync, cpSync, existsSync, fsyncSync, openSync, readdirSync, renameSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { DataDirError } from "../errors.js";

const CLUSTER = "journal";
const CHILD = join(dirname(fileURLToPath(import.meta.url)), "create-child.ts");

/** Where the database lies inside a data directory. */
export function clusterDir(dataDir: string): string {
  return join(dataDir, CLUSTER);
}

/**
 * Makes the database's files if there are none: beside their final place, every file and folder put on the disk, then
 * renamed, so that a power cut leaves either all of it or nothing. PGlite needs some seconds and 800 MB for it, which
 * a child process takes with it when it ends.
 * @param seed a directory made earlier by the same version, to copy instead
 */
export async function createCluster(dataDir: string, seed?: string): Promise<void> {
  const target = clusterDir(dataDir);
  for (const name of readdirSync(dataDir)) {
    if (name.startsWith(`${CLUSTER}.new-`)) rmSync(join(dataDir, name), { recursive: true, force: true });
  }
  if (existsSync(target)) return;
  const draft = `${target}.new-${randomUUID()}`;
  if (seed !== undefined && existsSync(join(seed, "PG_VERSION"))) cpSync(seed, draft, { recursive: true });
  else await runChild(draft);
  syncTree(draft);
  renameSync(draft, target);
  syncPath(dataDir);
}

function runChild(dir: string): Promise<void> {
  const tsx = pathToFileURL(createRequire(import.meta.url).resolve("tsx")).href;
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, ["--import", tsx, CHILD, dir], {
      stdio: ["ignore", "ignore", "pipe"],
    });
    let complaint = "";
    child.stderr.on("data", (chunk: Buffer) => {
      complaint = (complaint + chunk.toString()).slice(-2000);
    });
    child.once("error", reject);
    child.once("close", (code) => {
      if (code === 0) resolve();
      else
        reject(
          new DataDirError(dirname(dir), `could not be made: ${complaint.trim() || `exit code ${code}`}`),
        );
    });
  });
}

/** Puts every file and folder of a tree on the disk. */
export function syncTree(path: string): void {
  for (const entry of readdirSync(path, { withFileTypes: true })) {
    const inner = join(path, entry.name);
    if (entry.isDirectory()) syncTree(inner);
    else if (entry.isFile()) syncPath(inner, "r+");
  }
  syncPath(path);
}

function syncPath(path: string, flags = "r"): void {
  if (process.platform === "win32" && flags === "r") return;
  const handle = openSync(path, flags);
  try {
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}
