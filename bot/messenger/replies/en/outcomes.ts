import type { Answer, Outcome } from "../../../journal/outcome.js";
import type { JournalEntry } from "../../../journal/ports.js";
import type { Missing } from "../../../language/interpretation.js";
import { answerLines } from "./answers.js";
import { AWAY_UNCLEAR, awayKept } from "./away.js";
import { choiceButtons, MORE, sayButton, WHY } from "./buttons.js";
import { calculateLines } from "./calculate.js";
import { careLines } from "./care.js";
import { dueWhy, morningSaid } from "./due.js";
import { actWord, capital, entryLine, subjectName } from "./entries.js";
import { day, list } from "./figures.js";
import { loggedSaid, undoneSaid } from "./logged.js";
import { plantsNamedLines } from "./plants.js";
import { keptLine, liftedLine } from "./rules.js";
import type { Said, Speaking } from "./said.js";
import { failedSetting, placesLine, removedLine, settingLine, short } from "./settings.js";
import { whyLines } from "./why.js";

export { ruleWords } from "./rules.js";
export type { Said, Speaking } from "./said.js";

/** Says an outcome; null is silence. */
export function wordOutcome(outcome: Outcome, speaking: Speaking): Said | null {
  const { manner, places } = speaking;
  switch (outcome.kind) {
    case "silent":
      return null;
    case "logged":
    case "amended":
      return loggedSaid(outcome, speaking);
    case "undone":
      return undoneSaid(outcome, speaking);
    case "nothing_to_undo":
      return { text: outcome.gone ? "Already undone." : NOTHING_TO_UNDO };
    case "nothing_to_amend":
      return { text: outcome.gone ? "That entry was undone already. Log it anew." : NOTHING_TO_AMEND };
    case "answer":
      return answerSaid(outcome.answer, speaking);
    case "set":
      return { text: settingLine(outcome, places) };
    case "set_failed":
      return failedSetting(outcome, manner);
    case "places":
      return { text: placesLine(outcome) };
    case "place_removed":
      return { text: removedLine(outcome, places) };
    case "plants_named":
      return { text: plantsNamedLines(outcome).join("\n") };
    case "rule_kept":
      return {
        text: keptLine(outcome.rule),
        why: [`Your words: “${outcome.rule.rawText}”, ${outcome.rule.saidBy}.`, OWN_RULES],
      };
    case "rule_lifted":
      return { text: liftedLine(outcome.rules) };
    case "reminder_kept":
      return { text: reminderLine(outcome, speaking) };
    case "snoozed":
      return { text: snoozedLine(outcome, speaking) };
    case "claimed":
      return {
        text:
          outcome.open > 0
            ? `${outcome.by.name} looks after it. I stop repeating; say “all well again” when it is.`
            : `Noted: ${outcome.by.name} does it.`,
      };
    case "all_well":
      return { text: outcome.open > 0 ? "All well again; the alarm is closed." : "Good. No alarm was open." };
    case "morning":
      return { text: morningSaid(outcome.what, outcome.by) };
    case "away":
      return awayKept(outcome.away, outcome.id, manner);
    case "away_unclear":
      return { text: AWAY_UNCLEAR };
    case "exported":
      return exportedSaid(outcome);
    case "unclear":
      return unclearSaid(outcome);
    case "not_understood":
      return {
        text: `I did not understand “${short(outcome.words)}”; the words are kept. What works: “watered the aloes”, “min 4 last night”, “what's due?”.`,
      };
    case "not_yet":
      return { text: `${capital(outcome.what.replaceAll("_", " "))}: not possible here yet.` };
    case "help":
      return { text: HELP.join("\n") };
  }
}

const OWN_RULES = "A rule of your own goes before the table's; “forget that” lifts it.";

type Of<K extends Outcome["kind"]> = Extract<Outcome, { kind: K }>;

const NOTHING_TO_UNDO =
  "Nothing of yours from the last two days to undo. For an older entry, answer its line with “undo”.";
const NOTHING_TO_AMEND =
  "No entry of yours that this would change. Answer its line, or log anew: “watered the aloes on Tuesday”.";

