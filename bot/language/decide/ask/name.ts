import { textOf } from "../../entries/draft.js";
import { is } from "../../item.js";
import { has } from "../view.js";
import type { QuestionRule } from "./view.js";

/** "what is notocactus called now", "new name for sansevieria": the plant's name as it was written. */
export const nameQuestion: QuestionRule = (view) => {
  const named = view.items.find((item) => item.subject?.genus && !is(item, "det"));
  if (!named) return undefined;
  // "is lobivia still lobivia"
  const again = view.items.some(
    (item) => item !== named && item.subject && item.token.key === named.token.key,
  );
  if (!has(view.items, "namecue") && !again) return undefined;
  return { about: "name", text: textOf(view.message.tokens, named.start, named.end) };
};
