/** Wakes whoever waits for work in this process; others' work is found by looking every now and then. */
export class Bell {
  #rung = false;
  readonly #waiters = new Set<() => void>();
  constructor(private readonly pollMs: number) {}

  ring = (): void => {
    this.#rung = true;
    for (const wake of [...this.#waiters]) wake();
  };

  wait(signal: AbortSignal): Promise<void> {
    if (this.#rung || signal.aborted) {
      this.#rung = false;
      return Promise.resolve();
    }
    return new Promise((resolve) => {
      const wake = () => {
        clearTimeout(timer);
        signal.removeEventListener("abort", wake);
        this.#waiters.delete(wake);
        this.#rung = false;
        resolve();
      };
      const timer = setTimeout(wake, this.pollMs);
      signal.addEventListener("abort", wake, { once: true });
      this.#waiters.add(wake);
    });
  }
}
