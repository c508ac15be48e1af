import { textOf } from "../../entries/draft.js";
import type { Instruction, Subject } from "../../interpretation.js";
import { type Item, is, isAct, sense, value } from "../../item.js";
import type { MessageView } from "../view.js";
import { find, type InstructionRule, type InstructionView, light, order } from "./view.js";

type AddPlant = Extract<Instruction, { do: "add_plant" }>;

/** A name that growers give to a plant has no more words. */
const MOST_NAME = 3;
/** Lines of one message; a longer list is a file's. */
const MOST_LINES = 60;

/**
 * "L-014 is an Aloe polyphylla, we call it Spiral", "the big agave is called Big Un", "new plant L-014: Aloe
 * polyphylla", or a list of them, one a line: what a label or a name means in this household.
 */
export const addPlants: InstructionRule = (view) => {
  const lines = linesOf(view);
  if (lines.length > MOST_LINES) return undefined;
  const found: AddPlant[] = [];
  for (const line of lines) {
    if (line.every((item) => light(item) || is(item, "plantnoun"))) continue;
    const one = plantOf(view, line);
    if (!one) return undefined;
    found.push(one);
  }
  return found.length > 0 ? found : undefined;
};

function linesOf({ items }: InstructionView): Item[][] {
  const lines: Item[][] = [[]];
  for (const item of items) {
    if (item.token.text === "\n") lines.push([]);
    else (lines.at(-1) as Item[]).push(item);
  }
  return lines.filter((line) => line.length > 0);
}

/** One line: a label or a taxon, what it is or is called, and where it stands; nothing else may stand there. */
function plantOf(view: InstructionView, line: readonly Item[]): AddPlant | undefined {
  if (line.some((item) => item.time || is(item, "negation") || item.token.text === "?")) return undefined;
  const labels = line.filter((item) => labelOf(item) !== undefined);
  const taxa = line.filter((item) => item.subject?.genus);
  const [label] = labels;
  const [taxon] = taxa;
  if (is(line[0], "ask") || labels.length > 1 || taxa.length > 1 || !(label ?? taxon)) return undefined;
  const named = nameIn(view, line, label, taxon);
  const tag = label && labelOf(label);
  if ((!(tag && taxon) && !named) || named?.items.some(told)) return undefined;
  const place = line.map((item) => value(item, "place") ?? placeword(view.message, item)).find(Boolean);
  const described = taxon && line.indexOf(taxon) > 1 ? line[line.indexOf(taxon) - 1] : undefined;
  const rest = line.filter(
    (item) =>
      item !== label &&
      item !== taxon &&
      !named?.items.includes(item) &&
      !(item === described && plain(item)),
  );
  if (!view.message.addressed && !(tag && taxon && rest.some((item) => is(item, "be")))) return undefined;
  if (!rest.every(joins)) return undefined;
  const plant: Subject = {
    ...(tag && { tag }),
    ...withoutTag(taxon?.subject),
    ...(named && { name: named.name }),
  };
  return { do: "add_plant", plant, ...(place && { place }) };
}

const labelOf = (item: Item): string | undefined => sense(item, "newtag")?.value ?? item.subject?.tag;

function withoutTag(subject: Subject | undefined): Subject {
  const { count: _, tag: __, ...taxon } = subject ?? {};
  return taxon;
}

const placeword = (message: MessageView, item: Item): string | undefined =>
  is(item, "placeword") ? textOf(message.tokens, item.start, item.end) : undefined;

/** "the aloe labelled A17 was watered": what was done, and no name. */
const told = (item: Item): boolean => isAct(item, "past");

/** "the big agave": a word that only describes. */
const plain = (item: Item): boolean => item.token.kind === "word" && !is(item, "act");

/** Words that hold such a line together. */
const joins = (item: Item): boolean =>
  light(item) ||
  is(item, "be") ||
  is(item, "calledword") ||
  is(item, "plantnoun") ||
  is(item, "newness") ||
  is(item, "place") ||
  is(item, "placeword") ||
  is(item, "and") ||
  is(item, "order") ||
  is(item, "measure") ||
  (item.measure?.article ?? false);

/** The name behind "called", in quotation marks, or between the commas of a list. */
function nameIn(
  view: InstructionView,
  line: readonly Item[],
  label: Item | undefined,
  taxon: Item | undefined,
): { name: string; items: Item[] } | undefined {
  const quoted = line.filter((item) => item.quoted);
  if (quoted.length > 0 && quoted.length <= MOST_NAME) return named(view, quoted);
  const called = find(line, "calledword");
  if (called >= 0) {
    let from = called + 1;
    // "we call L-014 Spiral": the name stands behind the plant.
    while (from < line.length && (line[from] === label || line[from] === taxon || light(line[from] as Item)))
      from++;
    const words = upTo(line, from);
    // "call it" with nothing behind, or "an aloe called L-014": the label is the name.
    return words.length > 0 ? named(view, words) : undefined;
  }
  if (!label || !taxon || order(view, "add") > 0) return undefined;
  const comma = line.findIndex(
    (item, i) => i > Math.max(line.indexOf(label), line.indexOf(taxon)) && item.token.text === ",",
  );
  const words = comma < 0 ? [] : upTo(line, comma + 1);
  return words.length > 0 ? named(view, words) : undefined;
}

function upTo(line: readonly Item[], from: number): Item[] {
  const words: Item[] = [];
  for (const item of line.slice(from)) {
    if (item.token.kind === "mark" || is(item, "prep") || is(item, "place") || is(item, "placeword")) break;
    words.push(item);
  }
  return words.length <= MOST_NAME ? words : [];
}

const named = (view: InstructionView, items: Item[]): { name: string; items: Item[] } | undefined => {
  const first = items[0];
  const last = items.at(-1);
  return first && last ? { name: textOf(view.message.tokens, first.start, last.end), items } : undefined;
};
