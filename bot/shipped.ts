import { readHazards } from "../db/care/hazards.js";
import { readCareTable } from "../db/care/read.js";
import { readNameRows } from "../db/names/read.js";
import type { Store } from "../db/store.js";
import type { App, AppOptions } from "./app.js";
import type { Clock } from "./clock.js";
import { careKnowledge } from "./horticulture/knowledge.js";
import { createMind, type Reader } from "./journal/mind.js";
import { buildVocabulary, interpret, readEnglishLexicon } from "./language/index.js";
import { createDesk } from "./messenger/conversation/desk.js";
import type { Desk } from "./messenger/desk.js";

/** The desk and the nudges as the project ships them, on its own tables. */
export function shippedParts(clock: Clock, zone: string): Pick<AppOptions, "desk" | "nudging"> {
  return {
    desk: (store) => shippedDesk(store, clock, zone),
    nudging: () => ({ tick: async () => {} }),
  };
}

async function shippedDesk(store: Store, clock: Clock, zone: string): Promise<Desk> {
  const names = readNameRows();
  const { table, hash, rows } = readCareTable();
  await store.careRules.load(
    hash,
    rows.map((rule) => ({ taxon: rule.taxon, season: rule.season, columns: { ...rule } })),
  );
  const knowledge = careKnowledge(table, names, readHazards(table.sources));
  const vocabulary = buildVocabulary(names, readEnglishLexicon());
  const reader: Reader = {
    interpret: (message, context) => interpret(message, context, vocabulary),
    interpretReply: (message, context) => interpret(message, { ...context, addressed: true }, vocabulary),
    isCourtesy: () => false,
  };
  const mind = createMind(reader, knowledge, {
    due: async (question) => ({ about: "unable", question, reason: "not_yet" }),
    calculate: async (question) => ({ about: "unable", question, reason: "not_yet" }),
  });
  return createDesk({ mind, clock, fallbackZone: zone });
}

/** The minute's tick; ends when called. */
export function startTicker(_app: App): () => void {
  return () => {};
}
