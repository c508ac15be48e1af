import { settleIn } from "../../entries/circumstances.js";
import { textOf } from "../../entries/draft.js";
import type { Instruction, Subject, When } from "../../interpretation.js";
import { type Item, is, says, value } from "../../item.js";
import { type MessageView, placeOf } from "../view.js";

/** A message seen as an instruction. */
export interface InstructionView {
  message: MessageView;
  items: readonly Item[];
  /** Index of the first item that is no courtesy. */
  first: number;
  place?: string;
}
export type InstructionRule = (view: InstructionView) => Instruction | Instruction[] | undefined;

export function viewInstruction(message: MessageView): InstructionView {
  const items = message.layered("instruct");
  let first = 0;
  while (first < items.length && skippable(items, first)) first++;
  const place = placeOf(items);
  return { message, items, first, ...(place && { place }) };
}

/** Courtesy, "could you", "I'd like to": what may stand before an instruction. */
function skippable(items: readonly Item[], at: number): boolean {
  const item = items[at] as Item;
  if (is(item, "order") || is(item, "correction")) return false;
  if (item.token.kind === "mark") return true;
  if (is(item, "courtesy")) return true;
  return says(item, "may stand before");
}

export const keyOf = (item: Item | undefined): string => item?.token.key ?? "";

/** First item at or behind `from` of a class (and value). */
export function find(items: readonly Item[], cls: string, wanted?: string, from = 0): number {
  for (let i = from; i < items.length; i++) {
    if (items[i]?.quoted) continue;
    if (items[i]?.senses.some((one) => one.cls === cls && (wanted === undefined || one.value === wanted)))
      return i;
  }
  return -1;
}
export const order = (view: InstructionView, wanted: string, from = 0): number =>
  find(view.items, "order", wanted, from);

/** Words that carry nothing in a short instruction. */
export const light = (item: Item): boolean =>
  item.token.kind === "mark" ||
  item.token.kind === "emoji" ||
  is(item, "filler") ||
  is(item, "courtesy") ||
  is(item, "det") ||
  is(item, "pron") ||
  is(item, "objectself") ||
  is(item, "prep") ||
  is(item, "self") ||
  is(item, "tentative");

export function whenIn(
  view: InstructionView,
  mode: "past" | "future",
  from = 0,
  end = view.items.length,
): { when: When; at: number } | undefined {
  for (let i = from; i < end; i++) {
    const time = view.items[i]?.time;
    if (!time) continue;
    if (time.span?.kind === "ago" && time.span.count === 0) continue;
    const { open, ...inner } = time;
    const when = settleIn(open === "until" ? inner : time, view.message.circumstances, mode);
    if (when) return { when, at: i };
  }
  return undefined;
}

export function personIn(
  items: readonly Item[],
  from = 0,
  end = items.length,
): { person: string; at: number } | undefined {
  for (let i = from; i < end; i++) {
    const member = value(items[i], "member");
    if (!member) continue;
    const other = i + 2 < end && is(items[i + 1], "and") ? value(items[i + 2], "member") : undefined;
    return { person: other ? `${member} and ${other}` : member, at: i };
  }
  return undefined;
}

export const subjectsIn = (items: readonly Item[], from = 0, end = items.length): Subject[] => {
  const subjects: Subject[] = [];
  for (let i = from; i < end; i++)
    if (items[i]?.subject && !items[i]?.quoted) subjects.push({ ...(items[i]?.subject as Subject) });
  return subjects;
};

/** The words from one item to another as they were written, trailing courtesy and marks left off. */
export function phrase(view: InstructionView, from: number, end: number, skip = 0): string {
  const { items } = view;
  let start = from;
  let stop = end;
  while (stop > start && trailing(items[stop - 1] as Item)) stop--;
  while (start < stop && items[start]?.token.kind === "mark" && !items[start]?.subject) start++;
  if (start >= stop) return "";
  return textOf(view.message.tokens, (items[start] as Item).start + skip, (items[stop - 1] as Item).end);
}
const trailing = (item: Item): boolean =>
  (item.token.kind === "mark" && !item.subject && !item.measure) ||
  item.token.kind === "emoji" ||
  is(item, "courtesy");
