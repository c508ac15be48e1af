import { PGlite } from "@electric-sql/pglite";
import { NodeFS } from "@electric-sql/pglite/nodefs";

/** `create-child.ts DIR`: makes the files of an empty database in DIR and ends. */
const dir = process.argv[2];
if (dir === undefined) throw new Error("which directory?");
const pglite = await PGlite.create({ fs: new NodeFS(dir) });
await pglite.query("select 1");
await pglite.close();
process.exit(0);
