import { Temporal } from "temporal-polyfill";
import type { Instruction, Subject } from "../language/interpretation.js";
import { goAway } from "./away.js";
import { latestSheet, takeSheet } from "./due-sheet.js";
import { EXPORT_FORMATS, exportJournal } from "./export.js";
import type { Outcome } from "./outcome.js";
import { namePlants } from "./plants.js";
import type { Scope } from "./scope.js";
import { addPlaces, changeSetting, removePlace } from "./settings.js";
import { instantsOf } from "./time.js";

/** Carries out what a message asks for. Several instructions of one message are of the same kind. */
export async function instruct(
  scope: Scope,
  instructions: readonly Instruction[],
  mayChangeSettings: boolean,
): Promise<Outcome> {
  const [first] = instructions;
  if (!first) return { kind: "silent" };
  if (CHANGES_SETTINGS.has(first.do) && !mayChangeSettings) {
    return { kind: "set_failed", setting: first.do, reason: "not_allowed", words: "" };
  }
  switch (first.do) {
    case "set":
      return changeSettings(scope, instructions);
    case "add_place":
      return addPlaces(
        scope,
        instructions.filter((instruction) => instruction.do === "add_place"),
      );
    case "add_plant":
      return namePlants(
        scope,
        instructions.filter((instruction) => instruction.do === "add_plant"),
      );
    case "remove_place":
      return removePlace(scope, first.place);
    case "rule": {
      const rule = await scope.store.addRule({
        rule: first.rule,
        saidBy: scope.author.name,
        saidAt: scope.utterance.at,
        rawText: scope.utterance.text,
      });
      return { kind: "rule_kept", rule };
    }
    case "forget":
      return forget(scope, first.subjects);
    case "remind":
      return remind(scope, first);
    case "help":
      return { kind: "help" };
    case "snooze":
      return snooze(scope, first);
    case "claim":
      return claim(scope, first.person);
    case "all_well":
      return { kind: "all_well", by: scope.author, ...(await answerDangers(scope, "well")) };
    case "away":
      return goAway(scope, first);
    case "export": {
      const format = EXPORT_FORMATS.find((known) => known === (first.format ?? "csv").toLowerCase());
      return { kind: "exported", file: await exportJournal(scope, format ?? "csv") };
    }
    default:
      return { kind: "not_yet", what: first.do };
  }
}

const CHANGES_SETTINGS = new Set<string>(["set", "add_place", "remove_place"]);

async function changeSettings(scope: Scope, instructions: readonly Instruction[]): Promise<Outcome> {
  let outcome: Outcome = { kind: "silent" };
  for (const instruction of instructions) {
    if (instruction.do !== "set") continue;
    outcome = await changeSetting(scope, instruction);
    if (outcome.kind === "set_failed") return outcome;
  }
  return outcome;
}

/** Lifts the group's own rules on the subjects, or the latest one when none is named. */
async function forget(scope: Scope, subjects: Subject[] | undefined): Promise<Outcome> {
  const rules = await scope.store.rules();
  const latest = [...rules].sort((a, b) => Temporal.Instant.compare(b.saidAt, a.saidAt))[0];
  const chosen = subjects
    ? rules.filter((kept) =>
        kept.rule.subjects.some((ruled) =>
          subjects.some(
            (subject) =>
              (subject.genus !== undefined && subject.genus === ruled.genus) ||
              (subject.group !== undefined && subject.group === ruled.group) ||
              (subject.tag !== undefined && subject.tag === ruled.tag),
          ),
        ),
      )
    : latest
      ? [latest]
      : [];
  for (const kept of chosen) await scope.store.liftRule(kept.id);
  return { kind: "rule_lifted", rules: chosen };
}

