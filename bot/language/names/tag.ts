import { type Item, itemOf } from "../item.js";
import { meaningOf } from "../sense.js";
import type { Token } from "../tokenise.js";

const MOST_LETTERS = 4;
const MOST_DIGITS = 5;

/**
 * Reads what has the shape of a plant's label, "L-014", "c-12b", "AG017": a few letters and a number, joined by a
 * hyphen or written as one. Without the hyphen only capitals and at least two digits will do ("AG017", but no "b12").
 * @returns an item of class "newtag" whose value is the label as written, or undefined
 */
export function readNewTag(tokens: readonly Token[], from: number): Item | undefined {
  const letters = tokens[from];
  const number = tokens[from + 1];
  if (letters?.kind !== "word" || number?.kind !== "number" || !/^\d+$/.test(number.text)) return undefined;
  if (letters.text.length > MOST_LETTERS || number.text.length > MOST_DIGITS) return undefined;
  const capitals = letters.text === letters.text.toUpperCase();
  if (!number.hyphen && !(number.glued && capitals && number.text.length > 1)) return undefined;
  const after = tokens[from + 2];
  if (after?.glued && (after.kind === "number" || (after.kind === "word" && after.text.length > 1)))
    return undefined;
  if (after?.glued && (after.text === "%" || after.text === "°" || after.text === "/")) return undefined;
  const end = after?.glued && after.kind === "word" ? from + 3 : from + 2;
  const tail = end === from + 3 ? (after as Token).text : "";
  const tag = `${letters.text}${number.hyphen ? "-" : ""}${number.text}${tail}`;
  const item = itemOf(from, end, letters, [meaningOf({ cls: "newtag", value: tag })]);
  item.subject = { tag };
  return item;
}
