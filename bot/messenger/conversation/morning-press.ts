import type { CareKnowledge } from "../../horticulture/knowledge.js";
import { awayTimes, cancelAway } from "../../journal/away.js";
import { undo } from "../../journal/correct.js";
import { putReminder } from "../../journal/due-rows.js";
import {
  doItems,
  latestSheet,
  openSheet,
  putOff,
  type SheetRef,
  takeSheet,
} from "../../journal/due-sheet.js";
import { instruct } from "../../journal/instruct.js";
import type { Outcome } from "../../journal/outcome.js";
import type { JournalEntry } from "../../journal/ports.js";
import type { Scope } from "../../journal/scope.js";
import { waitingDangers } from "../../nudges/danger.js";
import { mornings } from "../../nudges/schedule.js";
import type { ButtonPress, PressNotice } from "../desk.js";
import { staying } from "../replies/en/away.js";
import { wakes } from "../replies/en/danger.js";
import { LABELS, NOTICES, type SheetMode, sheetWords } from "../replies/en/due.js";
import { coverOf } from "./cover.js";

/** Presses of the buttons that stand under what was said unasked, and their labels typed as words. */

const ID = /^[0-9a-f-]{36}$/;

/** @returns null for buttons of others */
export function createMorningPress(knowledge: CareKnowledge) {
  return async (press: ButtonPress, scope: Scope): Promise<PressNotice | null> => {
    const [verb, what = "", id = ""] = press.data.split(":");
    switch (verb) {
      case "m":
        return ID.test(id) ? pressSheet(press, scope, what, id) : { notice: NOTICES.gone };
      case "wake":
        return pressWake(press, scope, what === "yes");
      case "away":
        return pressAway(press, scope, what, id, knowledge);
      case "again":
        return ID.test(what) ? againTomorrow(scope, what) : { notice: NOTICES.gone };
      default:
        return null;
    }
  };
}

async function pressSheet(press: ButtonPress, scope: Scope, what: string, id: string): Promise<PressNotice> {
  const ref = await openSheet(scope.store, id);
  if (!ref) return { notice: NOTICES.gone };
  const done = await doneBy(scope, ref, what);
  await scope.store.say({
    chatId: press.chatId,
    edit: press.messageId,
    ...sheetWords(id, ref.sheet, done.mode),
    about: { kind: `morning:${id}`, entryIds: entriesOf(ref) },
    urgency: 1,
  });
  return done.notice === undefined ? {} : { notice: done.notice };
}

const entriesOf = ({ sheet }: SheetRef): string[] => sheet.items.flatMap(({ done }) => done?.entryIds ?? []);

async function doneBy(
  scope: Scope,
  ref: SheetRef,
  what: string,
): Promise<{ mode: SheetMode; notice?: string }> {
  switch (what) {
    case "all": {
      const logged = await doItems(scope, ref, null);
      return {
        mode: "closed",
        notice: logged.length > 0 ? NOTICES.logged(logged.length) : NOTICES.already,
      };
    }
    case "each":
      return { mode: "open" };
    case "back":
      return { mode: "closed" };
    case "later":
      return (await putOff(scope, ref))
        ? { mode: "closed" }
        : { mode: "closed", notice: NOTICES.nothingLeft };
    case "take":
      await takeSheet(scope, ref);
      return { mode: "closed" };
    case "undo":
      return { mode: "closed", notice: await undoSheet(scope, ref) };
    default: {
      const index = /^i(\d{1,3})$/.exec(what)?.[1];
      if (index === undefined) return { mode: "closed", notice: NOTICES.gone };
      const several = ref.sheet.items.filter(({ done }) => done === null).length > 1;
      const logged = await doItems(scope, ref, [Number(index)]);
      return {
        mode: several ? "open" : "closed",
        notice: logged.length > 0 ? NOTICES.logged(logged.length) : NOTICES.already,
      };
    }
  }
}

/** Takes back what the latest press on the sheet wrote: all of one tap on "all done". */
async function undoSheet(scope: Scope, ref: SheetRef): Promise<string> {
  const entries: JournalEntry[] = [];
  for (const id of entriesOf(ref)) {
    const entry = await scope.store.entry(id);
    if (entry && entry.retracted === null) entries.push(entry);
  }
  const latest = entries.sort((a, b) => (a.id < b.id ? 1 : -1))[0];
  if (!latest) return NOTICES.nothingToUndo;
  const press = latest.interpretation?.press;
  const together = entries.filter((entry) => entry.interpretation?.press === press);
  const outcome = await undo(scope, together);
  if (outcome.kind !== "undone") return NOTICES.nothingToUndo;
  const undone = new Set(outcome.entries.map(({ id }) => id));
  for (const item of ref.sheet.items) {
    if (item.done?.entryIds.some((id) => undone.has(id))) item.done = null;
  }
  await scope.store.updateReminder(ref.id, { payload: { sheet: ref.sheet } });
  return NOTICES.undone(outcome.entries.length);
}

