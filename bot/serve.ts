import type { Logger } from "pino";
import type { App } from "./app.js";
import { serveHealth } from "./health.js";

/** A stop that takes longer is cut short: what is not finished is taken up at the next start. */
const STOP_SECONDS = 15;

/**
 * Resolves at SIGINT or SIGTERM, with the signal's name; a second one, or a stop that takes too long, ends the process
 * at once.
 */
export function stopSignal(log: Logger): { signal: AbortSignal; asked: Promise<string> } {
  const controller = new AbortController();
  const asked = new Promise<string>((resolve) => {
    const stop = (name: string) => {
      if (controller.signal.aborted) process.exit(1);
      controller.abort();
      setTimeout(() => {
        log.warn("the stop takes too long; ending");
        process.exit(1);
      }, STOP_SECONDS * 1000).unref();
      resolve(name);
    };
    for (const name of ["SIGINT", "SIGTERM"] as const) process.on(name, () => stop(name));
  });
  return { signal: controller.signal, asked };
}

/**
 * Keeps the app at work until it is asked to stop.
 * @throws {MessengerError} when the messenger refuses the token later on
 */
export async function serve(
  app: App,
  options: {
    log: Logger;
    port: number | null;
    asked: Promise<string>;
    startTicker: (app: App) => () => void;
  },
): Promise<void> {
  const { log, port, asked } = options;
  const health =
    port === null
      ? null
      : await serveHealth(
          port,
          {
            polling: () => app.edge.healthy(),
            store: async () => (await app.store.inbox.backlog()) >= 0,
          },
          app.edge.webhook ? { [app.edge.webhook.path]: app.edge.webhook.answer } : {},
        );
  const stopTicker = options.startTicker(app);
  log.info({ bot: app.edge.me.username, store: app.store.kind, port: health?.port ?? null }, "at work");
  try {
    const ended = await Promise.race([asked, app.edge.failed]);
    if (typeof ended !== "string") throw ended;
    log.info({ signal: ended }, "stopping");
  } finally {
    stopTicker();
    await app.stop();
    await health?.close();
  }
  log.info("stopped");
}
