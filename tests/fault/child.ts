import { type ChildProcess, spawn } from "node:child_process";
import { createRequire } from "node:module";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const TSX = pathToFileURL(createRequire(import.meta.url).resolve("tsx")).href;

export interface Child {
  process: ChildProcess;
  /** Resolves with what it printed once it has ended. */
  ended: Promise<{ code: number | null; signal: NodeJS.Signals | null; out: string; err: string }>;
}

/** Starts a script of this folder. */
export function startChild(script: string, args: readonly string[]): Child {
  const child = spawn(process.execPath, ["--import", TSX, join(import.meta.dirname, script), ...args], {
    stdio: ["ignore", "pipe", "pipe"],
  });
  let out = "";
  let err = "";
  child.stdout.on("data", (chunk: Buffer) => {
    out += chunk.toString();
  });
  child.stderr.on("data", (chunk: Buffer) => {
    err += chunk.toString();
  });
  const ended = new Promise<Awaited<Child["ended"]>>((resolve, reject) => {
    child.once("error", reject);
    child.once("close", (code, signal) => resolve({ code, signal, out, err }));
  });
  return { process: child, ended };
}

/** Resolves when the child has printed `text`, rejects when it ends without. */
export function printed({ process: child, ended }: Child, text: string): Promise<void> {
  return new Promise((resolve, reject) => {
    let seen = "";
    child.stdout?.on("data", (chunk: Buffer) => {
      seen += chunk.toString();
      if (seen.includes(text)) resolve();
    });
    ended.then(({ err, out }) => reject(new Error(`it ended without saying ${text}: ${out}${err}`)), reject);
  });
}
