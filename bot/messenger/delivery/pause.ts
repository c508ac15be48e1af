/** Resolves after `ms`, or at once when the signal is given. */
export function pause(ms: number, signal?: AbortSignal): Promise<void> {
  if (signal?.aborted) return Promise.resolve();
  return new Promise((resolve) => {
    const done = () => {
      clearTimeout(timer);
      signal?.removeEventListener("abort", done);
      resolve();
    };
    const timer = setTimeout(done, Math.max(0, ms));
    signal?.addEventListener("abort", done, { once: true });
  });
}

/** Seconds before the next attempt after so many: 1, 2, 4, ... up to five minutes, spread by a fifth. */
export function backOffSeconds(attempts: number, random: () => number = Math.random): number {
  return Math.min(2 ** Math.max(0, attempts - 1), 300) * (0.9 + 0.2 * random());
}
