import { createRequire, syncBuiltinESMExports } from "node:module";
import { join } from "node:path";

/**
 * A disk that forgets. Everything written below `root` goes to the real file system, but what was not synchronised is
 * remembered together with what stood there before; `cut` then leaves in another directory what a power cut would
 * have left:
 *
 * - of the names made, changed and removed since the last synchronisation of anything, a random number of the first
 *   ones (file systems with a journal commit names in order, and with any `fsync`);
 * - of the 4 KiB pages written to a file since that file was synchronised, none, about half, most or all; a file that
 *   grew or shrank has its new length or its old one.
 *
 * Not modelled: sectors torn in two, disks that lie about synchronising, full disks.
 */

type Fs = typeof import("node:fs");
/** The module as PGlite sees it: a CommonJS object whose functions can be replaced. */
const fs = createRequire(import.meta.url)("node:fs") as Fs;
const PAGE = 4096;

interface Dirty {
  /** Pages as they were at the last synchronisation; null where there was none. */
  pages: Map<number, Buffer | null>;
  size: number;
}
/** A change of names: a path leads to a file (its inode), to a directory ("dir"), or nowhere. */
type Naming = { path: string; to: number | "dir" | null }[];

export class VolatileDisk {
  readonly #real = { ...fs };
  readonly #names = new Map<string, number | "dir">();
  readonly #dirty = new Map<number, Dirty>();
  readonly #content = new Map<number, string>();
  #pending: Naming[] = [];
  operations = 0;
  syncs = 0;

  constructor(
    private readonly root: string,
    /** Where files without a name are kept, as another name may yet come back to them. */
    private readonly nameless: string,
    private readonly cutAt: number,
    /** What happens at the cut, in the middle of whatever is going on. It must not come back. */
    private readonly onCut: () => never,
  ) {
    this.#scan(root);
  }

