import pino from "pino";
import { StoreError } from "../db/errors.js";
import type { App, AppOptions } from "./app.js";
import { type Clock, systemClock } from "./clock.js";
import { type Config, ConfigError, readConfig } from "./config.js";
import { createLog, type Logger } from "./log.js";
import { MessengerError } from "./messenger/errors.js";
import { stopSignal } from "./stop-signal.js";

/** Nobody holds the sender to limits in the local chat. */
const LOCAL_LIMITS = { perSecond: 1_000, chatBurst: 1_000, groupPerMinute: 1_000_000 };

async function main(): Promise<number> {
  const config = readConfig(process.env);
  return config.botToken === null ? chatLocally(config) : workAtMessenger(config, config.botToken);
}

async function chatLocally(config: Config): Promise<number> {
  const { databaseUrl } = config;
  // Standard output belongs to the chat.
  const log = createLog(config.logLevel ?? "warn", pino.destination({ fd: 2, sync: true }));
  const { stdin, stdout, stderr } = process;
  const { signal } = stopSignal(log);
  // Whoever read the output has gone: there is nobody left to talk to.
  stdout.on("error", (error: NodeJS.ErrnoException) => process.exit(error.code === "EPIPE" ? 0 : 1));
  const terminal = {
    input: stdin,
    output: stdout,
    errors: stderr,
    interactive: stdin.isTTY === true,
    signal,
  };
  const { runLocalChat } = await import("./local-chat/run.js");
  return runLocalChat(process.argv.slice(2), config, terminal, (place) =>
    assemble({ ...place, databaseUrl, log, limits: LOCAL_LIMITS }),
  );
}

async function workAtMessenger(config: Config, token: string): Promise<number> {
  const { botApiRoot: apiRoot, databaseUrl, dataDir, webhookUrl, zone, port } = config;
  const log = createLog(config.logLevel ?? "info");
  const { signal, asked } = stopSignal(log);
  const { serve } = await import("./serve.js");
  const options = { token, apiRoot, databaseUrl, dataDir, webhookUrl, zone, clock: systemClock, log };
  try {
    await serve(await assemble(options, signal), { log, port, asked });
  } catch (error) {
    // Stopped while the messenger could not be reached.
    if (!signal.aborted) throw error;
  }
  return 0;
}

/** Loads the tables and sets everything to work; first thing after the settings are known to be right. */
async function assemble(
  options: Omit<AppOptions, "desk" | "nudging"> & { clock: Clock; log: Logger },
  signal?: AbortSignal,
): Promise<App> {
  const [{ startApp }, { shippedParts }] = await Promise.all([import("./app.js"), import("./shipped.js")]);
  return startApp({ ...options, ...shippedParts(options.clock, options.zone, options.log) }, signal);
}

main().then(
  (code) => {
    process.exitCode = code;
  },
  (error: unknown) => {
    // What the operator can mend is said in one plain sentence; the rest is a defect and needs its stack.
    const known =
      error instanceof ConfigError || error instanceof MessengerError || error instanceof StoreError;
    if (known) process.stderr.write(`${error.message}\n`);
    else
      createLog("error", pino.destination({ fd: 2, sync: true })).fatal({ err: error }, "the start failed");
    process.exit(1);
  },
);
