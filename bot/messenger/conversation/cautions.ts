import { Temporal } from "temporal-polyfill";
import type { Caution } from "../../horticulture/cautions.js";
import type { Mind } from "../../journal/converse.js";
import type { Outcome } from "../../journal/outcome.js";
import type { Scope } from "../../journal/scope.js";

/** Acts at which hands, eyes or lungs are in danger now; at others a caution would only be noise. */
const HURTS_NOW = new Set(["repot", "prune", "take_cutting", "divide", "graft", "treat", "heat_on"]);
/** The same caution is not shown again in a chat for half a year. */
const SILENT_DAYS = 180;

/** The one caution that what was just logged calls for, unless this chat has seen it lately; remembers it as shown. */
export async function cautionFor(scope: Scope, outcome: Outcome, mind: Mind): Promise<Caution | null> {
  if (outcome.kind !== "logged" || !scope.chat) return null;
  const shown = (scope.chat.state.cautions as Record<string, string> | undefined) ?? {};
  const today = scope.utterance.at.toZonedDateTimeISO(scope.zone).toPlainDate();
  for (const { entry } of outcome.entries) {
    if (!HURTS_NOW.has(entry.act)) continue;
    const [caution] = mind.cautions(entry.act, taxaOf(scope, entry.entry.subjects ?? []));
    if (!caution || isFresh(shown[caution.key], today)) continue;
    const state = { ...scope.chat.state, cautions: { ...shown, [caution.key]: today.toString() } };
    await scope.store.updateChat(scope.utterance.chatId, { state });
    scope.chat.state = state;
    return caution;
  }
  return null;
}

/** Tagged plants by their taxon, so that a tag is cautioned like its genus. */
const taxaOf = (scope: Scope, subjects: readonly { tag?: string; genus?: string; species?: string }[]) =>
  subjects.map((subject) => {
    const plant = subject.tag ? scope.plants.find((known) => known.tag === subject.tag) : undefined;
    return plant ? { genus: plant.genus, ...(plant.species ? { species: plant.species } : {}) } : subject;
  });

function isFresh(shownOn: string | undefined, today: Temporal.PlainDate): boolean {
  if (shownOn === undefined) return false;
  return Temporal.PlainDate.from(shownOn).until(today, { largestUnit: "day" }).days < SILENT_DAYS;
}