  #scan(path: string): void {
    for (const entry of this.#real.readdirSync(path, { withFileTypes: true })) {
      const inner = join(path, entry.name);
      if (entry.isDirectory()) {
        this.#names.set(inner, "dir");
        this.#scan(inner);
      } else {
        const { ino } = this.#real.statSync(inner);
        this.#names.set(inner, ino);
        this.#content.set(ino, inner);
      }
    }
  }

  /** Takes the place of the file system's functions until `remove`. */
  install(): void {
    const real = this.#real;
    const patched: Partial<Record<keyof Fs, unknown>> = {
      writeFileSync: (path: string, data: string, options: object) => {
        if (!this.#ours(path)) return real.writeFileSync(path, data, options);
        this.#step();
        const before = real.statSync(path, { throwIfNoEntry: false });
        if (before) this.#keepPages(before.ino, path, 0, before.size);
        real.writeFileSync(path, data, options);
        const { ino } = real.statSync(path);
        if (before) return;
        this.#content.set(ino, path);
        this.#dirty.set(ino, { pages: new Map(), size: 0 });
        this.#pending.push([{ path, to: ino }]);
      },
      writeSync: (fd: number, buffer: Uint8Array, offset: number, length: number, position: number) => {
        const { ino } = real.fstatSync(fd);
        const path = this.#content.get(ino);
        if (path !== undefined) {
          this.#step();
          this.#keepPages(ino, path, position, length);
        }
        return real.writeSync(fd, buffer, offset, length, position);
      },
      truncateSync: (path: string, length: number) => {
        if (this.#ours(path)) this.#shrink(real.statSync(path), length);
        return real.truncateSync(path, length);
      },
      ftruncateSync: (fd: number, length: number) => {
        this.#shrink(real.fstatSync(fd), length);
        return real.ftruncateSync(fd, length);
      },
      fsyncSync: (fd: number) => {
        const { ino } = real.fstatSync(fd);
        this.#step();
        this.syncs += 1;
        this.#dirty.delete(ino);
        this.#commitNames();
      },
      renameSync: (from: string, to: string) => {
        if (!this.#ours(to)) return real.renameSync(from, to);
        this.#step();
        const moved = real.statSync(from);
        this.#keepFile(to);
        real.renameSync(from, to);
        if (moved.isDirectory()) throw new Error("directories are not renamed here");
        this.#content.set(moved.ino, to);
        this.#pending.push([
          { path: from, to: null },
          { path: to, to: moved.ino },
        ]);
      },
      unlinkSync: (path: string) => {
        if (!this.#ours(path)) return real.unlinkSync(path);
        this.#step();
        this.#keepFile(path);
        real.unlinkSync(path);
        this.#pending.push([{ path, to: null }]);
      },
      mkdirSync: (path: string, options: object) => {
        const made = real.mkdirSync(path, options);
        if (this.#ours(path)) {
          this.#step();
          this.#pending.push([{ path, to: "dir" }]);
        }
        return made;
      },
      rmdirSync: (path: string) => {
        if (this.#ours(path)) {
          this.#step();
          this.#pending.push([{ path, to: null }]);
        }
        return real.rmdirSync(path);
      },
    };
    this.#replace(patched);
  }

  remove(): void {
    const { writeFileSync, writeSync, truncateSync, ftruncateSync, fsyncSync } = this.#real;
    const { renameSync, unlinkSync, mkdirSync, rmdirSync } = this.#real;
    this.#replace({ writeFileSync, writeSync, truncateSync, ftruncateSync, fsyncSync });
    this.#replace({ renameSync, unlinkSync, mkdirSync, rmdirSync });
  }

  /** For those who imported the functions by name too. */
  #replace(functions: object): void {
    Object.assign(fs, functions);
    syncBuiltinESMExports();
  }

  #ours(path: unknown): path is string {
    return typeof path === "string" && path.startsWith(this.root);
  }

  #step(): void {
    this.operations += 1;
    if (this.operations < this.cutAt) return;
    this.remove();
    this.onCut();
  }

  /** Before pages are overwritten: as they are now is how they survive. */
  #keepPages(ino: number, path: string, position: number, length: number): void {
    const { size } = this.#real.statSync(path);
    const dirty = this.#dirty.get(ino) ?? { pages: new Map<number, Buffer | null>(), size };
    this.#dirty.set(ino, dirty);
    const handle = this.#real.openSync(path, "r");
    for (let page = Math.floor(position / PAGE); page * PAGE < position + length; page += 1) {
      if (dirty.pages.has(page)) continue;
      const bytes = Buffer.alloc(PAGE);
      const read = page * PAGE < dirty.size ? this.#real.readSync(handle, bytes, 0, PAGE, page * PAGE) : 0;
      dirty.pages.set(page, read === 0 ? null : bytes.subarray(0, read));
    }
    this.#real.closeSync(handle);
  }

  #shrink({ ino, size }: { ino: number; size: number }, length: number): void {
    const path = this.#content.get(ino);
    if (path === undefined) return;
    this.#step();
    this.#keepPages(ino, path, Math.min(length, size), Math.abs(size - length));
  }

  #keepFile(path: string): void {
    const there = this.#real.statSync(path, { throwIfNoEntry: false });
    if (!there) return;
    const aside = join(this.nameless, String(there.ino));
    if (!this.#real.existsSync(aside)) this.#real.linkSync(path, aside);
    this.#content.set(there.ino, aside);
  }

  #commitNames(upTo = this.#pending.length): void {
    for (const naming of this.#pending.slice(0, upTo)) {
      for (const { path, to } of naming) {
        if (to === null) this.#names.delete(path);
        else this.#names.set(path, to);
      }
    }
    this.#pending = this.#pending.slice(upTo);
  }

  /** Writes to `target` what survives. To be called once, after `remove`. */
  survive(target: string, random: () => number): void {
    this.#commitNames(Math.floor(random() * (this.#pending.length + 1)));
    const share = [0, 0.5, 0.85, 1][Math.floor(random() * 4)] ?? 0;
    const names = [...this.#names].sort(([a], [b]) => (a < b ? -1 : 1));
    this.#real.mkdirSync(target, { recursive: true });
    for (const [path, to] of names) {
      const copy = join(target, path.slice(this.root.length));
      if (to === "dir") {
        this.#real.mkdirSync(copy, { recursive: true });
        continue;
      }
      const content = this.#content.get(to);
      if (content === undefined) throw new Error(`nobody knows the content of ${path}`);
      this.#real.copyFileSync(content, copy);
      const dirty = this.#dirty.get(to);
      if (dirty !== undefined) this.#revert(copy, dirty, share, random);
    }
  }

  #revert(path: string, dirty: Dirty, share: number, random: () => number): void {
    const handle = this.#real.openSync(path, "r+");
    const { size } = this.#real.fstatSync(handle);
    for (const [page, before] of dirty.pages) {
      if (random() < share) continue;
      const bytes = Buffer.alloc(PAGE);
      before?.copy(bytes);
      this.#real.writeSync(handle, bytes, 0, PAGE, page * PAGE);
    }
    this.#real.ftruncateSync(handle, share === 1 || random() < share ? size : dirty.size);
    this.#real.closeSync(handle);
  }
}
