import { Temporal } from "temporal-polyfill";
import { z } from "zod";
import type { LogLevel } from "./log.js";

/** A setting that is wrong or missing: the message names the variable and says what it should be. */
export class ConfigError extends Error {
  constructor(readonly problems: readonly string[]) {
    super(problems.join("\n"));
    this.name = "ConfigError";
  }
}

export interface Config {
  /** Null: no messenger, the local chat opens instead. */
  botToken: string | null;
  botApiRoot: string;
  /** Null: the embedded database in `dataDir`. */
  databaseUrl: string | null;
  dataDir: string;
  /** Where the messenger brings updates; null: they are polled for. */
  webhookUrl: string | null;
  /** Port of /healthz and the webhook; null: none. */
  port: number | null;
  /** Null: "info" with the messenger, "warn" in the local chat. */
  logLevel: LogLevel | null;
  /** Zone of a household that has not told its own. */
  zone: string;
}

const address = (protocols: RegExp) =>
  z.string().refine((value) => URL.canParse(value) && protocols.test(new URL(value).protocol));

/** Each variable with what it should be, in the words of the error. */
const VARIABLES = {
  BOT_TOKEN: {
    schema: z.string().regex(/^\d{5,}:[\w-]{3,}$/),
    wanted: "the token of the bot, digits, a colon and letters, as it was given when the bot was made",
  },
  BOT_API_ROOT: {
    schema: address(/^https?:$/).transform((value) => value.replace(/\/+$/, "")),
    wanted: "the address of a Bot API server, such as https://api.telegram.org",
  },
  WEBHOOK_URL: {
    schema: address(/^https?:$/),
    wanted:
      "the public address at which the messenger reaches this bot's PORT, such as https://bot.example/areole",
  },
  DATABASE_URL: {
    schema: address(/^postgres(ql)?:$/),
    wanted: "the address of a PostgreSQL database, such as postgres://areole@localhost:5432/areole",
  },
  DATA_DIR: { schema: z.string().min(1), wanted: "a directory for the embedded database" },
  PORT: {
    schema: z
      .string()
      .regex(/^\d{1,5}$/)
      .transform(Number)
      .pipe(z.number().min(1).max(65_535)),
    wanted: "a port number from 1 to 65535 for /healthz and the webhook",
  },
  LOG_LEVEL: {
    schema: z.enum(["fatal", "error", "warn", "info", "debug", "trace", "silent"]),
    wanted: "one of fatal, error, warn, info, debug, trace, silent",
  },
  TIME_ZONE: {
    schema: z.string().refine(isZone),
    wanted: "an IANA time zone, such as Europe/Warsaw",
  },
} as const;

/**
 * Reads the settings once, at the start. A variable that is set to nothing counts as not set.
 * @throws {ConfigError} naming every variable that is wrong; values are never repeated, a token might be among them
 */
export function readConfig(env: Record<string, string | undefined>): Config {
  const problems: string[] = [];
  const read = <K extends keyof typeof VARIABLES>(name: K) => {
    const raw = env[name]?.trim();
    if (raw === undefined || raw === "") return null;
    const { schema, wanted } = VARIABLES[name];
    const parsed = schema.safeParse(raw);
    if (parsed.success) return parsed.data as z.output<(typeof VARIABLES)[K]["schema"]>;
    problems.push(`${name} must be ${wanted}.`);
    return null;
  };
  const config: Config = {
    botToken: read("BOT_TOKEN"),
    botApiRoot: read("BOT_API_ROOT") ?? "https://api.telegram.org",
    databaseUrl: read("DATABASE_URL"),
    dataDir: read("DATA_DIR") ?? "./data",
    webhookUrl: read("WEBHOOK_URL"),
    port: read("PORT"),
    logLevel: read("LOG_LEVEL"),
    zone: read("TIME_ZONE") ?? Temporal.Now.timeZoneId(),
  };
  if (
    config.webhookUrl !== null &&
    config.port === null &&
    !problems.some((problem) => problem.startsWith("PORT "))
  )
    problems.push(`PORT must be ${VARIABLES.PORT.wanted}, because WEBHOOK_URL is set.`);
  if (problems.length > 0) throw new ConfigError(problems);
  return config;
}

/** Whether this machine knows the zone by that name. */
export function isZone(name: string): boolean {
  try {
    Temporal.Instant.fromEpochMilliseconds(0).toZonedDateTimeISO(name);
    return true;
  } catch {
    return false;
  }
}
