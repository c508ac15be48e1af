import type { Choice, Outcome } from "../../../journal/outcome.js";
import type { Button, Household, HouseholdRule, Outgoing, Place, Plant } from "../../../journal/ports.js";
import type { Missing } from "../../../language/interpretation.js";
import { alarmLines, WHO_LOOKS } from "./alarms.js";
import { answerLines } from "./answers.js";
import { AWAY_UNCLEAR, awayKept } from "./away.js";
import { careLines } from "./care.js";
import { dueWhy, morningSaid } from "./due.js";
import { capital, entryLine, loggedLine, subjectName } from "./entries.js";
import { DAY_NAMES, day, list, type Manner, quantity } from "./figures.js";
import { whyLines, whyLogged } from "./why.js";

/** What the wording needs to know of the surroundings. */
export interface Speaking {
  manner: Manner;
  places: readonly Place[];
  plants: readonly Plant[];
  author: string;
}
export interface Said extends Pick<Outgoing, "text" | "buttons" | "about" | "urgency" | "file"> {
  /** Lines behind the button, and the chain that "why?" shows; kept with the chat. */
  more?: string[];
  why?: string[];
}

const LINES = 4;

/** At most four lines; how many more there are is said. */
const few = (lines: readonly string[]): string[] =>
  lines.length <= LINES
    ? [...lines]
    : [...lines.slice(0, LINES - 1), `And ${lines.length - LINES + 1} more entries.`];

const undoButton = (entryId: string): Button => ({ label: "Undo", data: `undo:${entryId}` });

