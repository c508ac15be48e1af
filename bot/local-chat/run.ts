import { appendFileSync, existsSync, mkdirSync, readFileSync } from "node:fs";
import { dirname } from "node:path";
import { createInterface, type Interface } from "node:readline";
import type { Readable, Writable } from "node:stream";
import { type StandIn, startStandIn } from "../messenger/stand-in/stand-in.js";
import type { KeptChat } from "../messenger/stand-in/world.js";
import type { StartApp } from "./app.js";
import { localClock } from "./clock.js";
import { ChatMemory } from "./memory.js";
import { type LocalChatOptions, OptionError, readOptions, USAGE } from "./options.js";
import { memberNamed, Session } from "./session.js";
import { Show } from "./show.js";

export interface Terminal {
  input: Readable;
  output: Writable;
  errors: Writable;
  /** A person types: prompt, history, lines may come at any time. */
  interactive: boolean;
  /** Ends the chat as the end of the input does. */
  signal?: AbortSignal;
}

/** What the environment says where no option does. */
export interface Defaults {
  zone: string;
  dataDir: string;
  /** Only to say where the journal is. */
  databaseUrl?: string | null;
}

const GROUP_TITLE = "Glasshouse";
const HISTORY_LINES = 500;
/** With a running clock, how often due things are looked for. */
const TICK_MS = 20_000;

/**
 * The chat in the terminal: a client of the stand-in of the Bot API, to which the shipped bot talks over HTTP.
 * @returns the exit code
 */
export async function runLocalChat(
  argv: readonly string[],
  defaults: Defaults,
  terminal: Terminal,
  startApp: StartApp,
): Promise<number> {
  const options = optionsOr(argv, defaults, terminal);
  if (typeof options === "number") return options;
  const { zone, dataDir } = options;
  const memory = new ChatMemory(dataDir);
  const clock = localClock(options.now);
  const typist = new Typist(terminal, memory);
  const journal = defaults.databaseUrl ? "the database of DATABASE_URL" : dataDir;
  typist.write(`BOT_TOKEN is not set: this is the local chat; its journal is in ${journal}.`);
  const state = stateOr(memory, terminal);
  if (state === null) return 1;
  const standIn = await startStandIn({ clock, keepSent: 100, ...(state ? { state } : {}) });
  try {
    if (!state && terminal.interactive)
      typist.write("Making the database; the first time takes some seconds.");
    const app = await startApp({ token: standIn.token, apiRoot: standIn.url, clock, zone, dataDir });
    try {
      const { chat, speaker } = openChat(standIn, options);
      const show = new Show({
        name: standIn.world.bot.first_name,
        zone,
        chat,
        write: typist.write,
        keepFile: (name, bytes) => memory.keepFile(name, bytes),
      });
      standIn.world.onSent((sent) => show.sent(sent));
      const parts = { standIn, app, clock, zone, chatId: chat.id, memory, show, write: typist.write };
      const session = new Session(parts, speaker);
      await converse(session, typist, options, chat);
    } finally {
      await app.stop();
    }
    memory.save(standIn.snapshot());
    return 0;
  } finally {
    await standIn.close();
  }
}

function optionsOr(
  argv: readonly string[],
  defaults: Defaults,
  terminal: Terminal,
): LocalChatOptions | number {
  try {
    const options = readOptions(argv, defaults);
    if (!options.help) return options;
    terminal.output.write(`${USAGE}\n`);
    return 0;
  } catch (error) {
    if (!(error instanceof OptionError)) throw error;
    terminal.errors.write(`${error.message}\n${USAGE}\n`);
    return 2;
  }
}

function stateOr(memory: ChatMemory, terminal: Terminal): ReturnType<ChatMemory["load"]> | null {
  try {
    return memory.load();
  } catch (error) {
    if (!(error instanceof OptionError)) throw error;
    terminal.errors.write(`${error.message}\n`);
    return null;
  }
}

/** The group, or the private chat, of earlier runs; a new one, with the bot in it, at the first. */
function openChat(standIn: StandIn, options: LocalChatOptions): { chat: KeptChat; speaker: number } {
  const { world, people } = standIn;
  if (options.isPrivate) {
    const speaker = memberNamed(standIn, null, options.as);
    if (!world.chats.has(speaker)) people.startPrivate(speaker);
    return { chat: world.knownChat(speaker), speaker };
  }
  const known = [...world.chats.values()].find(({ kind }) => kind === "supergroup");
  if (known) return { chat: known, speaker: memberNamed(standIn, known.id, options.as) };
  const speaker = memberNamed(standIn, null, options.as);
  const id = people.addGroup({ title: GROUP_TITLE, members: [speaker], admins: [speaker] });
  people.addBot(id, speaker);
  return { chat: world.knownChat(id), speaker };
}

async function converse(
  session: Session,
  typist: Typist,
  options: LocalChatOptions,
  chat: KeptChat,
): Promise<void> {
  session.save();
  await session.settle();
  await session.tick();
  if (typist.interactive) typist.write("Type a sentence, /help for what else can be typed, /quit to end.");
  const ticking =
    options.now === null && typist.interactive
      ? setInterval(() => session.tick().catch(() => undefined), TICK_MS)
      : null;
  const prompt = () => (chat.kind === "private" ? "> " : `${session.speakerName}> `);
  for await (const line of typist.lines(prompt)) {
    if (options.echo && line.trim() !== "") typist.write(`${session.speakerName}: ${line.trim()}`);
    if (!(await session.line(line))) break;
  }
  if (ticking) clearInterval(ticking);
  await session.settle();
}

/** The terminal, as a person or a script uses it. */
class Typist {
  readonly interactive: boolean;
  #readline: Interface | null = null;

  constructor(
    private readonly terminal: Terminal,
    private readonly memory: ChatMemory,
  ) {
    this.interactive = terminal.interactive;
  }

  /** A line of output; while a person types, above what is being typed. */
  write = (line: string): void => {
    if (this.#readline) this.terminal.output.write("\r\u001b[K");
    this.terminal.output.write(`${line}\n`);
    this.#readline?.prompt(true);
  };

  async *lines(prompt: () => string): AsyncGenerator<string> {
    const signal = this.terminal.signal ? { signal: this.terminal.signal } : {};
    if (!this.interactive) {
      yield* createInterface({ input: this.terminal.input, crlfDelay: Number.POSITIVE_INFINITY, ...signal });
      return;
    }
    const readline = createInterface({
      input: this.terminal.input,
      output: this.terminal.output,
      history: this.#history(),
      historySize: HISTORY_LINES,
      ...signal,
    });
    this.#readline = readline;
    readline.on("SIGINT", () => readline.close());
    readline.setPrompt(prompt());
    readline.prompt();
    try {
      for await (const line of readline) {
        this.#remember(line);
        yield line;
        readline.setPrompt(prompt());
        readline.prompt();
      }
    } finally {
      this.#readline = null;
      readline.close();
      this.terminal.output.write("\n");
    }
  }

  #history(): string[] {
    if (!existsSync(this.memory.historyFile)) return [];
    const lines = readFileSync(this.memory.historyFile, "utf8").split("\n").filter(Boolean);
    return lines.slice(-HISTORY_LINES).reverse();
  }
  #remember(line: string): void {
    if (line.trim() === "") return;
    mkdirSync(dirname(this.memory.historyFile), { recursive: true });
    appendFileSync(this.memory.historyFile, `${line}\n`);
  }
}
