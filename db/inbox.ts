import type { Id, JournalStore } from "../bot/journal/ports.js";
import type { Inbox, IncomingUpdate } from "../bot/messenger/ports.js";
import type { Bell } from "./bell.js";
import type { Link } from "./engine.js";
import { LeaseLostError, StoreError } from "./errors.js";
import { migrateChat } from "./queries/chat-moves.js";
import {
  countWaiting,
  failUpdate,
  finishUpdate,
  nextUpdate,
  noteInterruption,
  putUpdates,
} from "./queries/incoming.js";
import { claimRoutes, foundHousehold, routesOf } from "./queries/routes.js";
import { busyChats, type Claim, claimWork, releaseWork } from "./queries/work.js";
import { actFor, type Tenants } from "./tenancy.js";

/** Updates of one chat handled in a row before another chat gets its turn. */
const BATCH = 20;
/** An update is put aside after so many failures, */
const PARK_AFTER = 3;
/** or when handling it was cut short so often by the end of the process. */
const PARK_AFTER_INTERRUPTIONS = 10;
const BACK_OFF_SECONDS = [1, 5];
const ROUTES_REMEMBERED = 50_000;
/** Beyond so many busy chats `backlog` counts each as one. */
const COUNTED_CHATS = 50;

type Handle = (update: IncomingUpdate, store: JournalStore) => Promise<void>;
type Outcome = { finished: number; go: boolean };

export class StoredInbox implements Inbox {
  readonly #routes = new Map<number, Id>();
  readonly #held = new Set<Claim>();

  constructor(
    private readonly tenants: Tenants,
    private readonly bell: Bell,
    private readonly leaseSeconds: number,
    private readonly onParked: (facts: { householdId: Id; updateId: number; error: string }) => void,
  ) {}

  async receive(updates: readonly IncomingUpdate[]): Promise<number> {
    if (updates.length === 0) return 0;
    const now = this.#pulse().toString();
    const found = new Map<number, Id>();
    const counts = await this.tenants.engine.transaction(async (link) => {
      for (const [chat, household] of await this.#householdsOf(link, updates)) found.set(chat, household);
      const batches = [...byChat(updates).entries()]
        .map(([chat, batch]) => ({ household: found.get(chat) as Id, chat, batch }))
        .sort((a, b) => (a.household < b.household ? -1 : a.household > b.household ? 1 : a.chat - b.chat));
      // Sent without waiting in between: on a server the whole batch is one round trip.
      return Promise.all(
        batches.flatMap(({ household, batch }) => [
          actFor(link, household).then(() => 0),
          putUpdates(link, household, batch, now),
        ]),
      );
    });
    this.#remember(found);
    const fresh = counts.reduce((sum, count) => sum + count, 0);
    if (fresh > 0) this.bell.ring();
    return fresh;
  }

  async work(handle: Handle): Promise<number> {
    for (;;) {
      const pulse = this.#pulse().toString();
      const [claim] = await claimWork(this.tenants.engine, {
        lane: "inbox",
        limit: 1,
        pulse,
        notBefore: pulse,
        leaseUntil: this.#leaseEnd(),
      });
      if (claim === undefined) return 0;
      this.#held.add(claim);
      try {
        const finished = await this.#workChat(claim, handle);
        // A chat that is held back or turned out to be empty says nothing about the others.
        if (finished > 0) return finished;
      } finally {
        this.#held.delete(claim);
      }
    }
  }

  async #workChat(claim: Claim, handle: Handle): Promise<number> {
    let finished = 0;
    if (claim.interrupted) {
      const parked = await this.tenants.within(claim.householdId, (_store, link) =>
        noteInterruption(link, claim, this.#pulse().toString(), PARK_AFTER_INTERRUPTIONS),
      );
      if (parked) finished += 1;
    }
    for (let turn = 1; turn <= BATCH; turn += 1) {
      const outcome = await this.#step(claim, handle, turn < BATCH);
      finished += outcome.finished;
      if (!outcome.go) break;
    }
    return finished;
  }

  async #step(claim: Claim, handle: Handle, keep: boolean): Promise<Outcome> {
    let updateId: number | null = null;
    try {
      return await this.tenants.within(claim.householdId, async (store, link) => {
        const next = await nextUpdate(link, claim);
        if (next === null) {
          await releaseWork(link.rows, "inbox", claim, { idle: true });
          return { finished: 0, go: false };
        }
        updateId = next.update.updateId;
        await handle(next.update, store);
        const times = { now: this.#pulse().toString(), leaseUntil: this.#leaseEnd() };
        const done = await finishUpdate(link, claim, updateId, times, keep);
        if (done === null) throw new LeaseLostError();
        claim.version = done.version;
        return { finished: 1, go: done.more && keep };
      });
    } catch (error) {
      if (error instanceof LeaseLostError) return { finished: 0, go: false };
      if (updateId === null || (error instanceof StoreError && (error.unreachable || error.transient)))
        throw error;
      return this.#fail(claim, updateId, error);
    }
  }

  async #fail(claim: Claim, updateId: number, cause: unknown): Promise<Outcome> {
    const error = (cause instanceof Error ? `${cause.name}: ${cause.message}` : String(cause)).slice(0, 500);
    const now = this.#pulse();
    const { parked } = await this.tenants.within(claim.householdId, async (_store, link) => {
      const failure = await failUpdate(link, claim, updateId, {
        error,
        now: now.toString(),
        parkAfter: PARK_AFTER,
      });
      if (!failure.parked) {
        const seconds = BACK_OFF_SECONDS[failure.attempts - 1] ?? BACK_OFF_SECONDS.at(-1) ?? 1;
        await releaseWork(link.rows, "inbox", claim, { notBefore: now.add({ seconds }).toString() });
      }
      return failure;
    });
    if (parked) this.onParked({ householdId: claim.householdId, updateId, error });
    return { finished: parked ? 1 : 0, go: parked };
  }

