/** Something of the database failed. The message holds no parameter of a query, so it may be logged. */
export class StoreError extends Error {
  constructor(
    message: string,
    /** PostgreSQL's five-character code, where it came from there. */
    readonly sqlstate: string | null = null,
    options?: { cause?: unknown },
  ) {
    super(message, options);
    this.name = "StoreError";
  }
  /** Two transactions met: the same one may well succeed when it is run again. */
  get transient(): boolean {
    return this.sqlstate === "40001" || this.sqlstate === "40P01";
  }
  /** The connection or the server went away; nothing is known about the statement itself. */
  get unreachable(): boolean {
    return (
      this.sqlstate !== null &&
      (this.sqlstate.startsWith("08") || this.sqlstate.startsWith("57P") || this.sqlstate === "53300")
    );
  }
}

/** The database was written by a newer Areole. */
export class SchemaTooNewError extends StoreError {
  constructor(
    readonly found: string,
    readonly known: string,
  ) {
    super(
      `The database was last changed by a newer version of Areole (its newest migration dates from ${found}, ` +
        `this version knows those up to ${known}). Start the newer version, or restore a backup made before it.`,
    );
    this.name = "SchemaTooNewError";
  }
}

/** Another process has the data directory. */
export class DataDirBusyError extends StoreError {
  constructor(
    readonly dataDir: string,
    readonly holder: { pid: number; host: string; since: string },
  ) {
    super(
      `The data directory ${dataDir} is in use by process ${holder.pid} on ${holder.host} since ${holder.since}. ` +
        "Two programs on one embedded database would lose entries. Stop that one, or choose another directory.",
    );
    this.name = "DataDirBusyError";
  }
}

/** The data directory cannot be used as it is. */
export class DataDirError extends StoreError {
  constructor(
    readonly dataDir: string,
    problem: string,
    options?: { cause?: unknown },
  ) {
    super(`The data directory ${dataDir} ${problem}`, null, options);
    this.name = "DataDirError";
  }
}

/** Another worker has taken over this chat; what was done in the transaction is undone. */
export class LeaseLostError extends StoreError {
  constructor() {
    super("Another worker has taken over this chat.");
    this.name = "LeaseLostError";
  }
}

const SQLSTATE = /^[0-9A-Z]{5}$/;
const NO_CONNECTION = new Set([
  "ECONNREFUSED",
  "ECONNRESET",
  "EPIPE",
  "ENOTFOUND",
  "ETIMEDOUT",
  "CONNECTION_CLOSED",
  "CONNECTION_DESTROYED",
  "CONNECTION_ENDED",
  "CONNECT_TIMEOUT",
]);

/**
 * A driver's or drizzle's error as a `StoreError` without the query's text and parameters, which drizzle writes into
 * its messages; any other error as it is.
 */
export function storeError(error: unknown): unknown {
  if (error instanceof StoreError) return error;
  for (let at: unknown = error, depth = 0; at instanceof Error && depth < 5; at = at.cause, depth += 1) {
    const code = (at as { code?: unknown }).code;
    if (typeof code !== "string") continue;
    if (NO_CONNECTION.has(code)) return new StoreError(`The database cannot be reached (${code}).`, "08006");
    if (SQLSTATE.test(code)) return new StoreError(`The database refused: ${at.message}`, code);
  }
  if (isEnd(error)) {
    return new StoreError("The embedded database has stopped; start the program again.", "57P02", {
      cause: error,
    });
  }
  if (error instanceof Error && error.name === "DrizzleQueryError") {
    const cause = error.cause instanceof Error ? error.cause.message : "no reason given";
    return new StoreError(`The database refused: ${cause}`);
  }
  return error;
}

/** What PGlite throws once its program has ended, after a full or broken disk for instance. */
function isEnd(error: unknown): boolean {
  const cause = error instanceof Error && error.name === "DrizzleQueryError" ? error.cause : error;
  if (!(cause instanceof Error)) return false;
  return cause.name === "RuntimeError" || cause.name === "ExitStatus" || cause.message === "PGlite is closed";
}
