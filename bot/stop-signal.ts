import type { Logger } from "./log.js";

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
