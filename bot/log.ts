import { type DestinationStream, type Logger, pino } from "pino";

export type { Logger };

export type LogLevel = "fatal" | "error" | "warn" | "info" | "debug" | "trace" | "silent";

/**
 * Structured logs, one JSON object a line. Tokens and what people wrote never reach them: errors are cut down to
 * kind, code, a scrubbed message and the stack's frames (drivers put the parameters of a statement, clients the
 * payload of a call into theirs), and fields that hold words or secrets are removed wherever they turn up.
 */
export function createLog(level: LogLevel, destination?: DestinationStream): Logger {
  const options = {
    level,
    base: undefined,
    serializers: { err: describeError, error: describeError },
    redact: { paths: SECRET.flatMap((name) => [name, `*.${name}`, `*.*.${name}`]), remove: true },
  };
  return destination ? pino(options, destination) : pino(options);
}

const SECRET = [
  "token",
  "text",
  "rawText",
  "caption",
  "payload",
  "body",
  "message.text",
  "parameters",
  "detail",
];

export interface DescribedError {
  type: string;
  message: string;
  code?: string | number;
  stack?: string;
  cause?: DescribedError;
}

const MOST_CAUSES = 4;

/** An error as it may be logged. */
export function describeError(error: unknown, depth = 0): DescribedError {
  if (!(error instanceof Error)) return { type: typeof error, message: "(not an error object)" };
  const code = (error as { code?: unknown; error_code?: unknown }).code ?? errorCode(error);
  // Some clients keep the cause under a name of their own.
  const cause = error.cause ?? (error as { error?: unknown }).error;
  return {
    type: error.name,
    message: scrub(error.message, code),
    ...(typeof code === "string" || typeof code === "number" ? { code } : {}),
    ...(error.stack ? { stack: framesOf(error.stack) } : {}),
    ...(cause instanceof Error && depth < MOST_CAUSES ? { cause: describeError(cause, depth + 1) } : {}),
  };
}

const errorCode = (error: Error): unknown => (error as { error_code?: unknown }).error_code;

/** @param code SQLSTATE class 22 (data exception) quotes the offending value in its message */
function scrub(message: string, code: unknown): string {
  if (typeof code === "string" && /^22[0-9A-Z]{3}$/.test(code)) return "a value the database does not take";
  const statement = message.search(/\bparams:|^Failed query:/m);
  const kept = statement >= 0 ? "a statement failed" : message;
  return withoutTokens(kept).slice(0, 500);
}

/** Bot tokens ("123456:AbC...") and credentials in addresses. */
export function withoutTokens(text: string): string {
  return text
    .replace(/\b(bot)?\d{5,}:[\w-]{8,}/g, "$1[token]")
    .replace(/(\w+:\/\/)[^\s/@]*:[^\s/@]*@/g, "$1[credentials]@");
}

const framesOf = (stack: string): string =>
  stack
    .split("\n")
    .filter((line) => /^\s+at /.test(line))
    .slice(0, 12)
    .join("\n");
