import { execFileSync } from "node:child_process";
import { randomUUID } from "node:crypto";
import {
  linkSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  unlinkSync,
  utimesSync,
  writeFileSync,
} from "node:fs";
import { hostname } from "node:os";
import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";
import { DataDirBusyError, DataDirError } from "../errors.js";

/** How often the holder touches its lock, and how long another machine's lock is watched for that. */
const HEARTBEAT_MS = 2000;
const WATCH_MS = 5000;
/** Long enough for a process that took the same stale lock at the same moment to have noticed. */
const SETTLE_MS = 60;
const LOCK_FILE = "areole.lock";
const NOBODY = 0;
const NO_LINKS = new Set(["EPERM", "ENOSYS", "ENOTSUP", "EOPNOTSUPP"]);

interface Holder {
  pid: number;
  host: string;
  /** ISO 8601, when it took the lock. */
  since: string;
  /** Tells a process from a later one with the same number; null where the system does not tell. */
  birth: string | null;
  token: string;
}

export interface DirLock {
  release(): void;
}

/** When a process was started, in words of the system; null when it does not run or the system does not tell. */
export function birthOf(pid: number): string | null {
  try {
    if (process.platform === "linux") {
      // Field 22 of /proc/<pid>/stat, counted after the command's name, which may hold spaces: proc(5).
      const stat = readFileSync(`/proc/${pid}/stat`, "utf8");
      const started = stat.slice(stat.lastIndexOf(")") + 2).split(" ")[19];
      const boot = readFileSync("/proc/sys/kernel/random/boot_id", "utf8").trim();
      return `${boot} ${started}`;
    }
    if (process.platform === "win32") return null;
    return execFileSync("ps", ["-o", "lstart=", "-p", String(pid)], { encoding: "utf8" }).trim() || null;
  } catch {
    return null;
  }
}

function runs(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === "EPERM";
  }
}

/** Whether the holder is certainly alive, certainly not, or cannot be seen from here. */
function lifeOf(holder: Holder): "alive" | "dead" | "unknown" {
  if (holder.pid === NOBODY) return "dead";
  if (holder.host !== hostname()) return "unknown";
  if (!runs(holder.pid)) return "dead";
  const birth = birthOf(holder.pid);
  if (birth === null || holder.birth === null) return "unknown";
  return birth === holder.birth ? "alive" : "dead";
}

function read(path: string): Holder | null {
  try {
    return JSON.parse(readFileSync(path, "utf8")) as Holder;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "ENOENT") return null;
    // A lock is put there whole; one that cannot be read was spoilt by a power cut, which its holder did not survive.
    return { pid: NOBODY, host: hostname(), since: "an unknown time", birth: null, token: "" };
  }
}

async function beats(path: string): Promise<boolean> {
  const modified = () => statSync(path, { throwIfNoEntry: false })?.mtimeMs ?? 0;
  const before = modified();
  for (let waited = 0; waited < WATCH_MS; waited += 250) {
    await sleep(250);
    if (modified() !== before) return true;
  }
  return false;
}

/** Puts our lock there, whole or not at all. @returns false when there is one already */
function place(path: string, own: Holder): boolean {
  const draft = `${path}.${own.token}`;
  writeFileSync(draft, JSON.stringify(own));
  try {
    linkSync(draft, path);
    return true;
  } catch (error) {
    const { code = "" } = error as NodeJS.ErrnoException;
    if (code === "EEXIST") return false;
    if (!NO_LINKS.has(code)) throw error;
    return placeDirectly(path, own);
  } finally {
    unlinkSync(draft);
  }
}

/** On file systems without hard links: made new or not at all, though for a moment it can be seen empty. */
function placeDirectly(path: string, own: Holder): boolean {
  try {
    writeFileSync(path, JSON.stringify(own), { flag: "wx" });
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "EEXIST") return false;
    throw error;
  }
}

/** Takes a dead holder's lock away; if meanwhile it is another's, puts that one back. */
function removeStale(path: string, stale: Holder, token: string): void {
  const aside = `${path}.${token}.stale`;
  try {
    renameSync(path, aside);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "ENOENT") return;
    throw error;
  }
  try {
    if (read(aside)?.token !== stale.token) linkSync(aside, path);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== "EEXIST") throw error;
  } finally {
    rmSync(aside, { force: true });
  }
}

/**
 * Makes this process the only one on a data directory. A lock left by a process that was killed is taken over; one of
 * another machine or container is watched for some seconds, since that machine's processes cannot be seen.
 * @throws {DataDirBusyError} naming the holder
 */
export async function lockDir(dataDir: string, since: string): Promise<DirLock> {
  const path = join(dataDir, LOCK_FILE);
  const own: Holder = {
    pid: process.pid,
    host: hostname(),
    since,
    birth: birthOf(process.pid),
    token: randomUUID(),
  };
  for (let attempt = 0; attempt < 5; attempt += 1) {
    if (place(path, own)) {
      await sleep(SETTLE_MS);
      if (read(path)?.token === own.token) return hold(path, own);
      continue;
    }
    const holder = read(path);
    if (holder === null) continue;
    const life = lifeOf(holder);
    if (life === "alive" || (life === "unknown" && (await beats(path)))) {
      throw new DataDirBusyError(dataDir, holder);
    }
    removeStale(path, holder, own.token);
  }
  throw new DataDirError(dataDir, "is being opened by several programs at once; try again.");
}

function hold(path: string, own: Holder): DirLock {
  const beat = setInterval(() => {
    const now = Date.now() / 1000;
    try {
      if (read(path)?.token === own.token) utimesSync(path, now, now);
    } catch {
      // The directory went away; the next query will say so better than a heartbeat can.
    }
  }, HEARTBEAT_MS);
  beat.unref();
  return {
    release: () => {
      clearInterval(beat);
      if (read(path)?.token === own.token) rmSync(path, { force: true });
    },
  };
}
