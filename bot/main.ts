import pino from "pino";
import { StoreError } from "../db/errors.js";
import { type AppOptions, startApp } from "./app.js";
import { systemClock } from "./clock.js";
import { ConfigError, readConfig } from "./config.js";
import { runLocalChat } from "./local-chat/run.js";
import { createLog } from "./log.js";
import { MessengerError } from "./messenger/errors.js";
import { serve, stopSignal } from "./serve.js";
import { shippedParts } from "./shipped.js";

/** Nobody holds the sender to limits in the local chat. */
const LOCAL_LIMITS = { perSecond: 1_000, chatBurst: 1_000, groupPerMinute: 1_000_000 };

async function main(): Promise<number> {
  const config = readConfig(process.env);
  const { databaseUrl, zone } = config;
  if (config.botToken === null) {
    // Standard output belongs to the chat.
    const log = createLog(config.logLevel ?? "warn", pino.destination({ fd: 2, sync: true }));
    const { stdin, stdout, stderr } = process;
    const terminal = { input: stdin, output: stdout, errors: stderr, interactive: stdin.isTTY === true };
    const { signal } = stopSignal(log);
    // Whoever read the output has gone: there is nobody left to talk to.
    stdout.on("error", (error: NodeJS.ErrnoException) => process.exit(error.code === "EPIPE" ? 0 : 1));
    return runLocalChat(process.argv.slice(2), config, { ...terminal, signal }, (place) =>
      startApp({
        ...place,
        databaseUrl,
        log,
        limits: LOCAL_LIMITS,
        ...shippedParts(place.clock, place.zone, log),
      }),
    );
  }
  const log = createLog(config.logLevel ?? "info");
  const { signal, asked } = stopSignal(log);
  const options: AppOptions = {
    token: config.botToken,
    apiRoot: config.botApiRoot,
    databaseUrl,
    dataDir: config.dataDir,
    webhookUrl: config.webhookUrl,
    clock: systemClock,
    zone,
    log,
    ...shippedParts(systemClock, zone, log),
  };
  try {
    await serve(await startApp(options, signal), { log, port: config.port, asked });
  } catch (error) {
    // Stopped while the messenger could not be reached.
    if (!signal.aborted) throw error;
  }
  return 0;
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
