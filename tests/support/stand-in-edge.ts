import { setTimeout as sleep } from "node:timers/promises";
import { pino } from "pino";
import { SettableClock } from "../../bot/clock.js";
import type { Outgoing } from "../../bot/journal/ports.js";
import type { ButtonPress, ChatJoined, ChatLeft, Desk, IncomingMessage } from "../../bot/messenger/desk.js";
import { type BotEdge, createBotEdge } from "../../bot/messenger/edge.js";
import type { Delivery } from "../../bot/messenger/ports.js";
import { type StandIn, type StandInOptions, startStandIn } from "../../bot/messenger/stand-in/stand-in.js";
import type { Sent } from "../../bot/messenger/stand-in/world.js";
import { MemoryStore, START } from "./stand-in-memory.js";

/** A desk that writes down what it was handed and answers with the same words. */
export class EchoDesk implements Desk {
  messages: IncomingMessage[] = [];
  presses: ButtonPress[] = [];
  joins: ChatJoined[] = [];
  leaves: ChatLeft[] = [];
  /** What a message is answered with; null for silence. */
  answer: (message: IncomingMessage) => Partial<Outgoing> | null = (message) => ({
    text: `heard: ${message.text}`,
  });

  async message(message: IncomingMessage, store: Parameters<Desk["message"]>[1]): Promise<void> {
    this.messages.push(message);
    const answer = this.answer(message);
    if (answer) await store.say({ chatId: message.chatId, text: "", ...answer });
  }
  async press(press: ButtonPress): Promise<{ notice: string }> {
    this.presses.push(press);
    return { notice: `pressed ${press.data}` };
  }
  async joined(joined: ChatJoined): Promise<void> {
    this.joins.push(joined);
  }
  async left(left: ChatLeft): Promise<void> {
    this.leaves.push(left);
  }
}

export interface EdgeWorld {
  standIn: StandIn;
  edge: BotEdge;
  store: MemoryStore;
  desk: EchoDesk;
  clock: SettableClock;
  deliveries: { message: Outgoing; delivery: Delivery }[];
  /** Handles and sends until nothing is left to do; what the bot then put before people. */
  settle(): Promise<Sent[]>;
  close(): Promise<void>;
}

/** The shipped edge, talking over HTTP to the stand-in, with its ports in memory. */
export async function openEdge(options: Partial<StandInOptions> = {}): Promise<EdgeWorld> {
  const clock = new SettableClock(START);
  const standIn = await startStandIn({ clock, ...options });
  const store = new MemoryStore();
  const desk = new EchoDesk();
  const edge = await createBotEdge({
    token: standIn.token,
    apiRoot: standIn.url,
    inbox: store,
    households: store,
    desk,
    clock,
    zone: "Europe/Warsaw",
    log: pino({ level: "silent" }),
    pollSeconds: 2,
  });
  await edge.start();
  const deliveries: EdgeWorld["deliveries"] = [];
  let seen = 0;
  const turn = async (): Promise<boolean> => {
    let worked = false;
    while ((await store.work((update, bound) => edge.handle(update, bound))) > 0) worked = true;
    for (let message = store.outbox.shift(); message; message = store.outbox.shift()) {
      deliveries.push({ message, delivery: await edge.send(message) });
      worked = true;
    }
    return worked;
  };
  return {
    standIn,
    edge,
    store,
    desk,
    clock,
    deliveries,
    async settle() {
      for (let quiet = 0; quiet < 3; ) {
        const busy = (await turn()) || !standIn.idle() || !edge.idle();
        quiet = busy ? 0 : quiet + 1;
        await sleep(2);
      }
      const sent = standIn.world.sent.slice(seen);
      seen = standIn.world.sent.length;
      return sent;
    },
    async close() {
      await edge.stop();
      await standIn.close();
    },
  };
}
