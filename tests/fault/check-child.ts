import { NodeFS } from "@electric-sql/pglite/nodefs";
import { systemClock } from "../../bot/clock.js";
import { openEmbedded } from "../../db/embedded/open.js";
import { SyncedFiles } from "../../db/embedded/synced-files.js";
import { migrate } from "../../db/migrate.js";

/**
 * `check-child.ts DATA_DIR RECEIVED LOGGED`: opens what survived a power cut, holds it against what was acknowledged,
 * and says what is wrong with it, or "clean".
 */
// What is looked at here need not survive another cut.
SyncedFiles.prototype.init = NodeFS.prototype.init as typeof SyncedFiles.prototype.init;

const [dataDir = "", receivedText = "0", loggedText = "0"] = process.argv.slice(2);
const verdict = await check().catch((error: unknown) => `does not open: ${String(error).slice(0, 200)}`);
process.stdout.write(verdict);
process.exit(0);

async function check(): Promise<string> {
  const { engine } = await openEmbedded({ dataDir, pulse: systemClock });
  const count = async (query: string) => Number((await engine.rows<{ n: unknown }>(query))[0]?.n);
  const both = async (table: string) => {
    const query = `select count(*) as n from ${table} where household_id is not null`;
    await engine.script(
      "set enable_indexscan = off; set enable_indexonlyscan = off; set enable_bitmapscan = off",
    );
    const bySequence = await count(query);
    await engine.script("reset all; set enable_seqscan = off");
    const byIndex = await count(query);
    await engine.script("reset all");
    return bySequence === byIndex ? bySequence : `${bySequence} by sequence, ${byIndex} by index`;
  };
  const received = await both("inbox");
  const logged = await both("entries");
  const said = await both("outbox");
  const distinct = await count("select count(distinct (chat_id, message_id)) as n from entries");
  const done = await count("select count(*) as n from inbox where state = 'done'");
  // One more than was acknowledged may be there: the power went before the answer was heard.
  const holds = (n: number | string, least: number) => typeof n === "number" && n >= least && n <= least + 1;
  if (!holds(received, Number(receivedText))) return `received ${received} of ${receivedText}`;
  if (!holds(logged, Number(loggedText))) return `logged ${logged} of ${loggedText}`;
  if (distinct !== logged || said !== logged || done !== logged) {
    return `${logged} entries, ${distinct} distinct, ${said} replies, ${done} done`;
  }
  await engine.script("reindex schema public");
  await engine.script("vacuum (analyze)");
  await migrate(engine);
  await engine.rows(`insert into meta (key, value) values ('goes on', 'yes')`);
  await engine.close();
  return "clean";
}
