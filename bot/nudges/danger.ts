import { Temporal } from "temporal-polyfill";
import { nightsOf, outdoorColdOf } from "../journal/due-nights.js";
import type { Alarm, LoggedEntry, Outcome } from "../journal/outcome.js";
import type { Chat, Id, JournalStore, Reminder } from "../journal/ports.js";
import type { Scope } from "../journal/scope.js";
import { type DangerFacts, dangerFacts, dangerSubject, relieves } from "./danger-facts.js";
import { isStale, outdoorCold, repeatAfterMinutes } from "./plan-danger.js";
import { dangerWaitsUntil } from "./quiet.js";
import type { NudgeVoice, OpenDanger } from "./voice.js";

/** A danger somebody took is theirs; a worse reading of it opens it again. */
const WORSE_BY_K = 1;

interface DangerPayload {
  facts: DangerFacts;
  since: string;
  by: string | null;
  times: number;
  /** Who took it, or said that all is well: written by the journal. */
  claimed?: string;
  well?: string;
}
const payloadOf = (reminder: Reminder): DangerPayload => reminder.payload as DangerPayload;
export const openDanger = (reminder: Reminder): OpenDanger => {
  const { facts, by, since } = payloadOf(reminder);
  return { id: reminder.id, facts, by, since: Temporal.Instant.from(since) };
};

/** Opens a repeat for every alarm of what was just logged, and closes what the entries end. */
export async function followDangers(outcome: Outcome, scope: Scope): Promise<void> {
  if (outcome.kind !== "logged" && outcome.kind !== "amended" && outcome.kind !== "undone") return;
  const waiting = await waitingDangers(scope.store);
  if (outcome.kind === "undone") {
    await drop(scope.store, waiting, new Set(outcome.entries.map(({ id }) => id)));
    return;
  }
  if (outcome.kind === "amended") {
    await drop(scope.store, waiting, new Set(outcome.before.map(({ id }) => id)));
  }
  const ended = waiting.filter((reminder) =>
    outcome.entries.some((logged) => relieves(reliefOf(logged), payloadOf(reminder).facts)),
  );
  for (const reminder of ended) {
    if (outcome.alarms.some((alarm) => dangerSubject(dangerFacts(alarm)) === reminder.subject)) continue;
    await scope.store.updateReminder(reminder.id, {
      state: "done",
      payload: { ...payloadOf(reminder), well: scope.author.name },
    });
  }
  for (const alarm of outcome.alarms) {
    const entry = outcome.entries.find((logged) => logged.entry.id === alarm.entryId)?.entry;
    // What is told days later is history: it is answered, not cried out again.
    if (entry && isStale(entry.to, scope.utterance.at)) continue;
    await open(scope, alarm);
  }
}

/** Places that an outdoor reading just logged is colder than they are known to stand. */
export async function outdoorAlarms(scope: Scope, entries: readonly LoggedEntry[]): Promise<Alarm[]> {
  const { store, zone, utterance } = scope;
  const places = scope.places.filter(({ floorC, kind }) => floorC !== null && kind !== "outdoors");
  const cold = entries.flatMap(({ entry }) => {
    const valueC = outdoorColdOf(entry);
    return valueC === null || isStale(entry.to, utterance.at) ? [] : [{ valueC, entryId: entry.id }];
  });
  if (cold.length === 0 || places.length === 0) return [];
  const nights = await nightsOf(store, places, utterance.at, zone);
  return cold.flatMap(({ valueC, entryId }) =>
    places.flatMap((place): Alarm[] => {
      const cause = outdoorCold(valueC, nights.get(place.id) ?? [], place.floorC ?? 0);
      if (cause?.kind !== "outdoor_cold") return [];
      return [{ kind: "outdoor_cold", place, entryId, valueC, holdsDownToC: cause.holdsDownToC }];
    }),
  );
}

/** The dangers that what was just logged will end; to be said with it. */
export async function dangersEndedBy(
  store: JournalStore,
  entries: readonly LoggedEntry[],
): Promise<DangerFacts[]> {
  if (!entries.some(({ entry }) => ENDS.has(entry.act))) return [];
  const waiting = await waitingDangers(store);
  return waiting
    .map((reminder) => payloadOf(reminder).facts)
    .filter((facts) => entries.some((logged) => relieves(reliefOf(logged), facts)));
}
const ENDS = new Set<string>(["reading", "power_back", "heat_on"]);

export const waitingDangers = (store: JournalStore): Promise<Reminder[]> =>
  store.reminders({ kinds: ["danger_again"], state: "waiting" });

const reliefOf = ({ entry, place }: LoggedEntry) => ({ act: entry.act, place, reading: entry.reading });

