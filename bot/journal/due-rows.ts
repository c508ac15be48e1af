import type { Id, JournalStore, NewReminder } from "./ports.js";

/** Sets a reminder of a kind, subject and local date, whether or not there was one before. @returns its id */
export async function putReminder(store: JournalStore, row: NewReminder): Promise<Id> {
  const added = await store.addReminder(row);
  const same = (await store.reminders({ kinds: [row.kind], sinceDate: row.localDate })).find(
    ({ subject, localDate }) => subject === row.subject && localDate === row.localDate,
  );
  if (!same) throw new Error(`a ${row.kind} reminder that was just set is not there`);
  if (!added) {
    const { dueAt, payload, chatId } = row;
    await store.updateReminder(same.id, { state: "waiting", dueAt, payload, chatId });
  }
  return same.id;
}
