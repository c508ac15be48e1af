import { setTimeout as sleep } from "node:timers/promises";
import { Temporal } from "temporal-polyfill";
import type { StandIn } from "../messenger/stand-in/stand-in.js";
import type { RunningApp } from "./app.js";
import type { MovableClock } from "./clock.js";
import type { ChatMemory } from "./memory.js";
import { OptionError, readTime } from "./options.js";
import type { Show } from "./show.js";

/** The longest message a client sends; a longer one goes in pieces. */
const MESSAGE_LENGTH = 4096;
const GIVE_UP_SECONDS = 120;
/** On its way to a later time the clock halts at least this often. */
const LONGEST_STEP = { hours: 1 };

export const LOCAL_HELP = [
  "Type a sentence to say it in the chat. Of this chat itself:",
  "  /press N      press button [N], or by its words: /press Undo",
  "  /reply TEXT   answer the bot's last message",
  "  /edit TEXT    rewrite your last message",
  "  /as NAME      speak as another member",
  "  /clock TIME   move the clock forward, e.g. /clock 2027-01-16T07:30; what falls due is fired",
  "  /quit         end",
];

/** One run of the local chat: what is typed becomes what a person does at the messenger. */
export class Session {
  #speaker: number;
  #lastOwn: number | null = null;

  constructor(
    private readonly parts: {
      standIn: StandIn;
      app: RunningApp;
      clock: MovableClock;
      zone: string;
      chatId: number;
      memory: ChatMemory;
      show: Show;
      write: (line: string) => void;
    },
    speaker: number,
  ) {
    this.#speaker = speaker;
  }

  get speakerName(): string {
    return this.parts.standIn.world.user(this.#speaker).first_name;
  }

  /** Does what a line says and waits until all that follows from it is out. @returns false to end */
  async line(typed: string): Promise<boolean> {
    const line = typed.trim();
    if (line === "") return true;
    this.parts.show.turn();
    const [, command, rest = ""] = /^\/(\w+)(?:\s+([\s\S]*))?$/.exec(line) ?? [];
    if (command === "quit") return false;
    try {
      await this.#act(command, rest.trim(), line);
    } catch (error) {
      if (!(error instanceof OptionError)) throw error;
      this.parts.write(error.message);
    }
    await this.settle();
    return true;
  }

  async #act(command: string | undefined, rest: string, line: string): Promise<void> {
    switch (command) {
      case "press":
        return this.#press(rest);
      case "clock":
        return this.#moveTo(readTime(rest, this.parts.zone, "/clock"));
      case "as":
        return this.#speakAs(rest);
      case "reply":
        return this.#say(rest, { replyTo: this.#lastOfBot() });
      case "edit":
        if (this.#lastOwn === null) throw new OptionError("There is no message of yours to rewrite yet.");
        return this.#say(rest, { edit: this.#lastOwn });
      case "help":
        for (const help of LOCAL_HELP) this.parts.write(help);
        return this.#say(line);
      default:
        return this.#say(line);
    }
  }

  #say(text: string, options: { replyTo?: number; edit?: number } = {}): void {
    if (text === "") throw new OptionError("There is nothing to say.");
    const { standIn, chatId } = this.parts;
    for (let at = 0; at < text.length; at += MESSAGE_LENGTH)
      this.#lastOwn = standIn.people.say(chatId, this.#speaker, text.slice(at, at + MESSAGE_LENGTH), options);
    this.save();
  }

  #press(which: string): void {
    const button = this.parts.show.button(which);
    if (!button?.label) throw new OptionError(`There is no button ${which || "without a number"} now.`);
    this.parts.standIn.people.press(this.parts.chatId, this.#speaker, button.messageId, button.label);
    this.save();
  }

  #speakAs(name: string): void {
    if (name === "") throw new OptionError("/as needs a name.");
    const { standIn, chatId } = this.parts;
    if (chatId > 0) throw new OptionError("In a private chat there is one member only.");
    this.#speaker = memberNamed(standIn, chatId, name);
    this.#lastOwn = null;
    this.save();
  }

  #lastOfBot(): number {
    const { world } = this.parts.standIn;
    const messages = [...world.knownChat(this.parts.chatId).messages.values()];
    const last = messages.findLast(({ fromId }) => fromId === world.bot.id);
    if (!last) throw new OptionError("The bot has said nothing yet.");
    return last.id;
  }

  /** Goes from one due moment to the next, so that everything fires at its own time. */
  async #moveTo(to: Temporal.Instant): Promise<void> {
    const { clock, app } = this.parts;
    if (Temporal.Instant.compare(to, clock.now()) < 0)
      throw new OptionError(`The clock only goes forward; it is ${this.#wallClock()}.`);
    while (Temporal.Instant.compare(clock.now(), to) < 0) {
      const step = clock.now().add(LONGEST_STEP);
      const due = await app.nextDue();
      const next = earliest([to, step, ...(due && isAfter(due, clock.now()) ? [due] : [])]);
      clock.set(isAfter(next, clock.now()) ? next : clock.now());
      this.parts.show.clockMoved(clock.now());
      await this.tick();
    }
  }

  /** Fires what is due now. */
  async tick(): Promise<void> {
    await this.parts.app.tick();
    await this.settle();
  }

  /** Waits until the bot has dealt with everything and all of it is shown. */
  async settle(): Promise<void> {
    const { standIn, app } = this.parts;
    const until = performance.now() + GIVE_UP_SECONDS * 1000;
    for (let quiet = 0; quiet < 2; ) {
      const idle = standIn.idle() && (await app.idle()) && standIn.idle();
      quiet = idle ? quiet + 1 : 0;
      if (performance.now() > until) {
        this.parts.write("(No end of the work after two minutes; going on.)");
        break;
      }
      await sleep(idle ? 1 : 4);
    }
    this.save();
  }

  save(): void {
    this.parts.memory.save(this.parts.standIn.snapshot());
  }

  #wallClock(): string {
    return this.parts.clock
      .now()
      .toZonedDateTimeISO(this.parts.zone)
      .toPlainDateTime()
      .toString({ smallestUnit: "minute" });
  }
}

/** The member of that name; joins the chat if there is none. In the local chat everybody is an administrator. */
export function memberNamed(standIn: StandIn, chatId: number | null, name: string): number {
  const known = [...standIn.world.users.values()].find(
    (user) => user.first_name.toLowerCase() === name.toLowerCase(),
  );
  const id = known?.id ?? standIn.people.addUser({ name }).id;
  if (chatId !== null && !standIn.world.knownChat(chatId).members.has(id)) {
    // Joining is what the bot is told of; it then looks who the administrators are.
    standIn.people.setMember(chatId, id, "member");
    standIn.people.setMember(chatId, id, "administrator");
  }
  return id;
}

const isAfter = (a: Temporal.Instant, b: Temporal.Instant): boolean => Temporal.Instant.compare(a, b) > 0;
const earliest = (instants: Temporal.Instant[]): Temporal.Instant =>
  instants.reduce((first, next) => (isAfter(first, next) ? next : first));