async function pressWake(press: ButtonPress, scope: Scope, yes: boolean): Promise<PressNotice> {
  if ((await press.author.settingsRight()) !== "yes") return { notice: NOTICES.notAllowed };
  await scope.store.updateHousehold({ dangerAtNight: yes });
  await scope.store.say({ chatId: press.chatId, edit: press.messageId, text: wakes(yes), urgency: 1 });
  return {};
}

async function pressAway(
  press: ButtonPress,
  scope: Scope,
  what: string,
  id: string,
  knowledge: CareKnowledge,
): Promise<PressNotice> {
  const { store, household, zone } = scope;
  const manner = { units: household.units, zone, now: press.at };
  if (what === "stay") {
    const away = ID.test(id) ? await cancelAway(store, id) : null;
    if (!away) return { notice: NOTICES.awayGone };
    await store.say({ chatId: press.chatId, text: staying(away, manner), urgency: 1 });
    return {};
  }
  const next = (await awayTimes(store))[0];
  if (!next) return { notice: NOTICES.awayGone };
  const { lines, file } = await coverOf(scope, next.away, knowledge, press.at);
  await store.say({ chatId: press.chatId, text: lines.join("\n"), urgency: 1 });
  await store.say({ chatId: press.chatId, text: "", file, urgency: 1, about: { kind: "cover" } });
  return {};
}

async function againTomorrow(scope: Scope, id: string): Promise<PressNotice> {
  const { store, household, zone, utterance } = scope;
  const [told] = await store.reminders({ ids: [id], kinds: ["told"] });
  const tomorrow = utterance.at.toZonedDateTimeISO(zone).toPlainDate().add({ days: 1 });
  const everyDay = { ...household, reminderDays: [1, 2, 3, 4, 5, 6, 7] };
  const next = [...mornings(everyDay, zone, utterance.at)].find(({ date }) => date.equals(tomorrow));
  if (!told || !next) return { notice: NOTICES.gone };
  await putReminder(store, {
    kind: "told",
    subject: told.subject,
    localDate: next.date.toString(),
    dueAt: next.at,
    chatId: told.chatId,
    payload: told.payload,
  });
  return { notice: NOTICES.tomorrow };
}

/** Older than this, "all done" in a group is talk about something else. */
const TYPED_WITHIN_HOURS = 12;

/**
 * The labels of a morning's or an alarm's buttons, typed as they stand: presses live two and a half minutes at the messenger, words
 * always. Unaddressed they count only on the day's own message.
 */
export async function typedMorning(scope: Scope): Promise<Outcome | null> {
  const typed = scope.utterance.text
    .trim()
    .toLowerCase()
    .replace(/[.!]+$/, "")
    .replaceAll("’", "'");
  const { store, utterance, zone } = scope;
  const answer = DANGER_TYPED.get(typed);
  if (answer !== undefined && (await waitingDangers(store)).length > 0) {
    return instruct(scope, [{ do: answer }], true);
  }
  const what = TYPED.get(typed) ?? (typed === ONE && (await repliesToMorning(scope)) ? "all" : undefined);
  if (what === undefined) return null;
  const since = utterance.at.subtract({ hours: TYPED_WITHIN_HOURS }).toZonedDateTimeISO(zone).toPlainDate();
  const ref = await latestSheet(store, since.toString());
  if (!ref) return null;
  const left = ref.sheet.items.some(({ done }) => done === null);
  if (!left) return utterance.addressed ? said("nothing_left", scope) : null;
  switch (what) {
    case "all": {
      const only = ref.sheet.items.flatMap(({ done }, index) => (done === null ? [index] : []));
      const entries = await doItems(scope, ref, only.length === 1 ? only : null);
      if (entries.length === 0) return said("nothing_left", scope);
      return { kind: "logged", entries, note: null, alarms: [] };
    }
    case "later":
      await putOff(scope, ref);
      return said("put_off", scope);
    case "take":
      await takeSheet(scope, ref);
      return said("taken", scope);
  }
}

const said = (what: "taken" | "put_off" | "nothing_left", scope: Scope): Outcome => ({
  kind: "morning",
  what,
  by: scope.author.name,
});

/** "Done" alone is said of too many things: it counts in an answer to the morning message. */
const ONE = LABELS.one.toLowerCase();
async function repliesToMorning({ store, utterance }: Scope): Promise<boolean> {
  const { replyTo, chatId } = utterance;
  if (!replyTo?.fromBot) return false;
  const about = await store.saidIn(chatId, replyTo.messageId);
  return about?.kind?.startsWith("morning:") ?? false;
}

/** The labels under an alarm, and how people say the same. */
const DANGER_TYPED = new Map<string, "claim" | "all_well">([
  ["i do", "claim"],
  ["i'll look", "claim"],
  ["i look", "claim"],
  ["it is fine again", "all_well"],
  ["it's fine again", "all_well"],
  ["all well again", "all_well"],
]);

const TYPED = new Map<string, "all" | "later" | "take">([
  [LABELS.all.toLowerCase(), "all"],
  [LABELS.later.toLowerCase(), "later"],
  [LABELS.take.toLowerCase(), "take"],
]);
