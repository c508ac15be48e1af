/** How fast the messenger lets a bot write. */
export interface SendLimits {
  /** Messages in any second, over all chats. */
  perSecond: number;
  /** A chat takes one a second, and after a pause so many at once. */
  chatBurst: number;
  /** Messages to one group in any minute. */
  groupPerMinute: number;
}

/** Telegram Bot API, "My bot is hitting limits": 30 a second, one a second in a chat, 20 a minute in a group. */
export const PUBLIC_LIMITS: SendLimits = { perSecond: 30, chatBurst: 3, groupPerMinute: 20 };

const SECOND = 1000;
const MINUTE = 60_000;
/** Windows are kept a little longer than asked, for the messenger counts arrivals and the way there varies. */
const MARGIN = 10;

/**
 * Keeps all messages of the bot within the rate: at most `perSecond` in any window of a second. Sends are spread
 * within the second too, so that a window is not used up by one burst.
 * Times are milliseconds of any steady clock.
 */
export class Pace {
  readonly #sent: number[] = [];
  constructor(private readonly perSecond: number) {}

  /** When the next message may leave; `now` if at once. */
  next(now: number): number {
    const last = this.#sent.at(-1);
    const windowOpens = this.#sent.length < this.perSecond ? now : (this.#sent[0] ?? now) + SECOND + MARGIN;
    const spaced = last === undefined ? now : last + SECOND / this.perSecond / 2;
    return Math.max(now, windowOpens, spaced);
  }

  took(now: number): void {
    this.#sent.push(now);
    if (this.#sent.length > this.perSecond) this.#sent.shift();
  }
}

/** What each chat was sent in the last minute, and so when it may be sent the next message. */
export class ChatPaces {
  readonly #sent = new Map<number, number[]>();
  constructor(private readonly limits: SendLimits) {}

  /** @returns when this chat may be sent the message after this one */
  took(chatId: number, now: number): number {
    const recent = (this.#sent.get(chatId) ?? []).filter((at) => at > now - MINUTE - MARGIN);
    recent.push(now);
    this.#sent.delete(chatId);
    this.#sent.set(chatId, recent);
    this.#forget(now);
    return Math.max(this.#burst(recent, now), chatId < 0 ? this.#group(recent, now) : now);
  }

  /** One a second with `chatBurst` in hand: each message is owed a second, and so many may be owed at once. */
  #burst(recent: readonly number[], now: number): number {
    let paid = Number.NEGATIVE_INFINITY;
    for (const at of recent) paid = Math.max(paid, at) + SECOND;
    return Math.max(now, paid - (this.limits.chatBurst - 1) * SECOND);
  }

  #group(recent: readonly number[], now: number): number {
    const { groupPerMinute } = this.limits;
    if (recent.length < groupPerMinute) return now;
    return Math.max(now, (recent[recent.length - groupPerMinute] ?? now) + MINUTE + MARGIN);
  }

  /** The map is in order of the last message: the quiet chats stand in front. */
  #forget(now: number): void {
    for (const [chatId, sent] of this.#sent) {
      if ((sent.at(-1) ?? 0) > now - MINUTE - MARGIN) return;
      this.#sent.delete(chatId);
    }
  }
}
