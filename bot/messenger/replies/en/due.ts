import type { Temporal } from "temporal-polyfill";
import type { TaskDue } from "../../../horticulture/due/task-types.js";
import type { WaterDue } from "../../../horticulture/due/types.js";
import type { MorningSheet } from "../../../journal/due-sheet.js";
import type { Answer } from "../../../journal/outcome.js";
import type { Button, Id } from "../../../journal/ports.js";
import type { MorningLine } from "../../../nudges/plan-types.js";
import type { ToldReminder, Worded } from "../../../nudges/voice.js";
import { waitsFor } from "./away.js";
import { interval } from "./care-words.js";
import { capital } from "./entries.js";
import { day, list, type Manner, shortDate, temperature } from "./figures.js";
import { lineName, morningLines } from "./morning.js";

/** What stands around a morning message: its buttons, what became of it, and reminders that people asked for. */

/** Labels of the buttons; typed as they stand, they do the same. */
export const LABELS = {
  all: "All done",
  one: "Done",
  each: "One by one",
  later: "Not today",
  take: "I take it",
} as const;

const LABEL_LENGTH = 32;
/** The messenger shows up to a hundred buttons; nobody reads that many. */
const BUTTONS_MOST = 24;

const short = (text: string): string =>
  text.length <= LABEL_LENGTH ? text : `${text.slice(0, LABEL_LENGTH - 1).trimEnd()}…`;

/** One item as its button shows it: "Haworthias, Long House". */
export function itemLabel(item: MorningLine | TaskDue): string {
  const place = item.place === null ? "" : `, ${item.place}`;
  if (!("kind" in item)) {
    const fed = item.act === "feed" ? "feed " : "";
    return capital(`${short(`${fed}${lineName(item)}`)}${place}`);
  }
  return capital(`${short(item.words)}${place}`);
}

export type SheetMode = "closed" | "open";

/** A morning message as it stands: what was said, what became of it, and what can be tapped now. */
export function sheetWords(id: Id, sheet: MorningSheet, mode: SheetMode = "closed"): Worded {
  const lines = [sheet.text, ...doneLines(sheet)];
  const left = sheet.items.some(({ done }) => done === null);
  if (left && sheet.takenBy) lines.push(`${sheet.takenBy} takes it today.`);
  if (left && sheet.putOffBy) lines.push(`Put off until tomorrow (${sheet.putOffBy}).`);
  return { text: lines.join("\n"), buttons: left && mode === "open" ? eachRows(id, sheet) : rows(id, sheet) };
}

function doneLines(sheet: MorningSheet): string[] {
  const people = [...new Set(sheet.items.flatMap(({ done }) => (done ? [done.by] : [])))];
  return people.map((person) => {
    const items = sheet.items.filter(({ done }) => done?.by === person);
    return `Done by ${person}: ${list(items.map(({ label }) => label))}.`;
  });
}

function rows(id: Id, sheet: MorningSheet): Button[][] {
  const left = sheet.items.filter(({ done }) => done === null);
  const together = left.filter(({ alone }) => !alone);
  const done: Button[] = [];
  if (together.length > 1) done.push({ label: LABELS.all, data: `m:all:${id}` });
  if (left.length === 1) {
    const index = sheet.items.findIndex((item) => item.done === null);
    done.push({ label: LABELS.one, data: `m:i${index}:${id}` });
  }
  if (left.length > 1) done.push({ label: LABELS.each, data: `m:each:${id}` });
  const who: Button[] = [];
  if (left.length > 0 && sheet.putOffBy === null) who.push({ label: LABELS.later, data: `m:later:${id}` });
  if (left.length > 0) who.push({ label: LABELS.take, data: `m:take:${id}` });
  if (left.length < sheet.items.length) who.push({ label: "Undo", data: `m:undo:${id}` });
  return [done, who].filter((row) => row.length > 0);
}

function eachRows(id: Id, sheet: MorningSheet): Button[][] {
  const each = sheet.items.flatMap(({ label, done }, index): Button[][] =>
    done ? [] : [[{ label, data: `m:i${index}:${id}` }]],
  );
  return [...each.slice(0, BUTTONS_MOST), [{ label: "Back", data: `m:back:${id}` }]];
}

