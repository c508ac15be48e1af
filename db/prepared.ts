import type { Db, Link } from "./engine.js";

interface Runnable<R> {
  execute(values?: Record<string, unknown>): Promise<R>;
}

/**
 * A statement whose SQL is built once and which the server prepares, usable in every transaction. drizzle ties a
 * prepared query to the client it was built on, and building one anew in each transaction costs more than running it.
 */
export function statement<R>(
  name: string,
  build: (db: Db) => { prepare(name: string): Runnable<R> },
): (link: Link, values?: Record<string, unknown>) => Promise<R> {
  const built = new WeakMap<object, Runnable<R>>();
  return ({ db }, values) => {
    const session = (db as unknown as { session: { client: unknown; constructor: object } }).session;
    let query = built.get(session.constructor);
    if (query === undefined) {
      query = build(db).prepare(name);
      built.set(session.constructor, query);
    }
    const here = Object.create(query) as Runnable<R> & { client: unknown };
    here.client = session.client;
    return here.execute(values);
  };
}
