import { sheetWords } from "../../bot/messenger/replies/en/due.js";
import type { NudgeVoice } from "../../bot/nudges/voice.js";

/** Words that no test reads, where the point is when something is said and how often. */
export const plainVoice: NudgeVoice = {
  morning: (plan) =>
    `due: ${plan?.places.flatMap(({ water }) => water.map(({ genus }) => genus)).join(", ")}`,
  item: (item) => ("kind" in item ? item.task : item.genus),
  sheet: (id, sheet) => sheetWords(id, sheet),
  told: ({ text }) => ({ text }),
  dangerAgain: () => ({ text: "danger" }),
  coverBegins: () => ({ text: "cover" }),
  homecoming: () => ({ text: "back" }),
};
