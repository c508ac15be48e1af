import type { Caution } from "../../../horticulture/cautions.js";
import type { NudgeVoice } from "../../../nudges/voice.js";
import { coverBegins, homecomingWords } from "./away.js";
import { dangerAgain, dangerWords } from "./danger.js";
import { itemLabel, sheetWords, toldWords } from "./due.js";
import { capital } from "./entries.js";
import { list } from "./figures.js";
import { morningLines } from "./morning.js";

/** The nudges' words in English. */
export function englishVoice(cautions: readonly Caution[]): NudgeVoice {
  return {
    morning(plan, { manner, cover, open }) {
      const lines = plan === null ? [] : morningLines(plan, { manner, cautions });
      if (open.length > 0) {
        const what = list(open.map(({ facts }) => dangerWords(facts, manner)));
        lines.unshift(`❄ ${capital(what)}: nobody has looked yet.`);
      }
      if (cover?.cover && lines.length > 0) lines.unshift(`For ${cover.cover}:`);
      return lines.join("\n");
    },
    item: itemLabel,
    sheet: (id, sheet) => sheetWords(id, sheet),
    told: toldWords,
    dangerAgain,
    coverBegins,
    homecoming: homecomingWords,
  };
}