/** A reminder somebody asked for, at its time; one that comes late says for when it was. */
export function toldWords(told: ToldReminder, id: Id, manner: Manner): Worded {
  const date = told.at.toZonedDateTimeISO(manner.zone).toPlainDate();
  const today = manner.now.toZonedDateTimeISO(manner.zone).toPlainDate();
  const was = date.equals(today) ? "" : `, was for ${day(date, today)}`;
  const who = told.person ?? "To all";
  const by = told.by === told.person ? "" : ` (asked by ${told.by}${was})`;
  return {
    text: `${who}: ${told.text}${by === "" && was !== "" ? ` (${was.slice(2)})` : by}.`,
    buttons: [[{ label: "Again tomorrow", data: `again:${id}` }]],
  };
}

/** Answers to presses, shown for a moment to who pressed. */
export const NOTICES = {
  gone: "That morning is too far back. Type what was done instead.",
  already: "That is logged already.",
  nothingLeft: "Nothing is left of it.",
  logged: (count: number) => `Logged: ${count} ${count === 1 ? "entry" : "entries"}.`,
  undone: (count: number) => `Taken back: ${count} ${count === 1 ? "entry" : "entries"}.`,
  nothingToUndo: "Nothing of it is logged.",
  notAllowed: "In a group of this size the administrators change settings.",
  tomorrow: "I say it again tomorrow.",
  awayGone: "That time is over or was cancelled.",
} as const;
/** What was typed in place of a tap. */
export function morningSaid(what: "taken" | "put_off" | "nothing_left", by: string): string {
  if (what === "taken") return `${by} takes today's tasks.`;
  if (what === "put_off") return `Put off until tomorrow (${by}). “What's due?” lists them at any time.`;
  return NOTICES.nothingLeft;
}

/** "what's due": what is open, what waits and why, or what comes next. */
export function dueLines(answer: Extract<Answer, { about: "due" }>, manner: Manner): string[] {
  const lines = morningLines(answer.plan, { manner });
  const today = answer.plan.date;
  const doable = answer.plan.places.length + answer.plan.tasks.length + answer.plan.ask.length > 0;
  if (!doable) {
    const where = answer.place === null ? "" : `, ${answer.place}`;
    const span = answer.until === null ? "today" : `until ${shortDate(answer.until, today)}`;
    lines.unshift(`Nothing due${where}, ${span}.`);
  }
  if (answer.next !== null && lines.length < LINES_MOST) {
    const { on, genera } = answer.next;
    const more = genera.length - NEXT_NAMED;
    const names = more > 1 ? `${genera.slice(0, NEXT_NAMED).join(", ")} and ${more} more` : list(genera);
    lines.push(`Next: ${names}, ${day(on, today)}.`);
  }
  return lines;
}
/** The window behind each item, for "why?". */
export function dueWhy(item: WaterDue, today: Temporal.PlainDate, manner: Pick<Manner, "units">): string {
  const { plant, last, lastBy, window, days, by, at, pulls, held, care } = item;
  const name = plant.tag ?? plant.name ?? [plant.genus, plant.species].filter(Boolean).join(" ");
  const date = (on: Temporal.PlainDate) => shortDate(on, today);
  const habit = pulls.find((pull) => pull.by === "habit");
  const parts = [
    last === null ? "no watering noted" : `last ${date(last)}${lastBy === null ? "" : ` (${lastBy})`}`,
    `${by} in ${at.season} ${interval(days)}`,
    `so from ${date(window[0])} to ${date(window[1])}, best ${date(item.dueOn)}`,
  ];
  if (habit?.by === "habit") parts.push(`you usually wait ${Math.round(habit.medianDays)} days`);
  if (held?.why === "cold") {
    const wants = temperature(held.wantsC, manner);
    parts.push(`waits: nights of ${temperature(held.coldestC, manner)}, moist roots want ${wants}`);
  } else if (held) parts.push(`waits: ${waitsFor(held.why)}`);
  const { basis, source } = care.rule;
  parts.push(basis === "published" && source ? `published (${source})` : basis);
  return `${name}${plant.place === null ? "" : `, ${plant.place}`}: ${parts.join("; ")}.`;
}
const LINES_MOST = 5;
const NEXT_NAMED = 4;
