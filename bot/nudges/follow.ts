import type { Clock } from "../clock.js";
import type { Outcome } from "../journal/outcome.js";
import type { Id } from "../journal/ports.js";
import type { Scope } from "../journal/scope.js";
import { dangersEndedBy, followDangers, outdoorAlarms } from "./danger.js";
import type { DangerFacts } from "./danger-facts.js";
import { ensureMorning } from "./nudging.js";
import { scheduleMorning } from "./schedule.js";

/** What follows from a message for what is said unasked. */
export interface Followed {
  /** Dangers that the entries just logged have ended. */
  ended: DangerFacts[];
  /** To be asked now, once: may danger wake people. */
  asksToWake: boolean;
}

const MOVES_MORNING = new Set<string>(["zone", "location", "reminder_time", "reminder_days"]);
/** The question stays asked for as long as anybody could care. */
const ASKED_FOR_HOURS = 24 * 365 * 50;

/**
 * Carries an outcome over to the nudges, in the message's own transaction: mornings are set and moved, dangers are
 * opened and closed.
 */
export class Follower {
  /** Households whose morning is known to be set. */
  readonly #set = new Set<Id>();

  constructor(private readonly parts: { clock: Clock }) {}

  async follow(outcome: Outcome, scope: Scope): Promise<Followed> {
    const { store, household, zone } = scope;
    const now = this.parts.clock.now();
    if (outcome.kind === "set" && MOVES_MORNING.has(outcome.instruction.setting)) {
      await scheduleMorning(store, household, zoneNow(scope), now);
    } else if (!this.#set.has(household.id)) {
      await ensureMorning(store, now, zone);
      this.#set.add(household.id);
    }
    const entries = outcome.kind === "logged" || outcome.kind === "amended" ? outcome.entries : [];
    // Whether it is too cold outdoors is told by the nights before, not by the reading alone.
    if (outcome.kind === "logged" || outcome.kind === "amended") {
      outcome.alarms.push(...(await outdoorAlarms(scope, entries)));
    }
    const ended = await dangersEndedBy(store, entries);
    await followDangers(outcome, scope);
    return { ended, asksToWake: await this.#asksToWake(outcome, scope) };
  }

  async #asksToWake(outcome: Outcome, scope: Scope): Promise<boolean> {
    if (outcome.kind !== "set" && outcome.kind !== "places") return false;
    const { household, places, store } = scope;
    if (household.dangerAtNight !== null || household.zone === null) return false;
    if (!places.some(({ floorC }) => floorC !== null)) return false;
    const now = this.parts.clock.now();
    return store.addReminder({
      kind: "ask",
      subject: "wake",
      localDate: "once",
      dueAt: now.add({ hours: ASKED_FOR_HOURS }),
      chatId: scope.utterance.chatId,
      payload: null,
    });
  }
}

/** A zone that was told in this very message counts at once. */
const zoneNow = (scope: Scope): string => scope.household.zone ?? scope.zone;
