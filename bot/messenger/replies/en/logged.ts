import type { LoggedEntry, Outcome } from "../../../journal/outcome.js";
import type { Button, Place } from "../../../journal/ports.js";
import { advice, alarmLine, WHO_LOOKS } from "./alarms.js";
import { MORE, undoButton } from "./buttons.js";
import { entryLine, loggedLine } from "./entries.js";
import { fold, LINES } from "./fold.js";
import { unheardLine } from "./plants.js";
import type { Said, Speaking } from "./said.js";
import { whyLogged } from "./why.js";

type Logged = Extract<Outcome, { kind: "logged" | "amended" }>;

/** Confirms what was logged or changed: a line for each entry, or the alarm that it raises. */
export function loggedSaid(outcome: Logged, speaking: Speaking): Said | null {
  const [first] = outcome.entries;
  if (!first) return null;
  if (outcome.alarms.length > 0) return alarmSaid(outcome, first.entry.id, speaking);
  const { lines, more } = fold(
    outcome.entries.map((entry) => line(entry, speaking)),
    "more entries",
  );
  const doubt = outcome.entries.find(({ mayHaveFailed }) => mayHaveFailed);
  if (doubt) lines.push("Switched off, or has it failed?");
  const unheard = [...new Set(outcome.entries.flatMap(({ newTags = [] }) => newTags))];
  if (unheard.length > 0) lines.push(unheardLine(unheard));
  const buttons: Button[] = [
    ...(doubt ? [{ label: "It failed", data: `failed:${doubt.entry.id}` }] : []),
    undoButton(first.entry.id),
    ...(more.length > 0 ? [MORE] : []),
  ];
  return {
    text: `${before(outcome)}${lines.join("\n")}`,
    buttons: [buttons],
    about: aboutOf(outcome, outcome.kind),
    why: whyLogged(outcome.entries),
    ...(more.length > 0 ? { more } : {}),
  };
}

const before = (outcome: Logged): string =>
  outcome.kind === "logged" ? "" : outcome.back ? "Changed back: " : "Changed: ";

const line = (entry: LoggedEntry, { plants, manner, author }: Speaking): string =>
  loggedLine(entry, plants, manner, author);

const aboutOf = (outcome: Logged, kind: string): Said["about"] => ({
  entryIds: outcome.entries.map(({ entry }) => entry.id),
  kind,
});

/** What is wrong, by how much, and what to look at first; what else was logged if there is room. */
function alarmSaid(outcome: Logged, firstId: string, speaking: Speaking): Said {
  const { alarms, entries } = outcome;
  const wrong = alarms.map((alarm) =>
    alarmLine(alarm, entries.find(({ entry }) => entry.id === alarm.entryId)?.entry, speaking.manner),
  );
  const tips = [...new Set(alarms.map(advice))];
  const alarmed = new Set(alarms.map(({ entryId }) => entryId));
  const others = entries.filter(({ entry }) => !alarmed.has(entry.id)).map((entry) => line(entry, speaking));
  const room = LINES - 2;
  const { lines: shown } = fold([wrong.join(" "), ...others], "more entries", room);
  return {
    text: [...shown, tips.join(" "), WHO_LOOKS].join("\n"),
    buttons: [
      [
        { label: "I do", data: `claim:${firstId}` },
        { label: "It is fine again", data: `well:${firstId}` },
        undoButton(firstId),
      ],
    ],
    about: aboutOf(outcome, "alarm"),
    urgency: 0,
  };
}

export function undoneSaid(outcome: Extract<Outcome, { kind: "undone" }>, speaking: Speaking): Said {
  const { places, plants, manner, author } = speaking;
  const placeOf = (id: string | null): Place | null => places.find((place) => place.id === id) ?? null;
  const whose = outcome.byOther ? ` (${outcome.byOther}'s)` : "";
  const lines = outcome.entries.map(
    (entry) => `Undone${whose}: ${entryLine(entry, placeOf(entry.placeId), plants, manner, author)}.`,
  );
  return { text: fold(lines, "more entries").lines.join("\n") };
}
