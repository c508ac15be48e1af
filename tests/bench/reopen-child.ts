import { readFileSync } from "node:fs";
import { systemClock } from "../../bot/clock.js";
import { openStore } from "../../db/store.js";

/** `reopen-child.ts DATA_DIR`: opens the embedded database and says how long it took and what memory it holds. */
const started = performance.now();
const store = await openStore({
  dataDir: process.argv[2] ?? "",
  clock: systemClock,
  log: { info: () => {}, warn: () => {} },
});
const openMs = Math.round(performance.now() - started);
const megabytes = (bytes: number) => Math.round(bytes / 1e6);
let peakMb: number | null = null;
try {
  // Linux tells the most memory ever held.
  const line = /VmHWM:\s+(\d+) kB/.exec(readFileSync("/proc/self/status", "utf8"));
  peakMb = line ? megabytes(Number(line[1]) * 1024) : null;
} catch {
  // Elsewhere the present figure has to do.
}
const rssMb = megabytes(process.memoryUsage().rss);
await store.close();
process.stdout.write(JSON.stringify({ openMs, rssMb, peakMb }));
process.exit(0);
