import type { Clock } from "../../clock.js";
import { type ConverseOptions, converse, type Mind } from "../../journal/converse.js";
import { undo } from "../../journal/correct.js";
import { instruct } from "../../journal/instruct.js";
import type { Outcome } from "../../journal/outcome.js";
import type { JournalEntry, JournalStore } from "../../journal/ports.js";
import { siblingsOf } from "../../journal/record.js";
import { openScope, type Scope, type Utterance } from "../../journal/scope.js";
import type { ButtonPress, Desk, IncomingMessage, PressNotice } from "../desk.js";
import { type Said, wordOutcome } from "../replies/en/outcomes.js";

export interface DeskDeps {
  mind: Mind;
  clock: Clock;
  /** Zone while a household has told none. */
  fallbackZone: string;
  /** Presses of buttons that belong to others: the morning message, a cover sheet. True when it was theirs. */
  otherPress?: (press: ButtonPress, scope: Scope) => Promise<PressNotice | null>;
  /** Called with what was logged, in the same transaction: schedules repeats of an alarm. */
  onOutcome?: (outcome: Outcome, scope: Scope) => Promise<void>;
}

/** The desk that the project ships: interprets, journals, words and says. */
export function createDesk(deps: DeskDeps): Desk {
  return {
    async message(message, store) {
      const text = textOf(message);
      if (text.trim() === "") return;
      // Somebody else's words are not this member's log.
      if (message.forwarded && !message.addressed) return;
      const scope = await openScope(store, utteranceOf(message, text), deps.fallbackZone);
      const outcome = await converse(scope, deps.mind, await optionsOf(message));
      await deps.onOutcome?.(outcome, scope);
      await say(scope, outcome, deps, message.isPrivate ? undefined : message.messageId);
    },
    press: (press, store) => pressed(press, store, deps),
  };
}

/** A shared position is the answer to "where is the glasshouse". */
const textOf = (message: IncomingMessage): string =>
  message.location
    ? `we are at ${message.location.latitude.toFixed(3)}, ${message.location.longitude.toFixed(3)}`
    : message.text;

async function optionsOf(message: IncomingMessage): Promise<ConverseOptions> {
  return {
    edited: message.edited,
    mayChangeSettings: (await message.author.settingsRight()) === "yes",
  };
}

const utteranceOf = (message: IncomingMessage, text: string): Utterance => ({
  chatId: message.chatId,
  threadId: message.threadId,
  messageId: message.messageId,
  text,
  author: { userId: message.author.userId, name: message.author.name },
  addressed: message.addressed,
  isPrivate: message.isPrivate,
  at: message.at,
  replyTo: message.replyTo
    ? { messageId: message.replyTo.messageId, fromBot: message.replyTo.fromBot }
    : null,
});

/** Words an outcome and puts it into the outbox. */
async function say(scope: Scope, outcome: Outcome, deps: DeskDeps, replyTo?: number): Promise<void> {
  const worded = word(scope, outcome, deps);
  if (!worded) return;
  const { more, why, ...said } = worded;
  if (scope.chat && (why || more)) {
    scope.chat.state = { ...scope.chat.state, why: why ?? [], more: more ?? [] };
    await scope.store.updateChat(scope.utterance.chatId, { state: scope.chat.state });
  }
  await scope.store.say({
    chatId: scope.utterance.chatId,
    ...(scope.utterance.threadId === null ? {} : { threadId: scope.utterance.threadId }),
    ...said,
    ...(replyTo === undefined ? {} : { replyTo }),
    // A log confirmed in a group makes no sound; what was asked for does.
    ...(outcome.kind === "logged" && outcome.alarms.length === 0 ? { silent: true } : {}),
    urgency: said.urgency ?? 1,
  });
}

const word = (scope: Scope, outcome: Outcome, deps: DeskDeps): Said | null =>
  wordOutcome(outcome, {
    manner: { units: scope.household.units, zone: scope.zone, now: deps.clock.now() },
    places: scope.places,
    plants: scope.plants,
    author: scope.author.name,
  });

async function pressed(
  press: ButtonPress,
  store: JournalStore,
  deps: DeskDeps,
): Promise<PressNotice | undefined> {
  const [verb = "", ...rest] = press.data.split(":");
  const argument = rest.join(":");
  const scope = await openScope(
    store,
    {
      chatId: press.chatId,
      threadId: press.threadId,
      messageId: null,
      text: argument,
      author: { userId: press.author.userId, name: press.author.name },
      addressed: true,
      isPrivate: press.isPrivate,
      at: press.at,
      replyTo: { messageId: press.messageId, fromBot: true },
    },
    deps.fallbackZone,
  );
  switch (verb) {
    case "undo": {
      const outcome = await undo(scope, await siblingsById(store, argument));
      await deps.onOutcome?.(outcome, scope);
      await say(scope, outcome, deps);
      return outcome.kind === "nothing_to_undo" ? { notice: "Already undone." } : undefined;
    }
    case "claim":
    case "well": {
      const outcome = await instruct(scope, [{ do: verb === "claim" ? "claim" : "all_well" }], true);
      await deps.onOutcome?.(outcome, scope);
      await say(scope, outcome, deps);
      return undefined;
    }
    case "say":
    case "why": {
      scope.utterance = { ...scope.utterance, text: verb === "why" ? "why?" : argument };
      const outcome = await converse(scope, deps.mind, {
        mayChangeSettings: (await press.author.settingsRight()) === "yes",
      });
      await deps.onOutcome?.(outcome, scope);
      await say(scope, outcome, deps);
      return undefined;
    }
    case "more": {
      const lines = scope.chat?.state.more;
      if (!Array.isArray(lines) || lines.length === 0) return { notice: "No more on that." };
      await store.say({ chatId: press.chatId, text: lines.join("\n"), urgency: 1 });
      return undefined;
    }
    default:
      return (
        (await deps.otherPress?.(press, scope)) ?? {
          notice: "That button is no longer known. Type it instead.",
        }
      );
  }
}

/** All entries that the same message or press left, given one of them. */
async function siblingsById(store: JournalStore, entryId: string): Promise<JournalEntry[]> {
  const entry = /^[0-9a-f-]{36}$/.test(entryId) ? await store.entry(entryId) : null;
  return entry ? siblingsOf(store, entry) : [];
}
