import { existsSync, mkdirSync, readFileSync, renameSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { StandInState } from "../messenger/stand-in/snapshot.js";
import { OptionError } from "./options.js";

/**
 * What the local chat's messenger must know of earlier runs: people, chats, numbering. Without it a second run would
 * number its messages like the first, and the bot would take them for messages it has dealt with.
 */
export class ChatMemory {
  readonly #folder: string;

  constructor(dataDir: string) {
    this.#folder = join(dataDir, "local-chat");
  }

  get historyFile(): string {
    return join(this.#folder, "history.txt");
  }

  /** @throws {OptionError} when the file cannot be read as what it should be */
  load(): StandInState | undefined {
    if (!existsSync(this.#stateFile)) return undefined;
    try {
      return StandInState.parse(JSON.parse(readFileSync(this.#stateFile, "utf8")));
    } catch {
      throw new OptionError(
        `${this.#stateFile} cannot be read. Move it away to begin a new chat; the journal stays as it is.`,
      );
    }
  }

  /** Replaces the file in one step, so that a stop in between leaves the one before. */
  save(state: StandInState): void {
    mkdirSync(this.#folder, { recursive: true });
    const fresh = `${this.#stateFile}.new`;
    writeFileSync(fresh, JSON.stringify(state));
    renameSync(fresh, this.#stateFile);
  }

  /** Keeps a file the bot sent; its path. */
  keepFile(name: string, bytes: Uint8Array): string {
    const folder = join(this.#folder, "files");
    mkdirSync(folder, { recursive: true });
    const safe = name.replaceAll(/[^\p{L}\p{N}._-]+/gu, "-").replace(/^\.+/, "") || "file";
    const dot = safe.lastIndexOf(".");
    const [stem, end] = dot > 0 ? [safe.slice(0, dot), safe.slice(dot)] : [safe, ""];
    let path = join(folder, safe);
    for (let copy = 2; existsSync(path); copy++) path = join(folder, `${stem}-${copy}${end}`);
    writeFileSync(path, bytes);
    return path;
  }

  get #stateFile(): string {
    return join(this.#folder, "state.json");
  }
}
