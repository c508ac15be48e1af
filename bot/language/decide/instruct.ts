import type { Interpretation } from "../interpretation.js";
import type { MessageView } from "./view.js";

export function decideInstruct(view: MessageView): Interpretation | undefined {
  void view;
  return undefined;
}
