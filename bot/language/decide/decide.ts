import { remainderOf } from "../entries/remainder.js";
import type { Interpretation } from "../interpretation.js";
import { is } from "../item.js";
import { opensAsking } from "./ask/posed.js";
import { decideAsk } from "./ask.js";
import { decideInstruct } from "./instruct.js";
import { decideLog, markedNote } from "./log.js";
import { decideUnclear } from "./unclear.js";
import { has, type MessageView } from "./view.js";

/** Decides what kind of message this is: an instruction, a question, a log, something unclear, or nothing. */
export function decide(view: MessageView): Interpretation {
  const note = markedNote(view);
  if (note) return { kind: "log", entries: [note] };
  const instruction = decideInstruct(view);
  if (instruction) {
    const erases = instruction.instruction?.do === "forget" && has(view.layered("instruct"), "erase");
    return withoutTime(instruction) ?? (erases ? { ...instruction, erase: true } : instruction);
  }
  const lacking = decideUnclear(view);
  if (lacking) return lacking;
  const question = decideAsk(view);
  if (question) return question;
  const log = opensAsking(view) ? undefined : decideLog(view);
  if (log && log.accepted.length > 0) {
    const remainder = remainderOf(view.clauses, log.accepted, view.aside, view.tokens);
    return {
      ...log.interpretation,
      ...(failed(view, log.interpretation) && { failure: true as const }),
      ...(remainder && { remainder }),
    };
  }
  if (log) return log.interpretation;
  return { kind: "none" };
}

/** A heater that broke, tripped or died, as against one that was switched off. */
const failed = (view: MessageView, log: Interpretation): boolean =>
  (log.entries?.some((entry) => entry.act === "heat_off") ?? false) &&
  view.items.some((item) => is(item, "broken"));

/** A reminder must know when; what is to be remembered is kept for the answer. */
function withoutTime(found: Interpretation): Interpretation | undefined {
  const { instruction } = found;
  if (instruction?.do !== "remind" || instruction.when) return undefined;
  const { text, person } = instruction;
  return {
    kind: "unclear",
    missing: ["time"],
    partial: { ...(text && { text }), ...(person && { person }) },
  };
}
