import { systemClock } from "../../bot/clock.js";
import { DataDirBusyError } from "../../db/errors.js";
import { openStore } from "../../db/store.js";

/** `hold-child.ts DIR`: opens the store and holds it until SIGTERM; ends with 3 when another has it. */
const started = performance.now();
try {
  const store = await openStore({
    dataDir: process.argv[2] ?? "",
    clock: systemClock,
    log: { info: () => {}, warn: () => {} },
  });
  process.once("SIGTERM", () => void store.close().then(() => process.exit(0)));
  setInterval(() => {}, 1000);
  process.stdout.write("open\n");
} catch (error) {
  if (!(error instanceof DataDirBusyError)) throw error;
  process.stdout.write(`${error.message}\nrefused after ${Math.round(performance.now() - started)} ms\n`);
  process.exit(3);
}
