import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { seedDataDir } from "../support/pglite.js";
import { startChild } from "./child.js";

export interface Cut {
  seed: number;
  /** What is wrong with the database that survived, or "clean". */
  verdict: string;
  /** Entries acknowledged before the cut. */
  logged: number;
}

/** A database damaged enough may go round in circles; that is a verdict too. */
const CHECK_MS = 60_000;

async function cutOnce(seedDir: string, seed: number, mode: "with" | "without"): Promise<Cut> {
  const work = mkdtempSync(join(tmpdir(), "areole-cut-"));
  try {
    const wrote = await startChild("cut-child.ts", [seedDir, work, String(seed), mode]).ended;
    if (wrote.code !== 0) throw new Error(`seed ${seed}: it failed before the cut: ${wrote.err}`);
    const { received, logged } = JSON.parse(wrote.out) as { received: number; logged: number };
    const checking = startChild("check-child.ts", [join(work, "survived"), String(received), String(logged)]);
    const timer = setTimeout(() => checking.process.kill("SIGKILL"), CHECK_MS);
    const { out, err, signal } = await checking.ended;
    clearTimeout(timer);
    const verdict = out || (signal === "SIGKILL" ? "hangs" : `crashes: ${err.trim().split("\n").at(-1)}`);
    return { seed, verdict, logged };
  } finally {
    rmSync(work, { recursive: true, force: true });
  }
}

/** So many power cuts with seeds from `first` on, two at a time. */
export async function powerCuts(count: number, first: number, mode: "with" | "without"): Promise<Cut[]> {
  const seedDir = await seedDataDir();
  const cuts: Cut[] = [];
  let next = first;
  const worker = async () => {
    while (next < first + count) {
      const seed = next;
      next += 1;
      cuts.push(await cutOnce(seedDir, seed, mode));
    }
  };
  await Promise.all([worker(), worker()]);
  return cuts.sort((a, b) => a.seed - b.seed);
}
