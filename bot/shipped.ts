import { readHazards } from "../db/care/hazards.js";
import { readCareTable } from "../db/care/read.js";
import { readTasks } from "../db/care/tasks.js";
import { readNameRows } from "../db/names/read.js";
import type { Store } from "../db/store.js";
import type { AppOptions } from "./app.js";
import type { Clock } from "./clock.js";
import { careKnowledge } from "./horticulture/knowledge.js";
import { calculateAsked } from "./journal/calculate.js";
import { createMind, type Reader } from "./journal/mind.js";
import {
  buildVocabulary,
  interpret,
  interpretReply,
  isCourtesy,
  isOnTopic,
  readEnglishLexicon,
  type Vocabulary,
} from "./language/index.js";
import type { Logger } from "./log.js";
import { createAftermath } from "./messenger/conversation/aftermath.js";
import { createDesk } from "./messenger/conversation/desk.js";
import { createMorningPress, typedMorning } from "./messenger/conversation/morning-press.js";
import { hearingSetUp } from "./messenger/conversation/set-up.js";
import type { Desk } from "./messenger/desk.js";
import { englishVoice } from "./messenger/replies/en/voice.js";
import { dueAnswer } from "./nudges/due-answer.js";
import { Follower } from "./nudges/follow.js";
import { Nudging } from "./nudges/nudging.js";

/** The desk and the nudges as the project ships them, on its own tables, read once. */
export function shippedParts(clock: Clock, zone: string, log: Logger): Pick<AppOptions, "desk" | "nudging"> {
  const care = readCareTable();
  const names = readNameRows();
  const cautions = readHazards(care.table.sources);
  const knowledge = careKnowledge(care.table, names, cautions);
  const tasks = readTasks();
  const reader = readerOf(buildVocabulary(names, readEnglishLexicon()));

  async function desk(store: Store): Promise<Desk> {
    const rows = care.rows.map((rule) => ({ taxon: rule.taxon, season: rule.season, columns: { ...rule } }));
    await store.careRules.load(care.hash, rows);
    const mind = createMind(reader, knowledge, {
      due: (question, scope) => dueAnswer(question, scope, { knowledge, tasks }),
      calculate: calculateAsked,
    });
    const follower = new Follower({ clock });
    const shipped = createDesk({
      mind,
      clock,
      fallbackZone: zone,
      onOutcome: createAftermath({ follower, knowledge, clock }),
      otherPress: createMorningPress(knowledge),
      otherWords: typedMorning,
    });
    return hearingSetUp(shipped, reader, zone);
  }

  return {
    desk,
    nudging: ({ nudges: queue, households, width }) =>
      new Nudging({
        queue,
        households,
        clock,
        log,
        workers: width,
        knowledge,
        tasks,
        voice: englishVoice(cautions),
        fallbackZone: zone,
      }),
  };
}

function readerOf(vocabulary: Vocabulary): Reader {
  return {
    interpret: (message, context) => interpret(message, context, vocabulary),
    interpretReply: (message, context, open) => interpretReply(message, context, open, vocabulary),
    isCourtesy: (message) => isCourtesy(message, vocabulary),
    isOnTopic: (message, context) => isOnTopic(message, context, vocabulary),
  };
}
