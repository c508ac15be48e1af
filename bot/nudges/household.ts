import type { Temporal } from "temporal-polyfill";
import type { TaskTable } from "../horticulture/due/task-types.js";
import type { CareKnowledge } from "../horticulture/knowledge.js";
import type { Chat, Household, JournalStore } from "../journal/ports.js";
import type { Manner, NudgeVoice } from "./voice.js";

/** What every nudge is made from. */
export interface NudgeMind {
  knowledge: CareKnowledge;
  tasks: TaskTable;
  voice: NudgeVoice;
  /** Zone of a household that has told none. */
  fallbackZone: string;
}

/** A household as it is when one of its reminders falls due. */
export interface Here {
  store: JournalStore;
  household: Household;
  zone: string;
  now: Temporal.Instant;
  manner: Manner;
}

export async function householdAt(
  store: JournalStore,
  now: Temporal.Instant,
  fallbackZone: string,
): Promise<Here> {
  const household = await store.household();
  const zone = household.zone ?? fallbackZone;
  return { store, household, zone, now, manner: { units: household.units, zone, now } };
}

/** Chats that are spoken to unasked: the groups it is in; without one, the private chats. */
export function spokenTo(chats: readonly Chat[]): Chat[] {
  const active = chats.filter(({ active }) => active);
  const groups = active.filter(({ kind }) => kind !== "private");
  return groups.length > 0 ? groups : active;
}
