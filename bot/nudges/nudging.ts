import type { Temporal } from "temporal-polyfill";
import type { Clock } from "../clock.js";
import type { AwayTime } from "../journal/away.js";
import type { Households, Id, JournalStore, Reminder, ReminderKind } from "../journal/ports.js";
import { repeatDanger } from "./danger.js";
import { homecomingOf } from "./homecoming.js";
import { type Here, householdAt, type NudgeMind, spokenTo } from "./household.js";
import { deliverMorning, readForMorning } from "./morning.js";
import type { DueNudge, NudgeQueue } from "./ports.js";
import { scheduleMorning } from "./schedule.js";
import type { Worded } from "./voice.js";

export interface NudgingParts extends NudgeMind {
  queue: NudgeQueue;
  households: Households;
  clock: Clock;
  log: { warn(facts: object, message: string): void };
  /** Transactions that the store runs side by side; half of them at most is taken here. */
  workers: number;
}

/** About twenty claims at a time serve the database best. */
const BATCH = 20;
/** Replies and the sending of what was planned must not wait for a connection: nudges are in no hurry. */
const SHARE = 1 / 2;
/** A household without a morning in this time lacks one: weekdays off are at most a week. */
const MISSING_AFTER_HOURS = 24 * 9;
const SWEEP_EVERY_MINUTES = 60;

/** Fires what falls due, household by household, each in a transaction of its own. */
export class Nudging {
  #sweptAt: Temporal.Instant | null = null;
  #running: Promise<void> | null = null;

  constructor(private readonly parts: NudgingParts) {}

  /** Fires all that is due by the clock; resolves when it stands in the outbox. One tick at a time. */
  tick(): Promise<void> {
    const next = (this.#running ?? Promise.resolve()).then(() => this.#tick());
    this.#running = next.catch(() => undefined);
    return next;
  }

  async #tick(): Promise<void> {
    const { queue, clock, workers } = this.parts;
    const now = clock.now();
    await this.#sweep(now);
    for (;;) {
      const due = await queue.claimDue(now, BATCH);
      if (due.length === 0) return;
      const left = [...due];
      const work = async () => {
        for (let nudge = left.shift(); nudge; nudge = left.shift()) await this.#deliver(nudge);
      };
      const atOnce = Math.max(1, Math.floor(workers * SHARE));
      await Promise.all(Array.from({ length: Math.min(atOnce, due.length) }, work));
    }
  }

  async #deliver(nudge: DueNudge): Promise<void> {
    const { queue, clock, fallbackZone, log } = this.parts;
    try {
      await queue.deliver(nudge, async (store, reminder) => {
        const now = clock.now();
        const { kind } = reminder;
        if (kind !== "morning") {
          return this.#handle(await householdAt(store, now, fallbackZone), kind, reminder);
        }
        const [here, reading] = await Promise.all([
          householdAt(store, now, fallbackZone),
          readForMorning(store, now),
        ]);
        return deliverMorning(here, this.parts, reminder, reading);
      });
    } catch (error) {
      // It is tried again, a few times, later and later.
      log.warn(
        { err: nameOf(error), household: nudge.householdId, kind: nudge.reminder.kind },
        "a nudge failed",
      );
    }
  }

  async #handle(here: Here, kind: Exclude<ReminderKind, "morning">, reminder: Reminder): Promise<void> {
    switch (kind) {
      case "danger":
      case "danger_again": {
        const chats = await here.store.chats();
        const told = chats.filter(({ chatId, active }) => active && chatId === reminder.chatId);
        const all = new Map([...spokenTo(chats), ...told].map((chat) => [chat.chatId, chat]));
        return repeatDanger({ ...here, chats: [...all.values()], voice: this.parts.voice }, reminder);
      }
      case "told":
        return this.#told(here, reminder);
      case "away":
        return this.#coverBegins(here, reminder);
      case "return":
        return this.#homecoming(here, reminder);
      case "snooze":
      case "ask":
        // They only hold something until their day; being due is their end.
        return;
    }
  }

  async #told({ store, manner }: Here, reminder: Reminder): Promise<void> {
    const told = reminder.payload as { text: string; person: string | null; by: string };
    const chat = reminder.chatId === null ? null : await store.chat(reminder.chatId);
    const said = this.parts.voice.told({ ...told, at: reminder.dueAt }, reminder.id, manner);
    if (chat) {
      if (chat.active) await say(store, [chat.chatId], said, "told");
      return;
    }
    await say(
      store,
      spokenTo(await store.chats()).map(({ chatId }) => chatId),
      said,
      "told",
    );
  }

  async #coverBegins({ store, zone, now, manner }: Here, reminder: Reminder): Promise<void> {
    const { returnId } = reminder.payload as { returnId: Id };
    const [back] = await store.reminders({ ids: [returnId], state: "waiting" });
    if (!back) return;
    const { away } = back.payload as { away: AwayTime };
    // After an outage that was longer than the time away there is nothing left to begin.
    if (now.toZonedDateTimeISO(zone).toPlainDate().toString() > away.to) return;
    const chats = spokenTo(await store.chats()).map(({ chatId }) => chatId);
    await say(store, chats, this.parts.voice.coverBegins(away, manner), "away");
  }

  async #homecoming({ store, zone, manner }: Here, reminder: Reminder): Promise<void> {
    const { away } = reminder.payload as { away: AwayTime };
    const chats = spokenTo(await store.chats()).map(({ chatId }) => chatId);
    if (chats.length === 0) return;
    const summary = await homecomingOf(store, away, zone, await store.places());
    await say(store, chats, this.parts.voice.homecoming(summary, manner), "away");
  }

  /** Sets the next morning of households that lack one; looked for at the start and every hour. */
  async #sweep(now: Temporal.Instant): Promise<void> {
    const { queue, households, fallbackZone, log } = this.parts;
    if (this.#sweptAt && now.since(this.#sweptAt).total("minutes") < SWEEP_EVERY_MINUTES) return;
    this.#sweptAt = now;
    const until = now.add({ hours: MISSING_AFTER_HOURS });
    for (let after: Id | null = null; ; ) {
      const missing: Id[] = await queue.unscheduled(until, after, 100);
      for (const household of missing) {
        await households
          .within(household, (store) => ensureMorning(store, now, fallbackZone))
          .catch((error: unknown) =>
            log.warn({ err: nameOf(error), household }, "a morning could not be set"),
          );
      }
      after = missing.at(-1) ?? null;
      if (after === null) return;
    }
  }
}

/** Sets a household's next morning unless it has one. */
export async function ensureMorning(
  store: JournalStore,
  now: Temporal.Instant,
  fallbackZone: string,
): Promise<void> {
  const waiting = await store.reminders({ kinds: ["morning"], state: "waiting" });
  if (waiting.length > 0) return;
  const { household, zone } = await householdAt(store, now, fallbackZone);
  await scheduleMorning(store, household, zone, now);
}

async function say(store: JournalStore, chats: readonly number[], said: Worded, kind: string): Promise<void> {
  for (const chatId of chats) await store.say({ chatId, ...said, urgency: 2, about: { kind } });
}

/** An error's name and code: its message might quote what somebody wrote. */
function nameOf(error: unknown): string {
  if (!(error instanceof Error)) return typeof error;
  const { sqlstate } = error as { sqlstate?: unknown };
  return typeof sqlstate === "string" ? `${error.name} ${sqlstate}` : error.name;
}
