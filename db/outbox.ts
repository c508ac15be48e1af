import type { Temporal } from "temporal-polyfill";
import type { Id } from "../bot/journal/ports.js";
import type { Delivery, Outbox, OutboxItem } from "../bot/messenger/ports.js";
import type { Bell } from "./bell.js";
import type { Link } from "./engine.js";
import { countBacklog } from "./inbox.js";
import {
  dropWaiting,
  finishMessage,
  headOf,
  layDownDuty,
  noteAttempt,
  rememberSent,
  setChatActive,
  takeDuty,
} from "./queries/deliveries.js";
import { type Claim, claimWork, type Release, releaseWork } from "./queries/work.js";
import type { Tenants } from "./tenancy.js";

const SENDING = "sending";
/** A message is given up after so many attempts or so long. */
const MOST_ATTEMPTS = 12;
const LONGEST_WAIT_SECONDS = 24 * 3600;

interface InFlight {
  claim: Claim;
  /** Urgency of the message behind it, if there is one. */
  next: number | null;
  /** The caller's time of the claim, and the machine's. */
  now: Temporal.Instant;
  claimedAt: number;
}

export class StoredOutbox implements Outbox {
  readonly #inFlight = new Map<Id, InFlight>();
  readonly #self: Id;

  constructor(
    private readonly tenants: Tenants,
    private readonly bell: Bell,
    private readonly leaseSeconds: number,
    private readonly migrateChat: (from: number, to: number) => Promise<void>,
  ) {
    this.#self = tenants.time.newId();
  }

  async claim(limit: number, now: Temporal.Instant): Promise<OutboxItem[]> {
    const pulse = this.tenants.time.pulse.now();
    const claims = await claimWork(this.tenants.engine, {
      lane: "outbox",
      limit,
      pulse: pulse.toString(),
      leaseUntil: pulse.add({ seconds: 2 * this.leaseSeconds }).toString(),
      notBefore: now.toString(),
    });
    const heads = await Promise.all(claims.map((claim) => this.#head(claim, now)));
    return heads.filter((item) => item !== null);
  }

  #head(claim: Claim, now: Temporal.Instant): Promise<OutboxItem | null> {
    return this.tenants.within(claim.householdId, async (_store, link) => {
      const head = await headOf(link, claim);
      if (head === null) {
        await releaseWork(link.rows, "outbox", claim, { idle: true });
        return null;
      }
      const { item, next } = head;
      this.#inFlight.set(item.id, { claim, next, now, claimedAt: performance.now() });
      return item;
    });
  }

  async settle(item: OutboxItem, delivery: Delivery, notBefore?: Temporal.Instant): Promise<void> {
    const flight = this.#inFlight.get(item.id);
    if (flight === undefined) return;
    const hold = notBefore?.toString() ?? null;
    const now = this.tenants.time.pulse.now().toString();
    if (delivery.kind === "moved") await this.migrateChat(flight.claim.chatId, delivery.chatId);
    await this.tenants.within(item.householdId, async (_store, link) => {
      const release = await this.#record(link, item, delivery, flight, now, hold);
      await releaseWork(link.rows, "outbox", flight.claim, release);
    });
    this.#inFlight.delete(item.id);
    if (flight.next !== null || delivery.kind === "later" || delivery.kind === "moved") this.bell.ring();
  }

  async #record(
    link: Link,
    item: OutboxItem,
    delivery: Delivery,
    flight: InFlight,
    now: string,
    hold: string | null,
  ): Promise<Release> {
    const next: Release =
      flight.next === null
        ? { idle: true, notBefore: hold }
        : { notBefore: hold, dueAt: now, urgency: flight.next };
    switch (delivery.kind) {
      case "sent":
        await Promise.all([
          finishMessage(link, item, { state: "sent", reason: null, now }),
          delivery.messageId === null ? undefined : rememberSent(link, item, delivery.messageId, now),
          setChatActive(link, item.householdId, item.message.chatId, true),
        ]);
        return next;
      case "refused":
        await finishMessage(link, item, { state: "refused", reason: delivery.reason, now });
        return next;
      case "gone":
        await dropWaiting(link, flight.claim, delivery.reason, now);
        await setChatActive(link, item.householdId, item.message.chatId, false);
        return { idle: true };
      case "moved":
        return { idle: true };
      case "later": {
        const attempt = await noteAttempt(link, item, delivery.reason, now);
        if (attempt === null) return next;
        if (attempt.attempts >= MOST_ATTEMPTS || attempt.ageSeconds >= LONGEST_WAIT_SECONDS) {
          await finishMessage(link, item, { state: "given_up", reason: delivery.reason, now });
          return next;
        }
        return { notBefore: later(flight, delivery.afterSeconds, notBeforeOf(hold)) };
      }
    }
  }

  /** Whether this process may send now. One at a time does, so that the messenger's limits are kept in one place. */
  async mayLead(): Promise<boolean> {
    if (this.tenants.engine.kind === "embedded") return true;
    const now = this.tenants.time.pulse.now();
    const until = now.add({ milliseconds: 500 * this.leaseSeconds }).toString();
    return takeDuty(this.tenants.engine.rows, SENDING, this.#self, now.toString(), until);
  }

  waiting(signal: AbortSignal): Promise<void> {
    return this.bell.wait(signal);
  }

  backlog(): Promise<number> {
    return countBacklog(this.tenants, "outbox");
  }

  /** Gives back what was claimed and not settled, and the duty. */
  async release(): Promise<void> {
    for (const { claim } of this.#inFlight.values()) {
      await releaseWork(this.tenants.engine.rows, "outbox", claim, {});
    }
    this.#inFlight.clear();
    if (this.tenants.engine.kind === "server") {
      await layDownDuty(this.tenants.engine.rows, SENDING, this.#self);
    }
  }
}

function notBeforeOf(hold: string | null): number {
  return hold === null ? 0 : Date.parse(hold);
}

/** The claimant's own time moved on by what has passed since, plus the wait; never before `hold`. */
function later(flight: InFlight, afterSeconds: number, hold: number): string {
  const passed = Math.max(0, Math.round(performance.now() - flight.claimedAt));
  const until = flight.now.add({ milliseconds: passed + Math.ceil(afterSeconds * 1000) });
  return hold > until.epochMilliseconds ? new Date(hold).toISOString() : until.toString();
}