  waiting(signal: AbortSignal): Promise<void> {
    return this.bell.wait(signal);
  }

  async householdOf(chatId: number): Promise<Id | null> {
    const known = this.#routes.get(chatId);
    if (known !== undefined) return known;
    const run = this.tenants.engine.current()?.rows ?? this.tenants.engine.rows;
    const found = await routesOf(run, [chatId]);
    this.#remember(found);
    return found.get(chatId) ?? null;
  }

  async migrateChat(fromChatId: number, toChatId: number): Promise<void> {
    await migrateChat(this.tenants, fromChatId, toChatId);
    this.#routes.delete(fromChatId);
    this.#routes.delete(toChatId);
    this.bell.ring();
  }

  async backlog(): Promise<number> {
    return countBacklog(this.tenants, "inbox");
  }

  /** Gives back what this process still holds, so that another can go on at once. */
  async release(): Promise<void> {
    for (const claim of this.#held) {
      await releaseWork(this.tenants.engine.rows, "inbox", claim, {});
    }
    this.#held.clear();
  }

  async #householdsOf(link: Link, updates: readonly IncomingUpdate[]): Promise<Map<number, Id>> {
    const firsts = new Map<number, IncomingUpdate>();
    for (const update of updates) if (!firsts.has(update.chatId)) firsts.set(update.chatId, update);
    const known = new Map<number, Id>();
    for (const chat of firsts.keys()) {
      const household = this.#routes.get(chat);
      if (household !== undefined) known.set(chat, household);
    }
    const missing = () => [...firsts.keys()].filter((chat) => !known.has(chat));
    const lookUp = async () => {
      if (missing().length === 0) return;
      for (const [chat, household] of await routesOf(link.rows, missing())) known.set(chat, household);
    };
    await lookUp();
    if (missing().length === 0) return known;
    const wanted = missing().map((chatId) => ({ chatId, householdId: this.tenants.time.newId() }));
    const ours = await claimRoutes(link, wanted);
    for (const [chat, household] of ours) {
      known.set(chat, household);
      await actFor(link, household);
      await foundHousehold(
        link,
        household,
        firsts.get(chat) as IncomingUpdate,
        this.tenants.time.clock.now(),
      );
    }
    await lookUp();
    return known;
  }

  /** Only after the commit that made them: a route of a transaction rolled back does not exist. */
  #remember(found: Map<number, Id>): void {
    if (this.#routes.size > ROUTES_REMEMBERED) this.#routes.clear();
    for (const [chat, household] of found) this.#routes.set(chat, household);
  }

  #pulse() {
    return this.tenants.time.pulse.now();
  }
  #leaseEnd(): string {
    return this.#pulse().add({ seconds: this.leaseSeconds }).toString();
  }
}

function byChat(updates: readonly IncomingUpdate[]): Map<number, IncomingUpdate[]> {
  const chats = new Map<number, IncomingUpdate[]>();
  for (const update of updates) {
    const batch = chats.get(update.chatId);
    if (batch === undefined) chats.set(update.chatId, [update]);
    else batch.push(update);
  }
  return chats;
}

/** Messages waiting; exact while few chats are busy, at least one a chat beyond. */
export async function countBacklog(tenants: Tenants, lane: "inbox" | "outbox"): Promise<number> {
  const busy = await busyChats(tenants.engine, lane);
  let waiting = Math.max(0, busy.length - COUNTED_CHATS);
  for (const household of new Set(busy.slice(0, COUNTED_CHATS).map(({ householdId }) => householdId))) {
    waiting += await tenants.within(household, (_store, link) => countWaiting(link, lane, household));
  }
  return waiting;
}
