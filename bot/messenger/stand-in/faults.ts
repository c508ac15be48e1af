import { ApiFailure, tooMany } from "./failures.js";

/** What goes wrong with the next matching call. */
export type Fault = (
  | { kind: "retry_after"; seconds: number }
  | { kind: "status"; code: number; description: string }
  /** The connection breaks: before the call had an effect, or after it, so that the bot never learns of it. */
  | { kind: "drop"; when: "before" | "after" }
  | { kind: "slow"; milliseconds: number }
) & {
  method?: string;
  chatId?: number;
  /** How many calls it hits; default 1. */
  times?: number;
};

/** Calls that put or change a message in a chat. */
export const SPEAKING = new Set([
  "sendMessage",
  "sendDocument",
  "sendPhoto",
  "editMessageText",
  "editMessageReplyMarkup",
]);

export class Faults {
  #planned: { fault: Fault; left: number }[] = [];

  plan(fault: Fault): void {
    this.#planned.push({ fault, left: fault.times ?? 1 });
  }
  clear(): void {
    this.#planned = [];
  }
  take(method: string, chatId: number | undefined): Fault | null {
    const index = this.#planned.findIndex(
      ({ fault }) =>
        (fault.method === undefined || fault.method === method) &&
        (fault.chatId === undefined || fault.chatId === chatId),
    );
    const found = this.#planned[index];
    if (!found) return null;
    found.left -= 1;
    if (found.left <= 0) this.#planned.splice(index, 1);
    return found.fault;
  }
}

export function failureOf(fault: Fault): ApiFailure | null {
  if (fault.kind === "retry_after") return tooMany(fault.seconds);
  if (fault.kind === "status") return new ApiFailure(fault.code, fault.description);
  return null;
}

export interface LimitRules {
  /** Messages a second over all chats. */
  overall: number;
  /** Seconds between two messages to one chat. */
  chatSeconds: number;
  /** Messages a minute to one group. */
  groupMinute: number;
}
/** @source the public Bot FAQ: 30 a second overall, one a second to a chat, 20 a minute to a group */
export const PUBLISHED_LIMITS: LimitRules = { overall: 30, chatSeconds: 1, groupMinute: 20 };

/** Holds the bot to the published limits and counts what it tried beyond them. */
export class Limits {
  #overall: number[] = [];
  #chats = new Map<number, number[]>();
  violations = 0;

  constructor(
    private readonly rules: LimitRules,
    private readonly milliseconds: () => number,
  ) {}

  /** @throws {ApiFailure} 429 with the seconds to wait */
  admit(chatId: number): void {
    const now = this.milliseconds();
    const chat = (this.#chats.get(chatId) ?? []).filter((at) => now - at < 60_000);
    this.#overall = this.#overall.filter((at) => now - at < 1_000);
    const waits = [
      this.#overall.length >= this.rules.overall ? 1_000 - (now - (this.#overall[0] as number)) : 0,
      chat.length > 0 ? this.rules.chatSeconds * 1_000 - (now - (chat.at(-1) as number)) : 0,
      chatId < 0 && chat.length >= this.rules.groupMinute
        ? 60_000 - (now - (chat[chat.length - this.rules.groupMinute] as number))
        : 0,
    ];
    const wait = Math.max(...waits);
    if (wait > 0) {
      this.violations += 1;
      throw tooMany(Math.ceil(wait / 1_000));
    }
    chat.push(now);
    this.#chats.set(chatId, chat);
    this.#overall.push(now);
  }
}
