import type { Entry, Interpretation, Subject } from "../language/interpretation.js";
import type { LoggedEntry } from "./outcome.js";
import type { Id, JournalStore, Reminder } from "./ports.js";
import { recordEntry } from "./record.js";
import type { Scope } from "./scope.js";

/** One thing a morning message asked for, and what became of it. */
export interface SheetItem {
  /** "Aloe, Long House": as its button shows it. */
  label: string;
  /** Written when it is done. */
  entry: Entry;
  /** What its being mentioned is remembered by. */
  keys: string[];
  /** Not among those that "all done" means: it has to be tapped by itself. */
  alone: boolean;
  done: { entryIds: Id[]; by: string } | null;
}

/** A morning message as it was sent; kept with its reminder, so that its buttons work for as long as that stands. */
export interface MorningSheet {
  date: string;
  text: string;
  items: SheetItem[];
  takenBy: string | null;
  putOffBy: string | null;
}

/** What has been said in the mornings before: by key, the date last mentioned and how often. */
export interface MorningMemory {
  mentions: Record<string, [on: string, times: number]>;
}

export interface SheetRef {
  id: Id;
  sheet: MorningSheet;
}

export function sheetOf(reminder: Reminder | undefined): SheetRef | null {
  const payload = reminder?.payload as { sheet?: MorningSheet } | null | undefined;
  return reminder && payload?.sheet ? { id: reminder.id, sheet: payload.sheet } : null;
}
export const sheetPayload = (sheet: MorningSheet): { sheet: MorningSheet } => ({ sheet });

export function memoryOf(reminder: Reminder | undefined): MorningMemory {
  const payload = reminder?.payload as { memory?: MorningMemory } | null | undefined;
  return payload?.memory ?? { mentions: {} };
}
export const memoryPayload = (memory: MorningMemory): { memory: MorningMemory } => ({ memory });

/** The sheet of a morning message, locked against a second press until the transaction ends; null if it is gone. */
export async function openSheet(store: JournalStore, id: Id): Promise<SheetRef | null> {
  const [known] = await store.reminders({ ids: [id], kinds: ["morning"] });
  if (!sheetOf(known)) return null;
  await store.updateReminder(id, { chatId: known?.chatId ?? null });
  const [locked] = await store.reminders({ ids: [id], kinds: ["morning"] });
  const ref = sheetOf(locked);
  return ref && { id, sheet: await withoutUndone(store, ref.sheet) };
}

/** The latest morning message that was sent on this local date or later. */
export async function latestSheet(store: JournalStore, sinceDate: string): Promise<SheetRef | null> {
  const sent = await store.reminders({ kinds: ["morning"], state: "done", sinceDate });
  const latest = sent
    .filter((reminder) => sheetOf(reminder))
    .sort((a, b) => b.localDate.localeCompare(a.localDate))[0];
  return latest ? openSheet(store, latest.id) : null;
}

/** What was taken back in the meantime is to be done again. */
async function withoutUndone(store: JournalStore, sheet: MorningSheet): Promise<MorningSheet> {
  const items: SheetItem[] = [];
  for (const item of sheet.items) {
    const entries = await Promise.all((item.done?.entryIds ?? []).map((id) => store.entry(id)));
    const stands = entries.some(
      (entry) => entry !== null && (entry.retracted === null || entry.retracted.reason === "amend"),
    );
    items.push(stands ? item : { ...item, done: null });
  }
  return { ...sheet, items };
}

const save = (store: JournalStore, ref: SheetRef): Promise<void> =>
  store.updateReminder(ref.id, { payload: sheetPayload(ref.sheet) });

/** Logs items as done by who presses, each once; `indices` null means all but those that stand alone. */
export async function doItems(
  scope: Scope,
  ref: SheetRef,
  indices: readonly number[] | null,
): Promise<LoggedEntry[]> {
  const logged: LoggedEntry[] = [];
  // All that one press wrote is taken back together.
  let press: string | null = null;
  for (const [index, item] of ref.sheet.items.entries()) {
    if (item.done || (indices === null ? item.alone : !indices.includes(index))) continue;
    press ??= `${ref.id}:${scope.author.id}:${ref.sheet.items.filter(({ done }) => done).length}`;
    const interpretation: Interpretation & { press: string } = {
      kind: "log",
      entries: [item.entry],
      press,
    };
    const written = await recordEntry(scope, item.entry, interpretation, { rawText: `${item.label}: done` });
    logged.push(written);
    item.done = { entryIds: [written.entry.id], by: scope.author.name };
  }
  if (logged.length > 0) await save(scope.store, ref);
  return logged;
}

/** Somebody says that the rest is theirs today. */
export async function takeSheet(scope: Scope, ref: SheetRef, who = scope.author.name): Promise<void> {
  ref.sheet.takenBy = who;
  await save(scope.store, ref);
}

/** Puts what is not done off until tomorrow, and lets it be mentioned then. @returns false when nothing was left */
export async function putOff(scope: Scope, ref: SheetRef): Promise<boolean> {
  const left = ref.sheet.items.filter((item) => item.done === null);
  if (left.length === 0) return false;
  const today = scope.utterance.at.toZonedDateTimeISO(scope.zone).toPlainDate();
  const until = today.add({ days: 1 }).toZonedDateTime(scope.zone).toInstant();
  await scope.store.addReminder({
    kind: "snooze",
    subject: ref.id,
    localDate: today.toString(),
    dueAt: until,
    chatId: scope.utterance.chatId,
    payload: {
      subjects: left.flatMap((item): Subject[] => item.entry.subjects ?? []),
      act: null,
      until: until.toString(),
      by: scope.author.name,
    },
  });
  ref.sheet.putOffBy = scope.author.name;
  await save(scope.store, ref);
  await forgetMentions(
    scope.store,
    left.flatMap((item) => item.keys),
  );
  return true;
}

async function forgetMentions(store: JournalStore, keys: readonly string[]): Promise<void> {
  const [next] = await store.reminders({ kinds: ["morning"], state: "waiting" });
  if (!next) return;
  const { mentions } = memoryOf(next);
  const kept = Object.fromEntries(Object.entries(mentions).filter(([key]) => !keys.includes(key)));
  await store.updateReminder(next.id, { payload: memoryPayload({ mentions: kept }) });
}
