import { PassThrough, Writable } from "node:stream";
import { pino } from "pino";
import { Temporal } from "temporal-polyfill";
import type { Clock } from "../../bot/clock.js";
import type { RunningApp, StartApp } from "../../bot/local-chat/app.js";
import { runLocalChat } from "../../bot/local-chat/run.js";
import { createBotEdge } from "../../bot/messenger/edge.js";
import { EchoDesk } from "./stand-in-edge.js";
import { MemoryStore } from "./stand-in-memory.js";

/** What should be said at a later time, as the nudges would. */
export interface Planned {
  at: string;
  text: string;
}

export interface ChatRun {
  code: number;
  /** Lines of standard output without the opening line. */
  lines: string[];
  errors: string;
}

/** The local chat with the shipped edge and a desk of the test's, its ports in memory, over several runs. */
export class ChatUnderTest {
  readonly store = new MemoryStore();
  readonly desk = new EchoDesk();
  planned: Planned[] = [];
  /** Instants at which something was looked for. */
  ticks: string[] = [];

  constructor(readonly dataDir: string) {}

  async run(typed: string[], ...options: string[]): Promise<ChatRun> {
    const input = new PassThrough();
    input.end(typed.map((line) => `${line}\n`).join(""));
    const out = gather();
    const err = gather();
    const argv = ["--data", this.dataDir, "--now", "2027-01-15T09:00", "--zone", "Europe/Warsaw", ...options];
    const terminal = { input, output: out.stream, errors: err.stream, interactive: false };
    const code = await runLocalChat(argv, { zone: "UTC", dataDir: "never-used" }, terminal, this.#start);
    const [opening = "", ...lines] = out.text().split("\n").filter(Boolean);
    if (code === 0 && !opening.startsWith("BOT_TOKEN is not set")) lines.unshift(opening);
    return { code, lines, errors: err.text() };
  }

  readonly #start: StartApp = async ({ token, apiRoot, clock }) => {
    const { store, desk } = this;
    const log = pino({ level: "silent" });
    const ports = { inbox: store, households: store, desk };
    const edge = await createBotEdge({
      ...ports,
      token,
      apiRoot,
      clock,
      zone: "Europe/Warsaw",
      log,
      pollSeconds: 5,
    });
    await edge.start();
    let running = true;
    let busy = false;
    const pump = (async () => {
      while (running) {
        busy = true;
        while ((await store.work((update, bound) => edge.handle(update, bound))) > 0);
        for (let message = store.outbox.shift(); message; message = store.outbox.shift())
          await edge.send(message);
        busy = false;
        await store.waiting();
      }
    })();
    return {
      idle: async () => !busy && store.outbox.length === 0 && (await store.backlog()) === 0 && edge.idle(),
      ...this.#nudges(clock),
      stop: async () => {
        running = false;
        await pump;
        await edge.stop();
      },
    };
  };

  #nudges(clock: Clock): Pick<RunningApp, "tick" | "nextDue"> {
    const next = () => this.planned[0];
    return {
      tick: async () => {
        this.ticks.push(clock.now().toString());
        for (let due = next(); due && due.at <= clock.now().toString(); due = next()) {
          this.planned.shift();
          const chatId = [...this.store.chats.keys()][0] as number;
          this.store.outbox.push({
            chatId,
            text: due.text,
            buttons: [[{ label: "All done", data: "done" }]],
          });
        }
      },
      nextDue: async () => (next() ? Temporal.Instant.from((next() as Planned).at) : null),
    };
  }
}

function gather() {
  let text = "";
  const stream = new Writable({
    write(chunk, _encoding, done) {
      text += String(chunk);
      done();
    },
  });
  return { stream, text: () => text };
}
