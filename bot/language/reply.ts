import { EMPTY_HOUSEHOLD, type InterpretContext } from "./context.js";
import { interpret } from "./interpret.js";
import type { Act, Entry, Interpretation, Missing } from "./interpretation.js";
import { is, says, value } from "./item.js";
import { mark } from "./mark.js";
import { normalise } from "./normalise.js";
import { readTokens } from "./spelling.js";
import type { Vocabulary } from "./vocabulary.js";

/** What was asked back about an unclear message, and what it had said already. */
export interface OpenQuestion {
  missing: readonly Missing[];
  partial: Partial<Entry>;
}

/**
 * Reads an answer to a question just asked: "the aloes" to "Which ones?", "watered" to "What was done to them?",
 * "4" to "How cold?". A message that is complete by itself is read as such.
 * @returns a log when the answer completes the entry; else what the message means by itself
 */
export function interpretReply(
  message: string,
  context: InterpretContext,
  open: OpenQuestion,
  vocabulary: Vocabulary,
): Interpretation {
  const spoken = { ...context, addressed: true };
  const alone = interpret(message, spoken, vocabulary);
  if (alone.kind === "log" || alone.kind === "ask" || alone.kind === "instruct") return alone;
  // A question back is no answer.
  if (message.includes("?")) return alone;
  // An answer names things and says no more: "the aloes look great" is talk, whatever was asked.
  if (!open.missing.includes("act") && !namesOnly(message, context, vocabulary)) return alone;
  for (const lead of leads(open, vocabulary)) {
    const [entry, ...more] = interpret(`${lead} ${message}`, spoken, vocabulary).entries ?? [];
    if (entry && more.length === 0 && (open.partial.act === undefined || entry.act === open.partial.act))
      return { kind: "log", entries: [{ ...open.partial, ...entry }] };
  }
  const both: Partial<Entry> = { ...open.partial, ...alone.partial };
  const place = placeIn(message, context, vocabulary);
  if (place !== undefined && open.missing.includes("place")) both.place = place;
  return isWhole(both, open) ? { kind: "log", entries: [both] } : alone;
}

/** Whether all words are names, places, numbers or times, with what links them. */
function namesOnly(message: string, context: InterpretContext, vocabulary: Vocabulary): boolean {
  return mark(readTokens(normalise(message), context, vocabulary), context, vocabulary).every(
    (item) =>
      item.token.kind !== "word" ||
      item.subject !== undefined ||
      item.time !== undefined ||
      item.measure !== undefined ||
      says(item, "links names") ||
      ["place", "placeword", "courtesy"].some((cls) => is(item, cls)),
  );
}

/** Words that, put before the answer, make it the sentence that was meant. */
function leads({ missing, partial }: OpenQuestion, vocabulary: Vocabulary): string[] {
  if (partial.act === "reading" || missing.includes("value") || missing.includes("unit")) {
    const { statistic, quantity } = partial.reading ?? {};
    const word =
      quantity === "relative_humidity"
        ? wordFor("quantity", quantity, vocabulary)
        : wordFor("stat", statistic === "max" ? "max" : "min", vocabulary);
    return word ? [word] : [];
  }
  const past = partial.act && pastOf(partial.act, vocabulary);
  const article = wordFor("det", "the", vocabulary);
  return past && missing.includes("subject") ? [past, ...(article ? [`${past} ${article}`] : [])] : [];
}

/** "watered" for `water`: the first way of saying it in the word tables. */
function pastOf(act: Act, { lexicon }: Vocabulary): string | undefined {
  for (const [phrase, sense] of lexicon.phrases)
    if (sense.cls === "act" && sense.value === act && sense.form === "past" && !sense.slots?.needs)
      return phrase;
  return undefined;
}

/** The first word of the tables with that sense. */
const wordFor = (cls: string, meaning: string, { lexicon }: Vocabulary): string | undefined =>
  lexicon.phrases.find(([, sense]) => sense.cls === cls && sense.value === meaning)?.[0];

/** "In the warm bench": a place of the household and nothing more. */
function placeIn(message: string, context: InterpretContext, vocabulary: Vocabulary): string | undefined {
  const items = mark(readTokens(normalise(message), context, vocabulary), context, vocabulary);
  const place = items.find((item) => is(item, "place"));
  const bare = items.every((item) => item === place || is(item, "prep") || is(item, "det"));
  return bare ? value(place, "place") : undefined;
}

function isWhole(entry: Partial<Entry>, { missing }: OpenQuestion): entry is Entry {
  if (entry.act === undefined || entry.act === "reading") return false;
  const has: Partial<Record<Missing, boolean>> = {
    subject: entry.subjects !== undefined,
    place: entry.place !== undefined,
    time: entry.when !== undefined,
    act: true,
  };
  return missing.every((part) => has[part] ?? false);
}

/** "Thanks", "good morning": words that want no answer. */
export function isCourtesy(message: string, vocabulary: Vocabulary): boolean {
  const context = { ...EMPTY_HOUSEHOLD, now: "2000-01-01T00:00", zone: "UTC", addressed: true };
  const items = mark(readTokens(normalise(message), context, vocabulary), context, vocabulary).filter(
    ({ token }) => token.kind !== "mark" && token.kind !== "emoji",
  );
  return items.length > 0 && items.every((item) => is(item, "courtesy"));
}
