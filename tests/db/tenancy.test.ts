import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { systemClock } from "../../bot/clock.js";
import { openEmbedded } from "../../db/embedded/open.js";
import { type Engine, serverEngine } from "../../db/engine.js";
import { openStore } from "../../db/store.js";
import { actFor } from "../../db/tenancy.js";
import { freshDataDir, quietLog } from "../support/pglite.js";
import { freshDatabase } from "../support/postgres.js";
import { drain, update, watering } from "./examples.js";

/** Hold no content; how a household is found, and who fills a duty. */
const ROUTING = ["routes", "work", "duties"];
/** Read-only, the same for all. */
const REFERENCE = ["care_rules", "meta"];
/** Its key is the chat, by which the household is found; a duty belongs to no household. */
const KEYS_WITHOUT_HOUSEHOLD = ["routes", "duties", ...REFERENCE];

async function embedded() {
  const dataDir = await freshDataDir();
  const fill = await openStore({ dataDir, clock: systemClock, log: quietLog });
  return {
    fill,
    engine: async () => (await openEmbedded({ dataDir, pulse: systemClock })).engine,
    drop: async () => {},
  };
}
async function server() {
  const { url, drop } = await freshDatabase();
  const fill = await openStore({ databaseUrl: url, dataDir: "", clock: systemClock, log: quietLog });
  return { fill, engine: async () => serverEngine({ url }), drop };
}

describe.each([
  ["PGlite", embedded],
  ["PostgreSQL", server],
] as const)("the line between households on %s", (_name, make) => {
  let engine: Engine;
  let drop: () => Promise<void>;
  let tables: string[];
  const households: string[] = [];

  beforeAll(async () => {
    const ground = await make();
    drop = ground.drop;
    for (const chat of [-1, -2, -3]) {
      await ground.fill.inbox.receive([update(1, chat)]);
      await drain(ground.fill, async (_update, journal) => {
        await journal.addEntry(watering());
        await journal.addCollection("Cacti");
      });
      households.push((await ground.fill.inbox.householdOf(chat)) ?? "");
    }
    await ground.fill.close();
    engine = await ground.engine();
    tables = (
      await engine.rows<{ name: string }>(
        `select c.relname as name from pg_class c join pg_namespace n on n.oid = c.relnamespace
         where n.nspname = 'public' and c.relkind = 'r' order by 1`,
      )
    ).map(({ name }) => name);
  });
  afterAll(async () => {
    await engine.close();
    await drop();
  });

  test("every primary, unique and foreign key and every index begins with the household", async () => {
    const keys = await engine.rows<{ table: string; key: string; first: string | null }>(
      `select t.relname as "table", i.relname as key, a.attname as first
       from pg_index x join pg_class i on i.oid = x.indexrelid join pg_class t on t.oid = x.indrelid
       join pg_namespace n on n.oid = t.relnamespace and n.nspname = 'public'
       left join pg_attribute a on a.attrelid = t.oid and a.attnum = x.indkey[0]
       union all
       select t.relname, c.conname, a.attname from pg_constraint c join pg_class t on t.oid = c.conrelid
       join pg_namespace n on n.oid = t.relnamespace and n.nspname = 'public'
       left join pg_attribute a on a.attrelid = t.oid and a.attnum = c.conkey[1]
       where c.contype in ('p', 'u', 'f')`,
    );
    expect(keys.length).toBeGreaterThan(40);
    const astray = keys.filter(({ table, key, first }) => {
      // The dispatcher's index looks across households; it finds, it does not hold anything together.
      if (key === "work_due" || KEYS_WITHOUT_HOUSEHOLD.includes(table)) return false;
      return first !== "household_id";
    });
    expect(astray).toEqual([]);
  });

  test("every table with content has the policy, forced on its owner too", async () => {
    const guarded = await engine.rows<{ name: string }>(
      `select c.relname as name from pg_class c join pg_namespace n on n.oid = c.relnamespace and n.nspname = 'public'
       join pg_policy p on p.polrelid = c.oid and p.polname = 'one_household' and p.polcmd = '*' and p.polpermissive
       where c.relrowsecurity and c.relforcerowsecurity order by 1`,
    );
    expect(guarded.map(({ name }) => name)).toEqual(
      tables.filter((name) => !ROUTING.includes(name) && !REFERENCE.includes(name)),
    );
    const policies = await engine.rows(`select polname from pg_policy where polname <> 'one_household'`);
    expect(policies).toEqual([]);
  });

  test("the application's role can neither log in nor step over the policy", async () => {
    const [role] = await engine.rows(
      `select rolcanlogin, rolsuper, rolbypassrls from pg_roles where rolname = 'areole_app'`,
    );
    expect(role).toEqual({ rolcanlogin: false, rolsuper: false, rolbypassrls: false });
  });

  test("a query that forgets its filter sees one household only, in every table", async () => {
    for (const table of tables.filter((name) => !ROUTING.includes(name) && !REFERENCE.includes(name))) {
      const seen = await engine.transaction(async (link) => {
        await actFor(link, households[1] ?? "");
        return link.rows<{ household_id: string }>(`select distinct household_id from ${table}`);
      });
      const own = { household_id: households[1] };
      expect(seen, table).toEqual(
        ["entries", "inbox", "chats", "collections", "households"].includes(table) ? [own] : [],
      );
    }
  });

  test("a change that forgets its filter touches one household only", async () => {
    const changed = await engine.transaction(async (link) => {
      await actFor(link, households[0] ?? "");
      return link.rows(`update collections set name = 'Mesembs' returning household_id`);
    });
    expect(changed).toEqual([{ household_id: households[0] }]);
    const removed = engine.transaction(async (link) => {
      await actFor(link, households[0] ?? "");
      return link.rows(`delete from inbox where household_id = '${households[2]}' returning 1`);
    });
    expect(await removed).toEqual([]);
  });

  test("nothing can be written for another household", async () => {
    const foreign = engine.transaction(async (link) => {
      await actFor(link, households[0] ?? "");
      await link.rows(
        `insert into collections (household_id, id, name) values ($1::uuid, $2::uuid, 'Strays')`,
        [households[1] ?? "", "01a211dd-882e-7000-a4e1-2593d60a2143"],
      );
    });
    await expect(foreign).rejects.toMatchObject({ name: "StoreError", sqlstate: "42501" });
  });

  test("an entry cannot be overwritten", async () => {
    const rewriting = engine.transaction(async (link) => {
      await actFor(link, households[0] ?? "");
      await link.rows(`update entries set raw_text = 'something else'`);
    });
    await expect(rewriting).rejects.toMatchObject({ sqlstate: "42501" });
  });

  test("without a household no row is seen, neither before one was set nor after", async () => {
    const look = () =>
      engine.transaction(async (link) => {
        await link.rows(`select set_config('role', 'areole_app', true)`);
        return link.rows(`select household_id from entries`);
      });
    expect(await look()).toEqual([]);
    await engine.transaction((link) => actFor(link, households[0] ?? ""));
    for (let connection = 0; connection < engine.width + 1; connection += 1) expect(await look()).toEqual([]);
  });
});
