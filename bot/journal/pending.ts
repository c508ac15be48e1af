import type { Entry, Missing } from "../language/interpretation.js";
import type { Outcome } from "./outcome.js";
import type { Scope } from "./scope.js";

/** What was asked back about an unclear message. */
export interface PendingQuestion {
  missing: Missing[];
  partial: Partial<Entry>;
}
export interface PendingState extends PendingQuestion {
  authorId: string;
  at: string;
  text: string;
}

/** A question asked back is forgotten after this: what comes later is a message of its own. */
const PENDING_MINUTES = 15;
const RECENT_GENERA = 6;

/** What was asked back of this author in this chat, while it is fresh. */
export function pendingOf(scope: Scope): PendingState | null {
  const pending = scope.chat?.state.pending as PendingState | undefined;
  if (!pending || pending.authorId !== scope.author.id) return null;
  const age = scope.utterance.at.epochMilliseconds - Date.parse(pending.at);
  return age >= 0 && age <= PENDING_MINUTES * 60_000 ? pending : null;
}

/** Keeps where the conversation stands: what was asked back, genera just named. */
export async function remember(scope: Scope, outcome: Outcome): Promise<Outcome> {
  if (!scope.chat) return outcome;
  const before = scope.chat.state;
  const state = { ...before };
  if (outcome.kind === "unclear") {
    state.pending = {
      missing: outcome.missing,
      partial: outcome.interpretation.partial ?? {},
      authorId: scope.author.id,
      at: scope.utterance.at.toString(),
      text: scope.utterance.text,
    } satisfies PendingState;
  } else if (pendingOf(scope) && outcome.kind !== "silent") {
    delete state.pending;
  }
  const genera = generaOf(outcome);
  if (genera.length > 0) {
    state.recentGenera = [...new Set([...genera, ...(before.recentGenera ?? [])])].slice(0, RECENT_GENERA);
  }
  if (JSON.stringify(state) !== JSON.stringify(before)) {
    await scope.store.updateChat(scope.utterance.chatId, { state });
    scope.chat.state = state;
  }
  return outcome;
}

function generaOf(outcome: Outcome): string[] {
  if (outcome.kind !== "logged" && outcome.kind !== "amended") return [];
  return outcome.entries.flatMap(({ entry }) =>
    (entry.entry.subjects ?? []).flatMap(({ genus }) => (genus ? [genus] : [])),
  );
}
