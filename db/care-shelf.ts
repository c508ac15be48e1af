import { asc, eq, sql } from "drizzle-orm";
import type { Engine } from "./engine.js";
import { careRules, meta } from "./schema/index.js";

/** One row of the care table, its columns as in the file. */
export interface CareRow {
  taxon: string;
  season: string;
  columns: Record<string, unknown>;
}

const DIGEST = "care_rules_digest";

/** The care table in the database: a copy of the files, for queries that join it and for other programs. */
export class CareShelf {
  constructor(private readonly engine: Engine) {}

  /**
   * Replaces the table when `digest` differs from that of the rows in it.
   * @param digest any text that changes with the rows, such as a hash of the files
   * @returns false when it was up to date
   */
  load(digest: string, rows: readonly CareRow[]): Promise<boolean> {
    return this.engine.transaction(async ({ db, rows: run }) => {
      await run(`lock table care_rules in share row exclusive mode`);
      const [known] = await db.select().from(meta).where(eq(meta.key, DIGEST));
      if (known?.value === digest) return false;
      await db.delete(careRules);
      for (let at = 0; at < rows.length; at += 500) {
        await db.insert(careRules).values(rows.slice(at, at + 500));
      }
      await db
        .insert(meta)
        .values({ key: DIGEST, value: digest })
        .onConflictDoUpdate({ target: meta.key, set: { value: sql`excluded.value` } });
      return true;
    });
  }

  all(): Promise<CareRow[]> {
    return this.engine.transaction(
      ({ db }) =>
        db
          .select()
          .from(careRules)
          .orderBy(asc(careRules.taxon), asc(careRules.season)) as unknown as Promise<CareRow[]>,
    );
  }
}
