import { relative } from "node:path";
import type { Temporal } from "temporal-polyfill";
import type { KeptChat, Sent } from "../messenger/stand-in/world.js";

export interface ShownButton {
  messageId: number;
  label: string;
}

/**
 * Shows what the bot put before people, one speaker's name at the head of each message. Buttons are numbered from 1,
 * anew for each turn in which some appear.
 */
export class Show {
  #buttons: ShownButton[] = [];
  #fresh = true;
  #shownAt: string | null = null;

  constructor(
    private readonly parts: {
      name: string;
      zone: string;
      chat: KeptChat;
      write: (line: string) => void;
      keepFile: (name: string, bytes: Uint8Array) => string;
    },
  ) {}

  /** A new line was typed: buttons that appear now are numbered from 1. */
  turn(): void {
    this.#fresh = true;
  }

  /** The clock was moved: the next message is headed by the time. */
  clockMoved(now: Temporal.Instant): void {
    this.#shownAt = now
      .toZonedDateTimeISO(this.parts.zone)
      .toPlainDateTime()
      .toString({ smallestUnit: "minute" });
  }

  /** The button by its number as shown, or by its label. */
  button(which: string): ShownButton | null {
    const number = Number(which);
    if (Number.isInteger(number)) return this.#buttons[number - 1] ?? null;
    const wanted = which.toLowerCase();
    return this.#buttons.findLast(({ label }) => label.toLowerCase() === wanted) ?? null;
  }

  sent(sent: Sent): void {
    if (sent.method === "deleteMessage" || (sent.chatId !== this.parts.chat.id && !sent.notice)) return;
    this.#time();
    if (sent.reaction) {
      this.#reaction(sent, sent.reaction.emoji);
      return;
    }
    const { name, write } = this.parts;
    const how = sent.notice ? " (notice)" : sent.method.startsWith("edit") ? " (changed)" : "";
    const [first = "", ...rest] = sent.text.split("\n");
    write(`${name}${how}: ${first}`.trimEnd());
    for (const line of rest) write(`  ${line}`);
    if (sent.file) {
      const path = this.parts.keepFile(sent.file.name, sent.file.bytes);
      write(`  ${sent.file.photo ? "picture" : "file"}: ${shortest(path)}`);
    }
    this.#number(sent);
  }

  #time(): void {
    if (this.#shownAt !== null) this.parts.write(`[${this.#shownAt.replace("T", " ")}]`);
    this.#shownAt = null;
  }

  #reaction(sent: Sent, emoji: string | null): void {
    if (emoji === null) return;
    const on = this.parts.chat.messages.get(sent.messageId ?? 0)?.text ?? "";
    this.parts.write(`${this.parts.name}: ${emoji}  (to “${on.length > 60 ? `${on.slice(0, 59)}…` : on}”)`);
  }

  #number(sent: Sent): void {
    if (sent.messageId === null) return;
    // What was changed has new buttons, or none.
    this.#buttons = this.#buttons.map((button) =>
      button.messageId === sent.messageId ? { ...button, label: "" } : button,
    );
    if (sent.buttons.length === 0) return;
    if (this.#fresh) this.#buttons = [];
    this.#fresh = false;
    for (const row of sent.buttons) {
      const shown = row.map(({ text }) => {
        this.#buttons.push({ messageId: sent.messageId as number, label: text });
        return `[${this.#buttons.length}] ${text}`;
      });
      this.parts.write(`  ${shown.join("  ")}`);
    }
  }
}

function shortest(path: string): string {
  const near = relative(process.cwd(), path);
  return near.startsWith("..") ? path : near;
}
