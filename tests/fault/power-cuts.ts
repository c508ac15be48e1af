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

/** When the power goes: at a random operation, or at that one. */
export interface Plan {
  seed: number;
  at?: number;
}

/** So many cuts at random operations, with seeds from `first` on. */
export function anywhere(count: number, first: number): Plan[] {
  return Array.from({ length: count }, (_, index) => ({ seed: first + index }));
}

async function cutOnce(seedDir: string, { seed, at }: Plan, mode: "with" | "without"): Promise<Cut> {
  const work = mkdtempSync(join(tmpdir(), "areole-cut-"));
  try {
    const wrote = await startChild("cut-child.ts", [
      seedDir,
      work,
      String(seed),
      mode,
      ...(at === undefined ? [] : [String(at)]),
    ]).ended;
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

/** The power cuts of a plan, two at a time. */
export async function powerCuts(plans: readonly Plan[], mode: "with" | "without"): Promise<Cut[]> {
  const seedDir = await seedDataDir();
  const cuts: Cut[] = [];
  const waiting = [...plans];
  const worker = async () => {
    for (let plan = waiting.shift(); plan !== undefined; plan = waiting.shift()) {
      cuts.push(await cutOnce(seedDir, plan, mode));
    }
  };
  await Promise.all([worker(), worker()]);
  return cuts.sort((a, b) => a.seed - b.seed);
}
