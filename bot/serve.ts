import type { Logger } from "pino";
import type { App } from "./app.js";
import { ConfigError } from "./config.js";
import { type Health, serveHealth } from "./health.js";
import { Ticker } from "./nudges/ticker.js";

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
