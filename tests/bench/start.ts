import { spawn } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Row } from "./row.js";

const ROOT = join(import.meta.dirname, "..", "..");

interface Run {
  firstReplyMs: number;
  totalMs: number;
  peakMb: number | null;
}

/** One run of the local chat with one sentence: time to its reply, to the end, and the peak of memory. */
function runOnce(dataDir: string): Promise<Run> {
  return new Promise((resolve, reject) => {
    const began = performance.now();
    const child = spawn(
      join(ROOT, "node_modules", ".bin", "tsx"),
      ["bot/main.ts", "--data", dataDir, "--now", "2027-01-15T09:00", "--zone", "Europe/Warsaw"],
      {
        cwd: ROOT,
        stdio: ["pipe", "pipe", "inherit"],
        env: { ...process.env, BOT_TOKEN: "", DATABASE_URL: "" },
      },
    );
    let firstReplyMs = 0;
    let peakMb: number | null = null;
    child.stdout.on("data", (chunk: Buffer) => {
      if (firstReplyMs === 0 && /watered/.test(chunk.toString())) {
        firstReplyMs = performance.now() - began;
        peakMb = peakOf(child.pid);
        child.stdin.end();
      }
    });
    child.stdin.write("watered the aloes\n");
    child.on("error", reject);
    child.on("close", (code) => {
      if (code !== 0) reject(new Error(`the local chat ended with ${code}`));
      else resolve({ firstReplyMs, totalMs: performance.now() - began, peakMb });
    });
  });
}

/** High-water mark of the resident set, where the system tells it. */
function peakOf(pid: number | undefined): number | null {
  try {
    const status = readFileSync(`/proc/${pid}/status`, "utf8");
    return Number(/VmHWM:\s+(\d+)/.exec(status)?.[1] ?? Number.NaN) / 1024;
  } catch {
    return null;
  }
}

/** Start to first reply: on an empty data directory, and on one that exists. */
export async function benchStart(): Promise<Row[]> {
  const dir = mkdtempSync(join(tmpdir(), "areole-start-"));
  try {
    const rows: Row[] = [];
    for (const name of [
      "start to first reply, empty data directory",
      "start to first reply, again",
      "once more",
    ]) {
      const run = await runOnce(join(dir, "data"));
      const memory = run.peakMb === null ? "" : `, peak ${run.peakMb.toFixed(0)} MB`;
      rows.push({ name, figure: `${(run.firstReplyMs / 1000).toFixed(2)} s${memory}` });
    }
    return rows;
  } finally {
    rmSync(dir, { recursive: true, force: true });
  }
}