async function drop(store: JournalStore, waiting: readonly Reminder[], entries: ReadonlySet<Id>) {
  for (const reminder of waiting) {
    if (entries.has(payloadOf(reminder).facts.entryId))
      await store.updateReminder(reminder.id, { state: "dropped" });
  }
}

async function open(scope: Scope, alarm: Alarm): Promise<void> {
  const { store, utterance } = scope;
  const facts = dangerFacts(alarm);
  const subject = dangerSubject(facts);
  const today = utterance.at.toZonedDateTimeISO(scope.zone).toPlainDate();
  const payload: DangerPayload = {
    facts,
    since: utterance.at.toString(),
    by: scope.author.name,
    times: 0,
  };
  const dueAt = utterance.at.add({ minutes: repeatAfterMinutes(0) ?? 0 });
  const known = (
    await store.reminders({ kinds: ["danger_again"], sinceDate: today.subtract({ days: 2 }).toString() })
  ).filter((reminder) => reminder.subject === subject);
  const waiting = known.find(({ state }) => state === "waiting");
  if (waiting) {
    const before = payloadOf(waiting);
    await store.updateReminder(waiting.id, {
      dueAt,
      payload: { ...payload, since: before.since, times: before.times },
    });
    return;
  }
  const taken = known.find(({ state, localDate }) => state === "done" && localDate === today.toString());
  if (taken && payloadOf(taken).claimed !== undefined && !worse(facts, payloadOf(taken).facts)) return;
  const localDate = today.toString();
  const added = await store.addReminder({
    kind: "danger_again",
    subject,
    localDate,
    dueAt,
    chatId: utterance.chatId,
    payload,
  });
  if (added) return;
  const same = known.find((reminder) => reminder.localDate === localDate);
  if (same) await store.updateReminder(same.id, { state: "waiting", dueAt, payload });
}

/** Colder by enough to be a new danger; a second power cut always is. */
function worse(now: DangerFacts, before: DangerFacts): boolean {
  if (now.kind === "under_floor" && before.kind === "under_floor")
    return now.valueC <= before.valueC - WORSE_BY_K;
  if (now.kind === "outdoor_cold" && before.kind === "outdoor_cold")
    return now.valueC <= before.valueC - WORSE_BY_K;
  return true;
}

/** Dangers that the morning has to mention: those that wait to be repeated, and those nobody ever took. */
export async function dangersToMention(store: JournalStore, now: Temporal.Instant): Promise<OpenDanger[]> {
  const since = now.subtract({ hours: 48 }).toString().slice(0, 10);
  const known = await store.reminders({ kinds: ["danger_again"], sinceDate: since });
  return known
    .filter((reminder) => {
      const { claimed, well, times } = payloadOf(reminder);
      if (reminder.state === "waiting") return true;
      return (
        reminder.state === "done" &&
        claimed === undefined &&
        well === undefined &&
        repeatAfterMinutes(times) === null
      );
    })
    .map(openDanger);
}

export interface RepeatParts {
  store: JournalStore;
  chats: readonly Chat[];
  household: Parameters<typeof dangerWaitsUntil>[0] & { units: "metric" | "imperial" };
  zone: string;
  now: Temporal.Instant;
  voice: NudgeVoice;
}

/** Tells the whole group again, all open dangers in one message, unless it is quiet now and may not be broken. */
export async function repeatDanger(parts: RepeatParts, reminder: Reminder): Promise<void> {
  const { store, chats, household, zone, now, voice } = parts;
  const waits = dangerWaitsUntil(household, zone, now);
  if (waits !== null) {
    await store.updateReminder(reminder.id, { dueAt: waits });
    return;
  }
  const together = (await waitingDangers(store)).filter(
    ({ id, dueAt }) => id === reminder.id || dueAt.epochMilliseconds <= now.epochMilliseconds + 5 * 60_000,
  );
  const manner = { units: household.units, zone, now };
  const open = together.map(openDanger);
  for (const chat of chats) {
    const said = voice.dangerAgain(open, chat.kind === "private" ? null : chat.title, manner);
    await store.say({ chatId: chat.chatId, ...said, urgency: 0, about: { kind: "alarm" } });
  }
  for (const waiting of together) {
    const payload = payloadOf(waiting);
    const times = payload.times + 1;
    const minutes = repeatAfterMinutes(times);
    if (minutes === null) {
      await store.updateReminder(waiting.id, { state: "done", payload: { ...payload, times } });
      continue;
    }
    await store.updateReminder(waiting.id, {
      dueAt: now.add({ minutes }),
      payload: { ...payload, times },
    });
  }
}
