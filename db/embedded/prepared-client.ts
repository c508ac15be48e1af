import type { PGlite, QueryOptions, Results, Transaction } from "@electric-sql/pglite";

/** Statements kept prepared; texts beyond that are run as they come. */
const MOST_PREPARED = 400;
/** What PREPARE takes. */
const PREPARABLE = /^\s*(select|insert|update|delete|with)\b/i;

type Run = Pick<Transaction, "query" | "exec">;

/**
 * PGlite with prepared statements. Its `query` parses and plans a text anew each time, which costs two to four times
 * as much as running it. A text that is seen again is prepared by the server's own PREPARE and run by EXECUTE; a
 * prepared statement outlives its transaction, so that one set serves them all. The interface is PGlite's, as far as
 * drizzle uses it.
 */
export class PreparedClient {
  /** By text: null when it was seen once, its name once it is prepared. */
  readonly #names = new Map<string, string | null>();
  #prepared = 0;

  constructor(private readonly pglite: PGlite) {}

  query<T>(text: string, params: unknown[] = [], options?: QueryOptions): Promise<Results<T>> {
    return this.#run<T>(this.pglite, text, params, options);
  }

  exec(text: string): Promise<unknown> {
    return this.pglite.exec(text);
  }

  transaction<T>(work: (tx: Run) => Promise<T>): Promise<T> {
    return this.pglite.transaction((tx) =>
      work({
        query: <R>(text: string, params?: unknown[], options?: QueryOptions) =>
          this.#run<R>(tx, text, params ?? [], options),
        exec: (text, options) => tx.exec(text, options),
      }),
    );
  }

  close(): Promise<void> {
    return this.pglite.close();
  }

  async #run<T>(on: Run, text: string, params: unknown[], options?: QueryOptions): Promise<Results<T>> {
    const name = this.#names.get(text);
    if (name === undefined) {
      // The first time it may be the only time.
      if (this.#names.size < MOST_PREPARED && PREPARABLE.test(text)) this.#names.set(text, null);
      return on.query<T>(text, params, options);
    }
    const values = literals(params);
    // A text whose first run fails is prepared anew; should that happen without end, it stops here.
    if (values === null || (name === null && this.#prepared > 2 * MOST_PREPARED))
      return on.query<T>(text, params, options);
    if (name !== null) return only<T>(await on.exec(`execute ${name}${values}`, options));
    this.#prepared += 1;
    const fresh = `areole_${this.#prepared}`;
    this.#names.set(text, fresh);
    try {
      return only<T>(await on.exec(`prepare ${fresh} as ${text}; execute ${fresh}${values}`, options));
    } catch (error) {
      // It may be the preparing that failed; then the text is not tried that way again.
      this.#names.set(text, null);
      throw error;
    }
  }
}

/** Of "prepare; execute" the second one's result. */
function only<T>(results: Results[]): Results<T> {
  const last = results.at(-1);
  if (last === undefined) throw new Error("PGlite gave no result");
  return last as Results<T>;
}

/**
 * Parameters as SQL literals in brackets, each of unknown type so that the statement decides; null where one cannot be
 * written so. Strings are doubled at their quotes: `standard_conforming_strings` is on, a backslash is a backslash.
 */
function literals(params: readonly unknown[]): string | null {
  const written: string[] = [];
  for (const param of params) {
    if (param === null || param === undefined) written.push("null");
    else if (typeof param === "number" || typeof param === "boolean") written.push(`'${param}'`);
    else if (typeof param === "string" && !param.includes("\u0000"))
      written.push(`'${param.replaceAll("'", "''")}'`);
    else return null;
  }
  return written.length === 0 ? "" : `(${written.join(", ")})`;
}
