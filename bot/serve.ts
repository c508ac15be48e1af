import type { Logger } from "pino";
import type { App } from "./app.js";
import { ConfigError } from "./config.js";
import { type Health, serveHealth } from "./health.js";
import { Ticker } from "./nudges/ticker.js";

/** A stop that takes longer is cut short: what is not finished is taken up at the next start. */
const STOP_SECONDS = 15;
/** A second signal this soon is the same one, passed on by npm or tsx; later it means: now. */
const IMPATIENT_MS = 2_000;

/**
 * Resolves at SIGINT, SIGTERM or SIGHUP, with the signal's name; a second one later on, or a stop that takes too long,
 * ends the process at once.
 */
export function stopSignal(log: Logger): { signal: AbortSignal; asked: Promise<string> } {
  const controller = new AbortController();
  const asked = new Promise<string>((resolve) => {
    let askedAt = 0;
    const stop = (name: string) => {
      if (controller.signal.aborted) {
        if (performance.now() - askedAt > IMPATIENT_MS) process.exit(1);
        return;
      }
      askedAt = performance.now();
      controller.abort();
      setTimeout(() => {
        log.warn("the stop takes too long; ending");
        process.exit(1);
      }, STOP_SECONDS * 1000).unref();
      resolve(name);
    };
    for (const name of ["SIGINT", "SIGTERM", "SIGHUP"] as const) process.on(name, () => stop(name));
  });
  return { signal: controller.signal, asked };
}

/**
 * Keeps the app at work until it is asked to stop.
 * @throws {ConfigError} when the port is taken
 * @throws {MessengerError} when the messenger refuses the token later on
 */
export async function serve(
  app: App,
  options: {
    log: Logger;
    port: number | null;
    asked: Promise<string>;
  },
): Promise<void> {
  const { log, port, asked } = options;
  let ticker: Ticker | null = null;
  let health: Health | null = null;
  try {
    health = port === null ? null : await listen(app, port);
    const fire = () => app.tick();
    const missed = (error: unknown) => log.error({ err: error }, "due nudges could not be fired");
    ticker = new Ticker(fire, missed);
    // What fell due while it was away is not made to wait for the full minute.
    fire().catch(missed);
    log.info({ bot: app.edge.me.username, store: app.store.kind, port }, "at work");
    const ended = await Promise.race([asked, app.edge.failed]);
    if (typeof ended !== "string") throw ended;
    log.info({ signal: ended }, "stopping");
  } finally {
    await ticker?.stop();
    await app.stop();
    await health?.close();
  }
  log.info("stopped");
}

async function listen(app: App, port: number): Promise<Health> {
  const { webhook } = app.edge;
  const checks = {
    polling: () => app.edge.healthy(),
    store: async () => (await app.store.inbox.backlog()) >= 0,
  };
  try {
    return await serveHealth(port, checks, webhook ? { [webhook.path]: webhook.answer } : {});
  } catch (error) {
    const code = (error as { code?: string }).code;
    throw new ConfigError([`PORT must be a port this program may listen on; ${port} is not (${code}).`]);
  }
}
