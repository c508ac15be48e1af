import type { Interpretation } from "../interpretation.js";
import { amend } from "./instruct/amend.js";
import { addPlace, removePlace, setUp } from "./instruct/places.js";
import { remind } from "./instruct/remind.js";
import { ownRule, reminderSwitch } from "./instruct/rules.js";
import { floor, language, location, quietHours, reminderTime, units, zone } from "./instruct/settings.js";
import {
  allWell,
  away,
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

/** In this order: what takes a whole short message, then what needs a certain word, then what is looser. */
const RULES: readonly (readonly [name: string, rule: InstructionRule])[] = [
  ["undo", undo],
  ["help", help],
  ["amend", amend],
  ["quiet hours", quietHours],
  ["reminder switch", reminderSwitch],
  ["reminder time", reminderTime],
  ["snooze", snooze],
  ["remind", remind],
  ["claim", claim],
  ["all well", allWell],
  ["export", exportJournal],
  ["import", importList],
  ["chart", chart],
  ["forget", forget],
  ["add place", addPlace],
  ["remove place", removePlace],
  ["floor", floor],
  ["zone", zone],
  ["units", units],
  ["language", language],
  ["set up", setUp],
  ["location", location],
  ["away", away],
  ["own rule", ownRule],
];

/** The instruction that a message gives the bot, or undefined. */
export function decideInstruct(message: MessageView): Interpretation | undefined {
  if (!message.addressed && !mayInstruct(message)) return undefined;
  const view = viewInstruction(message);
  for (const [, rule] of RULES) {
    const found = rule(view);
    if (!found) continue;
    if (!Array.isArray(found)) return { kind: "instruct", instruction: found };
    const [first, ...further] = found;
    if (first) return { kind: "instruct", instruction: first, ...(further.length > 0 && { further }) };
  }
  return undefined;
}

/** Unaddressed, only short corrections and reminders of the collection's work are taken as instructions. */
function mayInstruct(message: MessageView): boolean {
  return message.items.length <= 24;
}