/** Says an outcome; null is silence. */
export function wordOutcome(outcome: Outcome, speaking: Speaking): Said | null {
  const { manner, plants, places, author } = speaking;
  switch (outcome.kind) {
    case "silent":
      return null;
    case "logged":
    case "amended": {
      const lines = few(outcome.entries.map((entry) => loggedLine(entry, plants, manner, author)));
      const ids = outcome.entries.map((logged) => logged.entry.id);
      const first = ids[0];
      if (first === undefined) return null;
      const about = { entryIds: ids, kind: outcome.kind };
      if (outcome.alarms.length > 0) {
        const alarms = outcome.alarms.flatMap((alarm) =>
          alarmLines(
            alarm,
            outcome.entries.find((logged) => logged.entry.id === alarm.entryId)?.entry,
            manner,
          ),
        );
        const alarmed = new Set(outcome.alarms.map((alarm) => alarm.entryId));
        const others = outcome.entries
          .filter((logged) => !alarmed.has(logged.entry.id))
          .map((logged) => loggedLine(logged, plants, manner, author));
        return {
          text: [...alarms, ...others, WHO_LOOKS].join("\n"),
          buttons: [
            [
              { label: "I do", data: `claim:${first}` },
              { label: "It is fine again", data: `well:${first}` },
              undoButton(first),
            ],
          ],
          about: { ...about, kind: "alarm" },
          urgency: 0,
        };
      }
      const changed = outcome.kind === "amended" ? "Changed: " : "";
      return {
        text: `${changed}${lines.join("\n")}`,
        buttons: [[undoButton(first)]],
        about,
        why: whyLogged(outcome.entries),
      };
    }
    case "undone": {
      const what = outcome.entries.map((entry) => {
        const place = places.find((candidate) => candidate.id === entry.placeId) ?? null;
        return entryLine(entry, place, plants, manner, author);
      });
      const whose = outcome.byOther ? ` (${outcome.byOther}'s)` : "";
      return { text: few(what.map((line) => `Undone${whose}: ${line}.`)).join("\n") };
    }
    case "nothing_to_undo":
      return { text: "Nothing of yours here to undo." };
    case "nothing_to_amend":
      return {
        text: "No entry of yours here that this would change. To log anew: “watered the aloes on Tuesday”.",
      };
    case "answer": {
      if (outcome.answer.about === "care") {
        const { answer } = outcome.answer;
        const said = careLines(answer, manner);
        const why = whyLines(answer, manner);
        const buttons = choiceButtons(said.choices).flat();
        if (why.length > 0) buttons.push({ label: "Why", data: "why" });
        if (said.more.length > 0) buttons.push({ label: "More", data: "more" });
        return {
          text: said.lines.join("\n"),
          buttons: buttons.length > 0 ? [buttons] : [],
          about: { kind: "care" },
          more: said.more,
          why,
        };
      }
      const text = answerLines(outcome.answer, places, plants, manner).join("\n");
      if (outcome.answer.about !== "due") return { text };
      const { why, plan } = outcome.answer;
      return {
        text,
        buttons: why.length > 0 ? [[{ label: "Why", data: "why" }]] : [],
        about: { kind: "due" },
        why: why.map((item) => dueWhy(item, plan.date, manner)),
      };
    }
    case "set":
      return { text: settingLine(outcome.instruction.setting, outcome.household, outcome.place, speaking) };
    case "set_failed":
      return { text: failedLine(outcome) };
    case "places": {
      const said = [...outcome.added, ...outcome.changed].map(
        (place) =>
          `${place.name}${place.floor ? `, kept above ${quantity(place.floor)}` : ""}${place.isDefault ? " (meant when no place is said)" : ""}`,
      );
      return { text: `${outcome.added.length > 0 ? "Places" : "Changed"}: ${list(said)}.` };
    }
    case "place_removed":
      return {
        text: outcome.place
          ? `${outcome.place.name} is no longer a place here. Its entries stay in the journal.`
          : `No place called “${outcome.words}”. ${knownPlaces(places)}`,
      };
    case "rule_kept":
      return { text: `Kept as your own rule: ${ruleWords(outcome.rule)}. It goes before the book's.` };
    case "rule_lifted":
      return {
        text:
          outcome.rules.length === 0
            ? "No rule of your own on that to forget."
            : `Forgotten: ${list(outcome.rules.map(ruleWords))}. The book's rule counts again.`,
      };
    case "reminder_kept": {
      const today = manner.now.toZonedDateTimeISO(manner.zone).toPlainDate();
      const at = outcome.at.toZonedDateTimeISO(manner.zone);
      const who = outcome.person ?? "the group";
      return {
        text: `I remind ${who}: ${outcome.text}, ${day(at.toPlainDate(), today)} at ${at.toPlainTime().toString({ smallestUnit: "minute" })}.`,
      };
    }
    case "snoozed": {
      const today = manner.now.toZonedDateTimeISO(manner.zone).toPlainDate();
      const what =
        outcome.subjects.length === 0
          ? "All tasks"
          : list(outcome.subjects.map((s) => subjectName(s, plants)));
      const until = outcome.until.toZonedDateTimeISO(manner.zone).toPlainDate();
      return { text: `${capital(what)}: no reminders until ${day(until, today)}.` };
    }
    case "claimed":
      return {
        text:
          outcome.open > 0
            ? `${outcome.by.name} looks after it. I stop repeating; say “all well again” when it is.`
            : `Noted: ${outcome.by.name} does it.`,
      };
    case "all_well":
      return {
        text: outcome.open > 0 ? "All well again; the alarm is closed." : "Good. No alarm was open.",
      };
    case "morning":
      return { text: morningSaid(outcome.what, outcome.by) };
    case "away":
      return awayKept(outcome.away, outcome.id, manner);
    case "away_unclear":
      return { text: AWAY_UNCLEAR };
    case "exported": {
      const { file } = outcome;
      return {
        text: "",
        file: {
          name: file.name,
          mime: file.mime,
          base64: Buffer.from(file.text, "utf8").toString("base64"),
          caption: `${file.entries} entries, also those undone or replaced.`,
        },
      };
    }
    case "unclear":
      return {
        text: `${ASK[outcome.missing[0] ?? "act"]}${outcome.choices.length > 0 ? " Or type it." : ""}`,
        buttons: choiceButtons(outcome.choices),
        about: { kind: "asked" },
      };
    case "not_understood":
      return {
        text: `I did not understand “${short(outcome.words)}”; the words are kept. What works: “watered the aloes”, “min 4 last night”, “what's due?”.`,
      };
    case "not_yet":
      return { text: `${capital(outcome.what)}: that is not built yet.` };
    case "help":
      return { text: HELP.join("\n") };
  }
}

const short = (words: string): string => (words.length > 60 ? `${words.slice(0, 57)}…` : words);

const ASK: Readonly<Record<Missing, string>> = {
  subject: "Which ones?",
  value: "How much was it?",
  unit: "In which unit?",
  place: "Which place?",
  time: "When was it?",
  act: "What was done to them?",
};

