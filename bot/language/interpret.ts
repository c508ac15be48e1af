import { withoutBackground } from "./clauses/background.js";
import { clauses } from "./clauses/clause.js";
import { modalities } from "./clauses/modality.js";
import { withoutRelatives } from "./clauses/relative.js";
import { withoutRemarks } from "./clauses/remark.js";
import { segment } from "./clauses/segment.js";
import type { InterpretContext } from "./context.js";
import { lead } from "./decide/ask/posed.js";
import { decide } from "./decide/decide.js";
import type { MessageView } from "./decide/view.js";
import { buildEntries } from "./entries/build.js";
import { circumstancesOf } from "./entries/circumstances.js";
import type { Interpretation } from "./interpretation.js";
import { type Item, is } from "./item.js";
import { asksAlone, otherChoice, otherThan, questionBehind, remarkBehind } from "./leading.js";
import { joinLines } from "./lines.js";
import { Marking } from "./mark.js";
import { normalise } from "./normalise.js";
import { complete } from "./opened.js";
import { promising } from "./promise.js";
import { readTokens } from "./spelling.js";
import type { Token } from "./tokenise.js";
import type { Vocabulary } from "./vocabulary.js";

/** Longest message that is read; the rest of a longer one is kept as remainder. */
const MOST_CHARACTERS = 4096;

/** A message of more words is an essay; its beginning is read. */
const MOST_TOKENS = 400;

const NONE: Interpretation = { kind: "none" };

/**
 * What a message means.
 * @param message as typed, at most 4,096 characters are read
 * @param context the household, the moment of writing and whether the bot was spoken to
 * @param vocabulary from {@link buildVocabulary}
 * @returns one Interpretation; never throws
 */
export function interpret(
  message: string,
  context: InterpretContext,
  vocabulary: Vocabulary,
): Interpretation {
  const text = normalise(message.length > MOST_CHARACTERS ? message.slice(0, MOST_CHARACTERS) : message);
  const all = vocabulary.edges.trim(joinLines(readTokens(text, context, vocabulary), vocabulary.cues));
  const tokens = all.length > MOST_TOKENS ? all.slice(0, MOST_TOKENS) : all;
  const found = behindOpener(text, tokens, context, vocabulary);
  const unread = text.slice(all[MOST_TOKENS]?.start ?? text.length) + message.slice(MOST_CHARACTERS);
  return unread === "" || found.kind !== "log"
    ? found
    : { ...found, remainder: joined(found.remainder, unread) };
}

const joined = (remainder: string | undefined, unread: string): string =>
  remainder === undefined ? unread : `${remainder}; ${unread}`;

/** A message that begins with "sorry" or "also" means what it says by itself, unless it is but a fragment. */
function behindOpener(
  text: string,
  tokens: readonly Token[],
  context: InterpretContext,
  vocabulary: Vocabulary,
): Interpretation {
  const opened = vocabulary.edges.opened(tokens);
  if (!opened) return read(text, tokens, context, vocabulary);
  const alone = read(text, opened.rest, context, vocabulary);
  if (complete(alone)) return alone;
  const whole = read(text, [...opened.words, ...opened.rest], context, vocabulary);
  return whole.kind === "instruct" ? whole : alone;
}

function read(
  text: string,
  tokens: readonly Token[],
  context: InterpretContext,
  vocabulary: Vocabulary,
): Interpretation {
  if (tokens.length === 0) return NONE;
  if (!context.addressed && !promising(tokens, context, vocabulary)) return NONE;
  const choice = otherChoice(tokens, vocabulary);
  if (choice > 0) {
    const first = decide(view(text, tokens.slice(0, choice), context, vocabulary));
    if (first.kind === "ask") return first;
  }
  const whole = decide(view(text, tokens, context, vocabulary));
  if (whole.kind !== "none" && whole.kind !== "ask") return whole;
  const remark = remarkBehind(tokens, vocabulary);
  if (remark > 0) {
    const before = decide(view(text, tokens.slice(0, remark), context, vocabulary));
    if (asksAlone(before, whole) || otherThan(whole, before)) return before;
  }
  const from = questionBehind(tokens, vocabulary);
  if (from === 0) return whole;
  const tail = view(text, tokens.slice(from), context, vocabulary);
  if (!is(tail.items[lead(tail.items)], "ask")) return whole;
  const behind = decide(tail);
  const leading = marked(tokens.slice(0, from), context, vocabulary);
  return asksAlone(behind, whole, leading) ? behind : whole;
}

const marked = (
  tokens: readonly Token[],
  context: InterpretContext,
  vocabulary: Vocabulary,
): readonly Item[] => new Marking(tokens, context, vocabulary).items;

/** Runs every stage up to the decision. */
export function view(
  text: string,
  tokens: readonly Token[],
  context: InterpretContext,
  vocabulary: Vocabulary,
): MessageView {
  const marking = new Marking(tokens, context, vocabulary);
  const { items, aside } = withoutRemarks(marking.items);
  const circumstances = circumstancesOf(context, vocabulary.lexicon);
  const main = withoutBackground(withoutRelatives(items));
  const parts = clauses(segment(main.items));
  return {
    text,
    tokens,
    items,
    aside: aside.length > 0 ? [...aside, ...main.aside] : main.aside,
    clauses: parts,
    modalities: modalities(parts),
    built: buildEntries(parts, tokens, circumstances),
    circumstances,
    addressed: context.addressed,
    vocabulary,
    layered: layers(marking, vocabulary),
  };
}

/** The items with further words, each layer once. */
function layers(marking: Marking, vocabulary: Vocabulary): MessageView["layered"] {
  const done: { ask?: readonly Item[]; instruct?: readonly Item[] } = {};
  return (layer) => {
    done[layer] ??= marking.with(vocabulary.layers[layer]);
    return done[layer];
  };
}