function answerSaid(answer: Answer, speaking: Speaking): Said {
  const { manner } = speaking;
  if (answer.about === "care") {
    const said = careLines(answer.answer, manner);
    const why = whyLines(answer.answer, manner);
    const buttons = [
      ...said.choices.slice(0, 3).map(({ label, words }) => sayButton(label, words)),
      ...(why.length > 0 ? [WHY] : []),
      ...(said.more.length > 0 ? [MORE] : []),
    ];
    return {
      text: said.lines.join("\n"),
      buttons: buttons.length > 0 ? [buttons] : [],
      about: { kind: "care" },
      more: said.more,
      why,
    };
  }
  if (answer.about === "calculated") {
    const { lines, why } = calculateLines(answer.result, manner);
    return {
      text: lines.join("\n"),
      ...(why.length > 0 ? { buttons: [[WHY]], why: [...why, ...readLines(answer.read, speaking)] } : {}),
      about: { kind: "calculated" },
    };
  }
  const { lines, more } = answerLines(answer, speaking);
  const why = answer.about === "due" ? answer.why.map((item) => dueWhy(item, answer.plan.date, manner)) : [];
  const buttons = [...(why.length > 0 ? [WHY] : []), ...(more.length > 0 ? [MORE] : [])];
  return {
    text: lines.join("\n"),
    ...(buttons.length > 0 ? { buttons: [buttons] } : {}),
    about: { kind: answer.about },
    ...(more.length > 0 ? { more } : {}),
    ...(answer.about === "due" ? { why } : {}),
  };
}

/** Which readings stood in for what was not said. */
const readLines = (read: readonly JournalEntry[], { manner, places, plants }: Speaking): string[] =>
  read.map((entry) => {
    const place = places.find(({ id }) => id === entry.placeId) ?? null;
    return `From the journal: ${entryLine(entry, place, plants, manner, null)}.`;
  });

function reminderLine({ text, person, at }: Of<"reminder_kept">, { manner }: Speaking): string {
  const today = manner.now.toZonedDateTimeISO(manner.zone).toPlainDate();
  const local = at.toZonedDateTimeISO(manner.zone);
  const time = local.toPlainTime().toString({ smallestUnit: "minute" });
  return `Reminder for ${person ?? "the group"}, ${day(local.toPlainDate(), today)}, ${time}: ${text.replace(/[.!]+$/, "")}.`;
}

function snoozedLine({ subjects, until }: Of<"snoozed">, { manner, plants }: Speaking): string {
  const today = manner.now.toZonedDateTimeISO(manner.zone).toPlainDate();
  const what =
    subjects.length === 0 ? "All tasks" : list(subjects.map((subject) => subjectName(subject, plants)));
  return `${capital(what)}: no reminders until ${day(until.toZonedDateTimeISO(manner.zone).toPlainDate(), today)}.`;
}

const exportedSaid = ({ file }: Of<"exported">): Said => ({
  text: "",
  file: {
    name: file.name,
    mime: file.mime,
    base64: Buffer.from(file.text, "utf8").toString("base64"),
    caption: `${file.entries} entries, also those undone or replaced.`,
  },
});

const ASK: Readonly<Record<Missing, string>> = {
  subject: "Which ones?",
  value: "How much was it?",
  unit: "In which unit?",
  place: "Which place?",
  time: "When was it?",
  act: "What was done to them?",
};

/** What was taken of the message, and the one thing that is missing. */
function unclearSaid({ missing, choices, interpretation }: Of<"unclear">): Said {
  const [first = "act"] = missing;
  const { act, subjects } = interpretation.partial ?? {};
  const taken =
    first === "act" && subjects
      ? `${capital(list(subjects.map((subject) => subjectName(subject))))}. `
      : act && act !== "reading"
        ? `${capital(actWord(act))}. `
        : "";
  return {
    text: `${taken}${ASK[first]}${choices.length > 0 ? " Or type it." : ""}`,
    buttons: choiceButtons(choices),
    about: { kind: "asked" },
  };
}

const HELP = [
  "Type what was done or seen: “watered the aloes”, “min 4 last night”, “12 of the 40 copiapoas are up”.",
  "Ask: “what's due?”, “when did we last feed the orchids?”, “does gasteria need water in winter?”.",
  "Put right: “undo”, “no, that was Tuesday”.",
  "Set up: “we are in Gdansk”, “we have a long house kept above 5”, “morning message at 7:30”.",
];
