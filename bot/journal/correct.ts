import type { Entry, Interpretation } from "../language/interpretation.js";
import { alarmsOf } from "./alarms.js";
import { type Change, changed, leavesPlants, meantBy } from "./changed.js";
import { revertEffects } from "./effects.js";
import type { LoggedEntry, Outcome } from "./outcome.js";
import type { Id, Interpreted, JournalEntry } from "./ports.js";
import { record, recordEntry } from "./record.js";
import type { Scope } from "./scope.js";
import { targetOf } from "./target.js";

/** "no, that was Tuesday": replaces entries; the old ones stay, marked as replaced. */
export async function amend(scope: Scope, change: Change, interpretation: Interpretation): Promise<Outcome> {
  const target = await targetOf(scope);
  const before = meantBy(target.entries, change);
  if (before.length === 0) return { kind: "nothing_to_amend", gone: target.gone };
  const next = before.map((old) => ({ old, entry: changed(old.entry, change) }));
  // "not the aloes" of an entry on aloes only takes it back.
  if (next.every(({ entry }) => entry === null)) return undo(scope, before);
  const touched = before.filter((old) => !leavesPlants(old.entry, change));
  await revertEffects(scope, touched);
  const entries: LoggedEntry[] = [];
  for (const { old, entry } of next) {
    if (entry === null) {
      await scope.store.retract(old.id, { reason: "amend", by: scope.author.id });
      continue;
    }
    entries.push(
      await replace(scope, old, entry, {
        interpretation: { ...interpretation, press: `amend:${before[0]?.id ?? old.id}` },
        keepsEffects: !touched.includes(old),
        rawText: `${old.rawText}\n${scope.utterance.text}`,
      }),
    );
  }
  return { kind: "amended", before, entries, alarms: alarmsOf(scope, entries), back: false };
}

async function replace(
  scope: Scope,
  old: JournalEntry,
  entry: Entry,
  how: { interpretation: Interpreted; keepsEffects: boolean; rawText: string },
): Promise<LoggedEntry> {
  const { interpretation, keepsEffects, rawText } = how;
  const logged = await recordEntry(scope, entry, interpretation, { amends: old, keepsEffects, rawText });
  await scope.store.retract(old.id, { reason: "amend", by: scope.author.id, replacedBy: logged.entry.id });
  return logged;
}

/**
 * Takes entries back; they stay in the journal, marked as undone. Where an entry had replaced another, the change is
 * what is taken back: what stood before stands again, as a new entry.
 */
export async function undo(scope: Scope, entries: readonly JournalEntry[], gone = false): Promise<Outcome> {
  const undone = entries.filter(({ retracted }) => retracted === null);
  const [first] = undone;
  if (!first) return { kind: "nothing_to_undo", gone };
  await revertEffects(scope, undone);
  const restored: LoggedEntry[] = [];
  for (const entry of undone) {
    const former = await formerOf(scope, entry);
    const again: LoggedEntry[] = [];
    for (const old of former) again.push(await restore(scope, old, entry.id, first.id));
    const replacedBy = again[0]?.entry.id ?? null;
    await scope.store.retract(entry.id, { reason: "undo", by: scope.author.id, replacedBy });
    restored.push(...again);
  }
  if (restored.length > 0) {
    return {
      kind: "amended",
      before: undone,
      entries: restored,
      alarms: alarmsOf(scope, restored),
      back: true,
    };
  }
  const other = undone.find((entry) => entry.authorId !== null && entry.authorId !== scope.author.id);
  return { kind: "undone", entries: undone, byOther: other?.person ?? null };
}

/** What an entry had replaced by a correction. */
async function formerOf(scope: Scope, entry: JournalEntry): Promise<JournalEntry[]> {
  if (entry.amends === null) return [];
  const old = await scope.store.entry(entry.amends);
  return old?.retracted?.reason === "amend" ? [old] : [];
}

async function restore(scope: Scope, old: JournalEntry, instead: Id, together: Id): Promise<LoggedEntry> {
  const interpretation: Interpreted = {
    ...(old.interpretation ?? { kind: "log" }),
    press: `back:${together}`,
  };
  return recordEntry(scope, old.entry, interpretation, {
    amends: { ...old, id: instead },
    rawText: old.rawText,
  });
}

/** "undo": the author's latest entry, or what the message it answers confirmed or logged. */
export async function undoLatest(scope: Scope): Promise<Outcome> {
  const { entries, gone } = await targetOf(scope);
  return undo(scope, entries, gone);
}

/**
 * An edited message: what it says now replaces what it said before. Where it is no log any more, its entries
 * are taken back. Silent when nothing changed.
 */
export async function edited(scope: Scope, interpretation: Interpretation): Promise<Outcome> {
  const { chatId, messageId, text } = scope.utterance;
  if (messageId === null) return { kind: "silent" };
  const all = await scope.store.entries({ chatId, messageId, order: "written", retracted: true });
  const before = all.filter(({ retracted }) => retracted === null).reverse();
  const latest = before[0] ?? all[0];
  if (latest && saysSame(latest.rawText, text)) return { kind: "silent" };
  if (interpretation.kind !== "log") {
    return before.length === 0 ? { kind: "silent" } : takeBack(scope, before);
  }
  if (before.length === 0) return { kind: "logged", note: null, ...(await record(scope, interpretation)) };
  await revertEffects(scope, before);
  const entries: LoggedEntry[] = [];
  for (const [index, entry] of (interpretation.entries ?? []).entries()) {
    const old = before[index];
    entries.push(await recordEntry(scope, entry, interpretation, old ? { amends: old } : {}));
  }
  for (const [index, old] of before.entries()) {
    const replacedBy = entries[Math.min(index, entries.length - 1)]?.entry.id ?? null;
    await scope.store.retract(old.id, { reason: "amend", by: scope.author.id, replacedBy });
  }
  return { kind: "amended", before, entries, alarms: alarmsOf(scope, entries), back: false };
}

/** Whether an entry came of these words: alone, with a correction behind them, or as the answer to a question. */
const saysSame = (rawText: string, text: string): boolean =>
  rawText === text || rawText.startsWith(`${text}\n`) || rawText.endsWith(`\n${text}`);

/** The message that these entries came of says something else now: nothing of what it said before comes back. */
async function takeBack(scope: Scope, entries: readonly JournalEntry[]): Promise<Outcome> {
  await revertEffects(scope, entries);
  for (const { id } of entries) await scope.store.retract(id, { reason: "undo", by: scope.author.id });
  return { kind: "undone", entries: [...entries], byOther: null };
}
