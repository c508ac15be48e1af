import { type Clock, systemClock } from "../../clock.js";
import type { Outgoing } from "../../journal/ports.js";
import type { Delivery, Outbox, OutboxItem } from "../ports.js";
import { type DeliveryLog, nameOf } from "./inbox-worker.js";
import { ChatPaces, Pace, PUBLIC_LIMITS, type SendLimits } from "./limits.js";
import { backOffSeconds, pause } from "./pause.js";

export interface SenderOptions {
  outbox: Outbox;
  /** Sends one message once; what it throws counts as "try again". */
  send: (message: Outgoing) => Promise<Delivery>;
  signal: AbortSignal;
  log: DeliveryLog;
  limits?: SendLimits;
  /** Real time: the messenger does not know of a simulated one. */
  pulse?: Clock;
  /** A send that has no answer after so long is tried again; the message may then come twice. */
  timeoutMs?: number;
  /** Sends under way at once; 16 unless told, which at 30 a second allows the messenger half a second to answer. */
  atOnce?: number;
}

/** How often the right to send is renewed, or asked for while another process has it. */
const LEAD_EVERY_MS = 3000;
/**
 * No further message is sent while so many were answered and are not yet noted in the store: when the process is
 * killed, these are sent again although the messenger had answered.
 */
const MOST_UNNOTED = 3;
/** Messages claimed ahead, in seconds' worth. */
const AHEAD_SECONDS = 1;

/**
 * Sends what is in the outbox until the signal is given, within the messenger's limits and the most urgent first.
 * One process at a time sends (`Outbox.mayLead`), so that one place keeps the limits; 30 a second is far below what
 * one can do. What the limits of a chat hold back waits in the store, not here.
 * Resolves once the sends under way have come to an end.
 */
export async function runSender(options: SenderOptions): Promise<void> {
  const sender = new Sender(options);
  let failures = 0;
  while (!options.signal.aborted) {
    try {
      await sender.turn();
      failures = 0;
    } catch (error) {
      failures += 1;
      options.log.error({ error: nameOf(error), failures }, "the outbox could not be worked");
      await pause(backOffSeconds(failures) * 1000, options.signal);
    }
  }
  await sender.finish();
}

class Sender {
  readonly #options: Required<SenderOptions>;
  readonly #pace: Pace;
  readonly #chats: ChatPaces;
  readonly #underWay = new Set<Promise<void>>();
  readonly #noting = new Set<Promise<void>>();
  #ahead: OutboxItem[] = [];
  #claiming: Promise<void> | null = null;
  #claimFailed: unknown = null;
  #leadUntil = Number.NEGATIVE_INFINITY;
  /** Nothing was found at the last claim. */
  #dry = false;

  constructor(options: SenderOptions) {
    this.#options = {
      ...options,
      limits: options.limits ?? PUBLIC_LIMITS,
      pulse: options.pulse ?? systemClock,
      timeoutMs: options.timeoutMs ?? 30_000,
      atOnce: options.atOnce ?? 16,
    };
    this.#pace = new Pace(this.#options.limits.perSecond);
    this.#chats = new ChatPaces(this.#options.limits);
  }

  /** Sends one message, or waits for one. */
  async turn(): Promise<void> {
    const { outbox, signal } = this.#options;
    if (this.#claimFailed !== null) {
      const failure = this.#claimFailed;
      this.#claimFailed = null;
      throw failure;
    }
    if (!(await this.#leads())) return pause(LEAD_EVERY_MS / 3, signal);
    this.#claimAhead();
    const item = this.#ahead.shift();
    if (item === undefined) {
      if (this.#claiming !== null) await this.#claiming;
      else if (this.#dry) {
        this.#dry = false;
        await outbox.waiting(signal);
      }
      return;
    }
    if (this.#underWay.size >= this.#options.atOnce) await Promise.race(this.#underWay);
    while (this.#noting.size >= MOST_UNNOTED) await Promise.race(this.#noting);
    if (limited(item.message)) {
      const wait = this.#pace.next(performance.now()) - performance.now();
      if (wait > 0) await pause(wait);
      this.#pace.took(performance.now());
    }
    const sending = this.#deliver(item).finally(() => this.#underWay.delete(sending));
    this.#underWay.add(sending);
  }

  async #leads(): Promise<boolean> {
    if (performance.now() < this.#leadUntil) return true;
    if (!(await this.#options.outbox.mayLead())) return false;
    this.#leadUntil = performance.now() + LEAD_EVERY_MS;
    return true;
  }

  /** Fetches the next second's worth while this one is being sent. */
  #claimAhead(): void {
    const wanted = Math.max(1, Math.ceil(this.#options.limits.perSecond * AHEAD_SECONDS));
    if (this.#claiming !== null || this.#dry || this.#ahead.length > wanted / 2) return;
    this.#claiming = this.#options.outbox
      .claim(wanted, this.#options.pulse.now())
      .then((items) => {
        this.#dry = items.length === 0;
        this.#ahead.push(...items);
        this.#ahead.sort((a, b) => (a.message.urgency ?? 1) - (b.message.urgency ?? 1));
      })
      .catch((error: unknown) => {
        this.#claimFailed = error ?? new Error("the outbox could not be claimed");
      })
      .finally(() => {
        this.#claiming = null;
      });
  }

  async #deliver(item: OutboxItem): Promise<void> {
    const { outbox, log, pulse } = this.#options;
    const delivery = await this.#send(item);
    const now = performance.now();
    const notBefore = limited(item.message) ? this.#chats.took(item.message.chatId, now) - now : 0;
    const hold = notBefore > 0 ? pulse.now().add({ milliseconds: Math.ceil(notBefore) }) : undefined;
    const noting = outbox
      .settle(item, delivery, hold)
      .then(() => {
        this.#dry = false;
      })
      .catch((error: unknown) => {
        // Its lease ends and it is sent again: at least once, as promised.
        log.error({ error: nameOf(error) }, "what became of a message could not be noted");
      })
      .finally(() => this.#noting.delete(noting));
    this.#noting.add(noting);
    await noting;
    if (delivery.kind === "refused" || delivery.kind === "gone") {
      log.warn({ kind: delivery.kind, household: item.householdId }, "a message was not accepted");
    }
  }

  async #send(item: OutboxItem): Promise<Delivery> {
    const { send, timeoutMs } = this.#options;
    let timer: NodeJS.Timeout | undefined;
    const tooLong = new Promise<Delivery>((resolve) => {
      timer = setTimeout(() => resolve({ kind: "later", afterSeconds: 0, reason: "no answer" }), timeoutMs);
    });
    const answered = Promise.resolve()
      .then(() => send(item.message))
      .catch((error: unknown): Delivery => ({ kind: "later", afterSeconds: 0, reason: nameOf(error) }));
    const delivery = await Promise.race([answered, tooLong]);
    clearTimeout(timer);
    if (delivery.kind !== "later") return delivery;
    return { ...delivery, afterSeconds: Math.max(delivery.afterSeconds, backOffSeconds(item.attempts + 1)) };
  }

  /** Sends under way come to an end; those claimed ahead go back when the store is closed. */
  async finish(): Promise<void> {
    await this.#claiming;
    await Promise.all(this.#underWay);
  }
}

/** Closing a button press is no message to the chat. */
function limited(message: Outgoing): boolean {
  return message.callbackId === undefined || message.text !== "" || message.file !== undefined;
}
