import type { Entry, Instruction, Interpretation, Subject } from "../language/interpretation.js";
import { alarmsOf } from "./alarms.js";
import { revertEffects } from "./effects.js";
import type { LoggedEntry, Outcome } from "./outcome.js";
import type { JournalEntry } from "./ports.js";
import { latestOfAuthor, record, recordEntry } from "./record.js";
import type { Scope } from "./scope.js";

const sameSubject = (a: Subject, b: Subject): boolean =>
  a.tag?.toLowerCase() === b.tag?.toLowerCase() &&
  a.genus === b.genus &&
  (a.species === b.species || b.species === undefined) &&
  a.group === b.group &&
  a.all === b.all &&
  a.name === b.name;

type Change = Extract<Instruction, { do: "amend" }>["change"];

/** The entry as the correction leaves it. */
export function changed(entry: Entry, change: Change): Entry {
  const { addSubjects, removeSubjects, reading, value, pot, ...rest } = change;
  const next: Entry = { ...entry, ...rest };
  if (reading) next.reading = { ...(entry.reading ?? reading), ...reading };
  if (pot) next.pot = { ...entry.pot, ...pot };
  // "I meant 6" corrects the number that the entry has, whichever that is.
  if (value) {
    if (entry.reading) next.reading = { ...entry.reading, value: value.value, ...unitOf(value.unit) };
    else if (entry.amount && "value" in entry.amount) {
      next.amount = { ...entry.amount, value: value.value, ...unitOf(value.unit) };
    } else if (entry.act === "setpoint" || value.unit !== "1") next.value = value;
    else if (entry.count !== undefined) next.count = value.value;
    else if (entry.subjects?.[0]) {
      next.subjects = [{ ...entry.subjects[0], count: value.value }, ...entry.subjects.slice(1)];
    }
  }
  if (removeSubjects) {
    next.subjects = (next.subjects ?? []).filter(
      (subject) => !removeSubjects.some((removed) => sameSubject(subject, removed)),
    );
  }
  if (addSubjects) {
    const had = next.subjects ?? [];
    next.subjects = [
      ...had,
      ...addSubjects.filter((added) => !had.some((subject) => sameSubject(subject, added))),
    ];
  }
  return next;
}

const unitOf = (unit: string): { unit?: string } => (unit === "1" ? {} : { unit });

/** Whether a correction says something about this entry: a number corrects only entries that have one. */
function touches(entry: Entry, change: Change): boolean {
  if (change.reading && !entry.reading) return false;
  if (change.removeSubjects && !change.when) {
    return (entry.subjects ?? []).some((subject) =>
      change.removeSubjects?.some((removed) => sameSubject(subject, removed)),
    );
  }
  return true;
}

/** "no, that was Tuesday": replaces the author's latest entry or entries; the old ones stay, marked as replaced. */
export async function amend(
  scope: Scope,
  change: Change,
  interpretation: Interpretation,
  of?: JournalEntry[],
): Promise<Outcome> {
  const latest = of ?? (await latestOfAuthor(scope));
  const before = latest.filter((entry) => touches(entry.entry, change));
  if (before.length === 0) return { kind: "nothing_to_amend" };
  const entries: LoggedEntry[] = [];
  for (const old of before) {
    await revertEffects(scope, old.interpretation);
    const logged = await recordEntry(scope, changed(old.entry, change), interpretation, {
      amends: old.id,
      rawText: `${old.rawText}\n${scope.utterance.text}`,
    });
    await scope.store.retract(old.id, { reason: "amend", by: scope.author.id, replacedBy: logged.entry.id });
    entries.push(logged);
  }
  return { kind: "amended", before, entries, alarms: alarmsOf(scope, entries) };
}

/** Takes entries back; they stay in the journal, marked as undone. */
export async function undo(scope: Scope, entries: readonly JournalEntry[]): Promise<Outcome> {
  const undone: JournalEntry[] = [];
  for (const entry of entries) {
    if (await scope.store.retract(entry.id, { reason: "undo", by: scope.author.id })) {
      await revertEffects(scope, entry.interpretation);
      undone.push(entry);
    }
  }
  if (undone.length === 0) return { kind: "nothing_to_undo" };
  const other = undone.find((entry) => entry.authorId !== null && entry.authorId !== scope.author.id);
  return { kind: "undone", entries: undone, byOther: other?.person ?? null };
}

/** "undo": the author's latest entry, or, answering a message of the bot's, what that message confirmed. */
export async function undoLatest(scope: Scope): Promise<Outcome> {
  const reply = scope.utterance.replyTo;
  if (reply?.fromBot) {
    const said = await scope.store.saidIn(scope.utterance.chatId, reply.messageId);
    const ids = said?.entryIds ?? [];
    const entries = await Promise.all(ids.map((id) => scope.store.entry(id)));
    const found = entries.filter(
      (entry): entry is JournalEntry => entry !== null && entry.retracted === null,
    );
    if (found.length > 0) return undo(scope, found);
  }
  return undo(scope, await latestOfAuthor(scope));
}

/**
 * An edited message: what it says now replaces what it said before. Where it is no log any more, its entries
 * are taken back. Silent when nothing changed.
 */
export async function edited(scope: Scope, interpretation: Interpretation): Promise<Outcome> {
  const { chatId, messageId } = scope.utterance;
  if (messageId === null) return { kind: "silent" };
  const before = await scope.store.entries({ chatId, messageId, order: "written" });
  if (before.length > 0 && before[0]?.rawText === scope.utterance.text) return { kind: "silent" };
  if (interpretation.kind !== "log") {
    return before.length === 0 ? { kind: "silent" } : undo(scope, before);
  }
  if (before.length === 0) return { kind: "logged", note: null, ...(await record(scope, interpretation)) };
  for (const old of before) await revertEffects(scope, old.interpretation);
  const entries: LoggedEntry[] = [];
  for (const [index, entry] of (interpretation.entries ?? []).entries()) {
    const old = before[index];
    entries.push(await recordEntry(scope, entry, interpretation, old ? { amends: old.id } : {}));
  }
  for (const [index, old] of before.entries()) {
    const replacedBy = entries[index]?.entry.id ?? null;
    await scope.store.retract(old.id, { reason: "amend", by: scope.author.id, replacedBy });
  }
  return { kind: "amended", before, entries, alarms: alarmsOf(scope, entries) };
}
