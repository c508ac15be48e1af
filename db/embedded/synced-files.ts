import { fsyncSync } from "node:fs";
import type { PGlite } from "@electric-sql/pglite";
import { NodeFS } from "@electric-sql/pglite/nodefs";

interface Stream {
  nfd?: number;
}
interface NodeFileSystem {
  stream_ops: { fsync?: (stream: Stream) => number };
}
type InitOptions = Parameters<NodeFS["init"]>[1];
type EmscriptenModule = Parameters<NonNullable<InitOptions["preRun"]>[number]>[0];

/** Errno that Emscripten's C library gives for a failed synchronisation. */
const EIO = 29;

/**
 * PGlite's directory on disk with the one call it lacks. PostgreSQL asks for `fsync` at the right moments, but the
 * file system Emscripten offers on Node has no such operation and answers "done" without doing anything. This adds it,
 * so that a commit is on the disk when it is acknowledged and the log always reaches the disk before the tables.
 */
export class SyncedFiles extends NodeFS {
  /** Synchronisations since the start; a commit that raises it by nothing was not made durable. */
  syncs = 0;

  override async init(pg: PGlite, options: InitOptions): ReturnType<NodeFS["init"]> {
    const prepared = await super.init(pg, options);
    const addSync = (module: EmscriptenModule) => {
      const files = (module as unknown as { NODEFS?: NodeFileSystem }).NODEFS;
      // Without it nothing is counted either, and the store says at start that it is not durable.
      if (files?.stream_ops) files.stream_ops.fsync = (stream) => this.#sync(stream);
    };
    const preRun = [...(prepared.emscriptenOpts.preRun ?? []), addSync];
    return { emscriptenOpts: { ...prepared.emscriptenOpts, preRun } } as Awaited<ReturnType<NodeFS["init"]>>;
  }

  #sync({ nfd }: Stream): number {
    if (nfd === undefined) return 0;
    try {
      fsyncSync(nfd);
    } catch (error) {
      // Windows cannot synchronise a directory or a file opened for reading, and need not.
      if (process.platform === "win32" && (error as NodeJS.ErrnoException).code === "EPERM") return 0;
      return EIO;
    }
    this.syncs += 1;
    return 0;
  }
}