/** "remind Tomasz on Friday to test the heater": at the chat's own hour unless a time was said. */
async function remind(scope: Scope, instruction: Extract<Instruction, { do: "remind" }>): Promise<Outcome> {
  const at = dueInstant(scope, instruction.when);
  const text = instruction.text ?? scope.utterance.text;
  await scope.store.addReminder({
    kind: "told",
    subject: `${scope.utterance.chatId}:${scope.utterance.messageId ?? ""}`,
    localDate: at.toZonedDateTimeISO(scope.zone).toPlainDate().toString(),
    dueAt: at,
    chatId: scope.utterance.chatId,
    payload: { text, person: instruction.person ?? null, by: scope.author.name },
  });
  return { kind: "reminder_kept", text, person: instruction.person ?? null, at };
}

/** The first valid instant of what was said; without an hour, the household's morning hour of that day. */
function dueInstant(scope: Scope, when: Extract<Instruction, { do: "remind" }>["when"]): Temporal.Instant {
  const now = scope.utterance.at;
  const hour = Temporal.PlainTime.from(scope.household.reminderTime);
  if (!when) {
    const tomorrow = now.toZonedDateTimeISO(scope.zone).toPlainDate().add({ days: 1 });
    return tomorrow.toZonedDateTime({ timeZone: scope.zone, plainTime: hour }).toInstant();
  }
  const { from } = instantsOf(when, scope.zone);
  if (when.grain === "moment" || when.grain === "hour" || when.grain === "part" || when.grain === "night") {
    return Temporal.Instant.compare(from, now) < 0 ? now : from;
  }
  const date = from.toZonedDateTimeISO(scope.zone).toPlainDate();
  const morning = date.toZonedDateTime({ timeZone: scope.zone, plainTime: hour }).toInstant();
  return Temporal.Instant.compare(morning, now) < 0 ? now : morning;
}

/** "skip the lithops till March": their tasks rest until then. */
async function snooze(scope: Scope, instruction: Extract<Instruction, { do: "snooze" }>): Promise<Outcome> {
  const now = scope.utterance.at;
  const zoned = now.toZonedDateTimeISO(scope.zone);
  const span = instruction.when ? instantsOf(instruction.when, scope.zone) : null;
  const begun = span !== null && Temporal.Instant.compare(span.from, now) <= 0;
  // "till March" ends where March begins; "this week" and "for ten days" have begun and end where they end.
  const until = (begun ? span.to : span?.from) ?? zoned.add({ days: 1 }).startOfDay().toInstant();
  await scope.store.addReminder({
    kind: "snooze",
    subject: `${scope.utterance.chatId}:${scope.utterance.messageId ?? until.toString()}`,
    localDate: zoned.toPlainDate().toString(),
    dueAt: until,
    chatId: scope.utterance.chatId,
    payload: {
      subjects: instruction.subjects ?? [{ all: true }],
      act: instruction.act ?? null,
      until: until.toString(),
      by: scope.author.name,
    },
  });
  return { kind: "snoozed", subjects: instruction.subjects ?? [], until };
}

/** "I take it", "Tomasz does it": an open danger first, else what this morning asked for. */
async function claim(scope: Scope, person: string | undefined): Promise<Outcome> {
  const by = person === undefined ? scope.author : { ...scope.author, name: person };
  const { open } = await answerDangers(scope, "claimed", by.name);
  if (open > 0) return { kind: "claimed", by, open };
  const today = scope.utterance.at.toZonedDateTimeISO(scope.zone).toPlainDate().toString();
  const morning = await latestSheet(scope.store, today);
  if (!morning?.sheet.items.some(({ done }) => done === null)) return { kind: "claimed", by, open };
  await takeSheet(scope, morning, by.name);
  return { kind: "morning", what: "taken", by: by.name };
}

/** Closes the open dangers of this chat's household: somebody looks, or all is well again. */
async function answerDangers(
  scope: Scope,
  how: "claimed" | "well",
  who = scope.author.name,
): Promise<{ open: number }> {
  const waiting = await scope.store.reminders({ kinds: ["danger", "danger_again"], state: "waiting" });
  for (const reminder of waiting) {
    const payload = reminder.payload as Record<string, unknown>;
    await scope.store.updateReminder(reminder.id, {
      state: "done",
      payload: { ...payload, [how]: who },
    });
  }
  return { open: waiting.length };
}
