import { Classes, classesOf, PLANT } from "../classes.js";
import type { Interpretation } from "../interpretation.js";
import { type Item, is, says, value } from "../item.js";
import { amend } from "./instruct/amend.js";
import { away } from "./instruct/away.js";
import { addPlace, removePlace, setUp } from "./instruct/places.js";
import { addPlants } from "./instruct/plants.js";
import { remind } from "./instruct/remind.js";
import { ownRule, reminderSwitch } from "./instruct/rules.js";
import {
  dangerAtNight,
  floor,
  language,
  location,
  quietHours,
  reminderTime,
  units,
  zone,
} from "./instruct/settings.js";
import {
  allWell,
  chart,
  claim,
  exportJournal,
  forget,
  help,
  importList,
  snooze,
  undo,
} from "./instruct/short.js";
import { type InstructionRule, viewInstruction } from "./instruct/view.js";
import type { MessageView } from "./view.js";

/**
 * In this order: what takes a whole short message, then what needs a certain word, then what is looser;
 * a rule that finds nothing without certain classes names them.
 */
const RULES: readonly (readonly [name: string, rule: InstructionRule, needs?: Classes])[] = [
  ["undo", undo, Classes.named("order", "undoverb")],
  ["help", help, Classes.named("order")],
  ["add plants", addPlants, Classes.named(PLANT)],
  ["amend", amend],
  ["quiet hours", quietHours, Classes.named("setting")],
  ["danger at night", dangerAtNight, Classes.named("setting")],
  ["reminder switch", reminderSwitch],
  ["reminder time", reminderTime, Classes.named("setting", "remind", "reminderword")],
  ["snooze", snooze, Classes.named("order", "remindswitch", "act base", "negation", "leaveword", "setting")],
  ["remind", remind, Classes.named("remind", "plan", "member")],
  ["claim", claim],
  ["all well", allWell, Classes.named("order")],
  ["export", exportJournal, Classes.named("order", "format")],
  ["import", importList, Classes.named("order")],
  ["chart", chart, Classes.named("order")],
  ["forget", forget, Classes.named("order", "erase")],
  ["add place", addPlace, Classes.named("order", "calledword")],
  ["remove place", removePlace, Classes.named("order")],
  ["floor", floor, Classes.named("setting", "hold")],
  ["zone", zone],
  ["units", units, Classes.named("unitsystem")],
  ["language", language, Classes.named("languagename")],
  ["set up", setUp, Classes.named("placenoun", "placeword", "place")],
  ["location", location],
  ["away", away, Classes.named("order", "polarity", "offword")],
  ["own rule", ownRule, Classes.named(PLANT)],
];

/** The instruction that a message gives the bot, or undefined. */
export function decideInstruct(message: MessageView): Interpretation | undefined {
  if (!message.addressed && !mayInstruct(message)) return undefined;
  const view = viewInstruction(message);
  // "could we have the morning list at 7 instead?" is a wish.
  const put = questions(view.items, view.first);
  const lead = view.items.slice(0, view.first + 1);
  const wished = lead.some((item) => says(item, "requests"));
  // "could you keep quiet between 9 pm and 7 am?" is a request, whatever mark ends it.
  const requested = lead.some((item, i) => says(item, "requests") && is(view.items[i + 1], "second"));
  const asking = put || (!requested && message.tokens.some((token) => token.text === "?"));
  const standing = classesOf(view.items);
  for (const [name, rule, needs] of RULES) {
    // What was said to the bot is tried by every rule; the rest is spared those whose words do not stand in it.
    if (needs && !message.addressed && !needs.meets(standing)) continue;
    if (asking && STATEMENTS.has(name) && (name !== "reminder time" || (put && !wished))) continue;
    const found = rule(view);
    if (!found) continue;
    if (!Array.isArray(found)) return { kind: "instruct", instruction: found };
    const [first, ...further] = found;
    if (first) return { kind: "instruct", instruction: first, ...(further.length > 0 && { further }) };
  }
  return undefined;
}

/** Rules that read a statement; a question that looks alike is none. */
const STATEMENTS: ReadonlySet<string> = new Set([
  "floor",
  "set up",
  "location",
  "away",
  "own rule",
  "claim",
  "reminder time",
  "reminder switch",
  "add place",
  "remove place",
  "add plants",
  "amend",
  "quiet hours",
  "units",
  "zone",
]);

/** "will a heater hold 5", "what is ...": put as a question, with or without its mark; "can you ..." is a request. */
function questions(items: readonly Item[], first: number): boolean {
  const start = items[first];
  const asks = items
    .slice(0, first + 1)
    .reverse()
    .find((item) => is(item, "ask") && !is(item, "order"));
  if (!start || !asks) return false;
  const next = items[items.indexOf(asks) + 1];
  return (
    !is(next, "second") &&
    // "you can delete the shed"
    !is(items[items.indexOf(asks) - 1], "second") &&
    // "were away 12 to 26 february": we are.
    value(next, "order") !== "away" &&
    !is(asks, "courtesy") &&
    !["show", "lets", "let"].includes(value(asks, "ask") ?? "")
  );
}

/** Unaddressed, only short corrections and reminders of the collection's work are taken as instructions. */
function mayInstruct(message: MessageView): boolean {
  const { items, vocabulary, tokens } = message;
  if (items.length > 24) return false;
  const { commanding } = vocabulary.signals;
  let place = false;
  for (let i = 0; i < items.length; i++) {
    if (is(items[i], "remind")) return true;
    // "we're away 12 to 26 June, Priya covers", "skip the lithops till March"
    if (items[i]?.time && (items.some((item) => is(item, "member")) || items[i]?.time?.open === "until"))
      return true;
    if (is(items[i], "place") && i >= 1) place = true;
    if (is(items[i], "newtag") && is(items[i + 1], "be")) return true;
    if (i < 3 && commanding.has((items[i] as Item).token.key)) return true;
  }
  // "all well again in the long house", "chart of the long house this week"
  if (place && items.length <= 12 && items[0] && commanding.has(items[0].token.key)) return true;
  const last = tokens.at(-1)?.kind === "word" ? tokens.at(-1) : tokens.at(-2);
  return says(last, "adds");
}
