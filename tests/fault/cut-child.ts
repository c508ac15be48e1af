import { cpSync, mkdirSync, writeSync } from "node:fs";
import { join } from "node:path";
import { NodeFS } from "@electric-sql/pglite/nodefs";
import { systemClock } from "../../bot/clock.js";
import { SyncedFiles } from "../../db/embedded/synced-files.js";
import { openStore } from "../../db/store.js";
import { update, watering } from "../db/examples.js";
import { quietLog } from "../support/pglite.js";
import { randomFrom } from "./random.js";
import { VolatileDisk } from "./volatile-disk.js";

/**
 * `cut-child.ts SEED_DIR WORK_DIR SEED with|without [AT]`: receives and logs messages on a copy of SEED_DIR until the
 * power is cut at operation AT or else at a random one, leaves in WORK_DIR/survived what that leaves, and says what it had acknowledged.
 * "without" leaves out the synchronisation we add to PGlite, and nothing else.
 */
const [seedDir = "", workDir = "", seed = "1", mode = "with", cutAtText] = process.argv.slice(2);
const random = randomFrom(Number(seed));
/** Opening makes some 150 operations, a message some 15, so that cuts fall everywhere. */
const CUT_WITHIN = 1500;
const CHATS = 3;

const live = join(workDir, "live");
const nameless = join(workDir, "nameless");
cpSync(seedDir, live, { recursive: true });
mkdirSync(nameless);
if (mode === "without") {
  SyncedFiles.prototype.init = NodeFS.prototype.init as typeof SyncedFiles.prototype.init;
}

const acknowledged = { received: 0, logged: 0 };
const drawn = 1 + Math.floor(random() * CUT_WITHIN);
const cutAt = cutAtText === undefined ? drawn : Number(cutAtText);
const disk = new VolatileDisk(join(live, "journal"), nameless, cutAt, () => {
  disk.survive(join(workDir, "survived", "journal"), random);
  writeSync(1, JSON.stringify({ cutAt, syncs: disk.syncs, ...acknowledged }));
  process.exit(0);
});
disk.install();

const store = await openStore({ dataDir: live, clock: systemClock, log: quietLog });
for (let id = 1; ; id += 1) {
  await store.inbox.receive([update(id, -1 - (id % CHATS))]);
  acknowledged.received = id;
  await store.inbox.work(async ({ updateId, chatId }, journal) => {
    await journal.addEntry(watering({ messageId: updateId, chatId, rawText: "watered ".repeat(40) }));
    await journal.say({ chatId, text: `m${updateId}` });
  });
  acknowledged.logged = id;
  if (random() < 0.08) await store.tidy("checkpoint");
  if (random() < 0.02) await store.tidy("vacuum");
}
