import type { Interpretation } from "../interpretation.js";
import { decideAsk, opensAsking } from "./ask.js";
import { decideInstruct } from "./instruct.js";
import { decideLog } from "./log.js";
import type { MessageView } from "./view.js";

/** Decides what kind of message this is: an instruction, a question, a log, something unclear, or nothing. */
export function decide(view: MessageView): Interpretation {
  const instruction = decideInstruct(view);
  if (instruction) return instruction;
  const question = decideAsk(view);
  if (question) return question;
  const log = opensAsking(view) ? undefined : decideLog(view);
  if (log) return log.interpretation;
  return { kind: "none" };
}