const choiceButtons = (choices: readonly Choice[]): Button[][] =>
  choices.length === 0
    ? []
    : [choices.slice(0, 3).map(({ label, words }) => ({ label, data: fitted(`say:${words}`) }))];

/** Button data holds 64 bytes at most. */
const fitted = (data: string): string => {
  let text = data;
  while (new TextEncoder().encode(text).length > 64) text = text.slice(0, -1);
  return text;
};

const knownPlaces = (places: readonly Place[]): string =>
  places.length === 0
    ? "To add one: “we have a long house kept above 5”."
    : `Known: ${list(places.map((place) => place.name))}.`;

function settingLine(
  setting: string,
  household: Household,
  place: Place | null,
  { manner, places }: Speaking,
): string {
  switch (setting) {
    case "floor":
      return `${place?.name ?? "Place"}: kept above ${place?.floor ? quantity(place.floor) : "?"} from now on.`;
    case "location":
      return `Glasshouse at ${household.location}, zone ${household.zone}, ${household.hemisphere}ern hemisphere.${places.length === 0 ? " Next: “we have a long house kept above 5”." : ""}`;
    case "zone":
      return `Times are ${household.zone} from now on.`;
    case "units":
      return household.units === "metric" ? "Metric units: °C, cm, ml." : "US units: °F, inches, fl oz.";
    case "reminder_time":
      return `Morning message at ${household.reminderTime}, when there is something due.`;
    case "reminder_days":
      return `Morning message on ${household.reminderDays.length === 7 ? "every day" : list(household.reminderDays.map((d) => DAY_NAMES[d - 1] ?? ""))}, when there is something due.`;
    case "quiet_hours":
      return household.quietHours
        ? `Quiet from ${household.quietHours.from} to ${household.quietHours.to}.`
        : "No quiet hours.";
    case "danger_at_night":
      return household.dangerAtNight
        ? "Danger to plants is told at once, also in quiet hours."
        : "Danger to plants waits for the end of quiet hours.";
    case "reminders":
    case "task_month":
      return `Changed: ${taskWords(household, manner)}.`;
    case "language":
      return `Language: ${household.locale}.`;
    default:
      return "Changed.";
  }
}

const taskWords = (household: Household, _manner: Manner): string =>
  list(
    Object.entries(household.tasks).map(([task, { off, month }]) => {
      const name = task.replaceAll("_", " ");
      if (off) return `no reminders of ${name}`;
      return month ? `${name} in month ${month}` : `reminders of ${name}`;
    }),
  );

function failedLine(outcome: Extract<Outcome, { kind: "set_failed" }>): string {
  if (outcome.reason === "not_allowed") {
    return "In a group of this size the administrators change settings. Anyone may log.";
  }
  if (outcome.reason === "unknown_place")
    return "Which place? For example: “the floor in the long house is 5”.";
  const example: Readonly<Record<string, string>> = {
    location: "“we are in Gdansk” or “we are at 54.4 N, 18.6 E”",
    zone: "“our zone is Europe/Warsaw”",
    reminder_time: "“morning message at 7:30”",
    quiet_hours: "“quiet from 21:00 to 7:00”",
    units: "“use fahrenheit”",
  };
  return `I could not read “${short(outcome.words)}”. What works: ${example[outcome.setting] ?? "“set the floor to 5”"}.`;
}

export function ruleWords(kept: HouseholdRule): string {
  const { rule } = kept;
  const what = list(rule.subjects.map((subject) => subjectName(subject)));
  const season = rule.season ? ` in ${rule.season}` : "";
  const parts: string[] = [];
  if (rule.never) parts.push(`never ${rule.never}`);
  if (rule.everyDays) {
    const { from, to } = rule.everyDays;
    parts.push(`water every ${from === to ? from : `${from} to ${to}`} days`);
  }
  if (rule.least) parts.push(`kept above ${quantity(rule.least)}`);
  return `${what}${season}: ${list(parts)} (${kept.saidBy})`;
}

const HELP = [
  "Type what was done or seen: “watered the aloes”, “min 4 last night”, “12 of the 40 copiapoas are up”.",
  "Ask: “what's due?”, “when did we last feed the orchids?”, “does gasteria need water in winter?”.",
  "Put right: “undo”, “no, that was Tuesday”.",
  "Set up: “we are in Gdansk”, “we have a long house kept above 5”, “morning message at 7:30”.",
];
