import { setTimeout as sleep } from "node:timers/promises";
import type { Logger } from "pino";
import type { Temporal } from "temporal-polyfill";
import { openStore, type Store } from "../db/store.js";
import type { Clock } from "./clock.js";
import { runInbox } from "./messenger/delivery/inbox-worker.js";
import { PUBLIC_LIMITS, type SendLimits } from "./messenger/delivery/limits.js";
import { runSender } from "./messenger/delivery/sender.js";
import type { Desk } from "./messenger/desk.js";
import { type BotEdge, createBotEdge } from "./messenger/edge.js";

/** What decides to speak unasked. */
export interface Nudging {
  /** Fires what has fallen due by the clock; resolves when all of it stands in the outbox. */
  tick(): Promise<void>;
}

export interface AppOptions {
  token: string;
  apiRoot: string;
  /** PostgreSQL; null: the embedded database in `dataDir`. */
  databaseUrl: string | null;
  dataDir: string;
  clock: Clock;
  /** Zone of a household that has told none. */
  zone: string;
  log: Logger;
  limits?: SendLimits;
  /** Address the messenger brings updates to; null: polling. */
  webhookUrl?: string | null;
  desk: (store: Store) => Desk | Promise<Desk>;
  nudging: (store: Store) => Nudging | Promise<Nudging>;
}

/** Everything at work: polling, inbox, desk, outbox, nudges and housekeeping, on one store. */
export interface App {
  store: Store;
  edge: BotEdge;
  idle(): Promise<boolean>;
  tick(): Promise<void>;
  nextDue(): Promise<Temporal.Instant | null>;
  /** Stops taking in, lets what is under way come to an end within a few seconds, and closes the store. */
  stop(): Promise<void>;
}

const MAINTAIN_MS = 60_000;
const DRAIN_SECONDS = 5;
const LEAD_MS = 3_000;

/**
 * Opens the store and sets everything to work; the local chat and the real messenger run the same.
 * @throws {StoreError} and its kin when the database cannot be opened, {MessengerError} when the token is refused
 */
export async function startApp(options: AppOptions, signal?: AbortSignal): Promise<App> {
  const { clock, log, dataDir, databaseUrl } = options;
  const store = await openStore({ dataDir, clock, log, ...(databaseUrl === null ? {} : { databaseUrl }) });
  try {
    if (!store.durable.ok)
      log.warn({ reason: store.durable.reason }, "the store is not durable: a power cut may lose entries");
    const { inbox, households } = store;
    const desk = await options.desk(store);
    const nudging = await options.nudging(store);
    const { token, apiRoot, webhookUrl, zone } = options;
    const mayPoll = rarely(() => store.outbox.mayLead());
    const webhook = webhookUrl ? { webhook: { url: webhookUrl } } : {};
    const edge = await createBotEdge(
      { token, apiRoot, inbox, households, desk, clock, zone, log, mayPoll, ...webhook },
      signal,
    );
    await edge.start();
    return new Running(store, edge, nudging, options);
  } catch (error) {
    await store.close();
    throw error;
  }
}

/** The process that sends is the one that polls; it renews that right while it sends, so asking seldom will do. */
function rarely(ask: () => Promise<boolean>): () => Promise<boolean> {
  let grantedAt = Number.NEGATIVE_INFINITY;
  return async () => {
    if (performance.now() - grantedAt < LEAD_MS) return true;
    if (!(await ask())) return false;
    grantedAt = performance.now();
    return true;
  };
}

class Running implements App {
  readonly #working = new AbortController();
  readonly #sending = new AbortController();
  readonly #loops: Promise<unknown>;
  readonly #maintaining: NodeJS.Timeout;
  readonly #ticks = new Set<Promise<void>>();
  #stopped: Promise<void> | null = null;

  constructor(
    readonly store: Store,
    readonly edge: BotEdge,
    private readonly nudging: Nudging,
    options: AppOptions,
  ) {
    const { log, limits = PUBLIC_LIMITS } = options;
    const { inbox, outbox, width } = store;
    this.#loops = Promise.all([
      runInbox({ inbox, handle: edge.handle, workers: width, signal: this.#working.signal, log }),
      runSender({ outbox, send: edge.send, signal: this.#sending.signal, log, limits }),
    ]);
    this.#maintaining = setInterval(() => {
      store.maintain().catch((error: unknown) => log.warn({ err: error }, "housekeeping failed"));
    }, MAINTAIN_MS);
  }

  async idle(): Promise<boolean> {
    const { inbox, outbox } = this.store;
    return this.edge.idle() && (await inbox.backlog()) === 0 && (await outbox.backlog()) === 0;
  }

  tick(): Promise<void> {
    const tick = this.nudging.tick();
    const ended = tick.catch(() => undefined).then(() => void this.#ticks.delete(ended));
    this.#ticks.add(ended);
    return tick;
  }

  nextDue(): Promise<Temporal.Instant | null> {
    return this.store.nudges.nextDue();
  }

  stop(): Promise<void> {
    this.#stopped ??= this.#stop();
    return this.#stopped;
  }

  async #stop(): Promise<void> {
    clearInterval(this.#maintaining);
    await this.edge.stop();
    await Promise.all(this.#ticks);
    const until = performance.now() + DRAIN_SECONDS * 1000;
    while (performance.now() < until && !(await this.idle().catch(() => true))) await sleep(20);
    this.#working.abort();
    this.#sending.abort();
    await this.#loops;
    await this.store.close();
  }
}
