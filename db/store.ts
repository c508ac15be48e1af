import { type Clock, systemClock } from "../bot/clock.js";
import type { Households } from "../bot/journal/ports.js";
import type { Inbox, Outbox } from "../bot/messenger/ports.js";
import type { NudgeQueue } from "../bot/nudges/ports.js";
import { Bell } from "./bell.js";
import { CareShelf } from "./care-shelf.js";
import { openEmbedded } from "./embedded/open.js";
import { type Engine, serverEngine } from "./engine.js";
import { StoreError } from "./errors.js";
import { idMaker } from "./ids.js";
import { StoredInbox } from "./inbox.js";
import { Maintenance } from "./maintenance.js";
import { migrate } from "./migrate.js";
import { StoredNudges } from "./nudge-queue.js";
import { StoredOutbox } from "./outbox.js";
import { freeLeases } from "./queries/maintenance.js";
import { Tenants } from "./tenancy.js";

/** What the store tells the log: facts, never a message's text. */
export interface StoreLog {
  info(facts: object, message: string): void;
  warn(facts: object, message: string): void;
}

export interface StoreOptions {
  /** PostgreSQL to use; without it the embedded database in `dataDir`. */
  databaseUrl?: string;
  dataDir: string;
  /** The journal's time. */
  clock: Clock;
  log: StoreLog;
  /** Real time, for leases and back-off, where `clock` is simulated. */
  pulse?: Clock;
  /**
   * How long a chat's incoming messages stay with a process that went silent; 30 unless told. Twice as long for a
   * message being sent, half as long for the right to send.
   */
  leaseSeconds?: number;
  /** Connections to the server at most; 10 unless told. */
  connections?: number;
  /** Files of an empty embedded database of the same version, copied instead of made. */
  seed?: string;
}

export interface Store {
  kind: Engine["kind"];
  /** Transactions that may run side by side: how many workers are worth having. */
  width: number;
  households: Households;
  inbox: Inbox;
  outbox: Outbox;
  nudges: NudgeQueue;
  careRules: CareShelf;
  /** Housekeeping; to be called about once a minute. */
  maintain(): Promise<{ removed: number }>;
  /** One piece of the housekeeping at once, before a backup for instance. */
  tidy(what: "checkpoint" | "vacuum"): Promise<void>;
  /** Whether an acknowledged entry survives a power cut, and if not, why not. */
  durable: { ok: boolean; reason: string | null };
  close(): Promise<void>;
}

const OLDEST_SERVER = 140_000;
/** How often to look for work that another process, or the passing of time, has made. */
const POLL_MS = 1000;

/**
 * Opens the database, brings its schema up to date and hands out all that works on it.
 * @throws {DataDirBusyError} if another process has the data directory
 * @throws {SchemaTooNewError} if a newer version has written it
 * @throws {StoreError} if it cannot be reached or opened
 */
export async function openStore(options: StoreOptions): Promise<Store> {
  const pulse = options.pulse ?? systemClock;
  const { engine, syncs } =
    options.databaseUrl === undefined
      ? await openEmbedded({ dataDir: options.dataDir, pulse, seed: options.seed })
      : {
          engine: serverEngine({ url: options.databaseUrl, connections: options.connections }),
          syncs: null,
        };
  try {
    if (engine.kind === "server") await requireServer(engine);
    await migrate(engine);
    const durable = await provenDurable(engine, syncs, pulse);
    if (engine.kind === "embedded") await freeLeases(engine);
    return assemble(engine, durable, options, pulse);
  } catch (error) {
    await engine.close().catch(() => {});
    throw error;
  }
}

function assemble(engine: Engine, durable: Store["durable"], options: StoreOptions, pulse: Clock): Store {
  const { clock, log } = options;
  const incoming = new Bell(POLL_MS);
  const outgoing = new Bell(POLL_MS);
  const tenants = new Tenants(engine, { clock, pulse, newId: idMaker(clock) }, outgoing.ring);
  const leaseSeconds = options.leaseSeconds ?? 30;
  const inbox = new StoredInbox(tenants, incoming, leaseSeconds, (facts) =>
    log.warn(facts, "an update could not be handled and was put aside"),
  );
  const outbox = new StoredOutbox(tenants, outgoing, leaseSeconds, (from, to) => inbox.migrateChat(from, to));
  const nudges = new StoredNudges(tenants);
  const maintenance = new Maintenance(tenants);
  let closed: Promise<void> | null = null;
  const close = async () => {
    const given = await Promise.allSettled([inbox.release(), outbox.release(), nudges.release()]);
    for (const { status } of given) {
      if (status === "rejected") log.warn({}, "claims could not be given back; they end by themselves");
    }
    await engine.close();
  };
  return {
    kind: engine.kind,
    width: engine.width,
    households: { within: (household, work) => tenants.within(household, work) },
    inbox,
    outbox,
    nudges,
    careRules: new CareShelf(engine),
    maintain: () => maintenance.maintain(),
    tidy: (what) => maintenance.tidy(what),
    durable,
    close: () => {
      closed ??= close();
      return closed;
    },
  };
}

async function requireServer(engine: Engine): Promise<void> {
  const [row] = await engine.rows<{ version: number; words: string }>(
    `select current_setting('server_version_num')::int as version, current_setting('server_version') as words`,
  );
  if (row === undefined || row.version < OLDEST_SERVER) {
    throw new StoreError(`PostgreSQL ${row?.words ?? "?"} is too old; Areole needs 14 or newer.`);
  }
}

/**
 * Asks for proof rather than trusting a setting: a commit on the embedded database has to reach the disk. A server's
 * word is taken for its own disk.
 */
async function provenDurable(
  engine: Engine,
  syncs: (() => number) | null,
  pulse: Clock,
): Promise<Store["durable"]> {
  if (syncs === null) {
    const [row] = await engine.rows<{ sync: string; commit: string }>(
      `select current_setting('fsync') as sync, current_setting('synchronous_commit') as commit`,
    );
    if (row?.sync === "off") return { ok: false, reason: "the server runs with fsync = off" };
    if (row?.commit === "off") return { ok: false, reason: "the server runs with synchronous_commit = off" };
    return { ok: true, reason: null };
  }
  const before = syncs();
  await engine.rows(
    `insert into meta (key, value) values ('opened_at', $1) on conflict (key) do update set value = excluded.value`,
    [pulse.now().toString()],
  );
  if (syncs() > before) return { ok: true, reason: null };
  return {
    ok: false,
    reason: "a commit did not reach the disk: this version of PGlite does not synchronise files",
  };
}
