import type { Temporal } from "temporal-polyfill";
import type { Clock } from "../../clock.js";
import { type ConverseOptions, converse, type Mind } from "../../journal/converse.js";
import { amend, undo } from "../../journal/correct.js";
import { instruct } from "../../journal/instruct.js";
import type { Outcome } from "../../journal/outcome.js";
import type { JournalStore } from "../../journal/ports.js";
import { openScope, type Scope, type Utterance } from "../../journal/scope.js";
import { type Target, targetOfButton } from "../../journal/target.js";
import { dangerWaitsUntil } from "../../nudges/quiet.js";
import type { ButtonPress, Desk, IncomingMessage, PressNotice } from "../desk.js";
import { cautionLine } from "../replies/en/entries.js";
import { type Said, wordOutcome } from "../replies/en/outcomes.js";
import type { Aftermath } from "./aftermath.js";
import { cautionFor } from "./cautions.js";

export interface DeskDeps {
  mind: Mind;
  clock: Clock;
  /** Zone while a household has told none. */
  fallbackZone: string;
  /** Presses of buttons that belong to others: the morning message, a cover sheet. True when it was theirs. */
  otherPress?: (press: ButtonPress, scope: Scope) => Promise<PressNotice | null>;
  /** Words that stand for such a button when typed; null when they mean nothing of the kind. */
  otherWords?: (scope: Scope) => Promise<Outcome | null>;
  /** What follows from an outcome, carried out in the same transaction, and what is said of it. */
  onOutcome?: (outcome: Outcome, scope: Scope) => Promise<Aftermath>;
}

/** The desk that the project ships: interprets, journals, words and says. */
export function createDesk(deps: DeskDeps): Desk {
  return {
    async message(message, store) {
      const text = textOf(message);
      if (text.trim() === "") return;
      // Somebody else's words are not this member's log.
      if (message.forwarded && !message.addressed) return;
      const scope = await openScope(store, utteranceOf(message, text), deps.fallbackZone, deps.mind.inGroup);
      const typed = message.edited ? null : await deps.otherWords?.(scope);
      const outcome = typed ?? (await converse(scope, deps.mind, await optionsOf(message)));
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
  const after = await deps.onOutcome?.(outcome, scope);
  const worded = word(scope, outcome, deps);
  if (!worded) return;
  const { more, why, ...said } = worded;
  const caution = await cautionFor(scope, outcome, deps.mind);
  const lines = [said.text, ...(after?.lines ?? []), caution ? cautionLine(caution) : ""].filter(
    (line) => line !== "",
  );
  // "Why?" is about what was said last, also where that needs no reasons; the answer to it keeps them.
  const asksWhy = outcome.kind === "answer" && outcome.answer.about === "why";
  if (scope.chat && !asksWhy) {
    scope.chat.state = { ...scope.chat.state, why: why ?? [], more: more ?? [] };
    await scope.store.updateChat(scope.utterance.chatId, { state: scope.chat.state });
  }
  const where = {
    chatId: scope.utterance.chatId,
    ...(scope.utterance.threadId === null ? {} : { threadId: scope.utterance.threadId }),
  };
  await scope.store.say({
    ...where,
    ...said,
    text: lines.join("\n"),
    ...(replyTo === undefined ? {} : { replyTo }),
    ...(isQuiet(scope, outcome, deps.clock.now()) ? { silent: true } : {}),
    urgency: said.urgency ?? 1,
  });
  for (const more of after?.further ?? []) await scope.store.say({ ...where, ...more, urgency: 1 });
}

/** A log confirmed in a group makes no sound; what was asked for does, and danger unless it may not wake people. */
function isQuiet(scope: Scope, outcome: Outcome, now: Temporal.Instant): boolean {
  if (outcome.kind !== "logged") return false;
  return outcome.alarms.length === 0 || dangerWaitsUntil(scope.household, scope.zone, now) !== null;
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
    deps.mind.inGroup,
  );
  switch (verb) {
    case "undo": {
      const { entries, gone } = await entriesOfButton(store, argument);
      const outcome = await undo(scope, entries, gone);
      if (outcome.kind === "nothing_to_undo") return { notice: "Already undone." };
      await say(scope, outcome, deps);
      return undefined;
    }
    case "failed": {
      // The heating off that the button is under was no switch.
      const outcome = await amend(scope, { cause: "failure" }, { kind: "instruct" });
      await say(scope, outcome, deps);
      return undefined;
    }
    case "claim":
    case "well": {
      const outcome = await instruct(scope, [{ do: verb === "claim" ? "claim" : "all_well" }], true);
      await say(scope, outcome, deps);
      return undefined;
    }
    case "say":
    case "why": {
      scope.utterance = { ...scope.utterance, text: verb === "why" ? "why?" : argument };
      const outcome = await converse(scope, deps.mind, {
        mayChangeSettings: (await press.author.settingsRight()) === "yes",
      });
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

/** The entries that the same message or press left, given the one that the button names. */
const entriesOfButton = (store: JournalStore, entryId: string): Promise<Target> =>
  /^[0-9a-f-]{36}$/.test(entryId)
    ? targetOfButton(store, entryId)
    : Promise.resolve({ entries: [], gone: true });
