import { type Item, is } from "../item.js";
import type { MessageView } from "./view.js";

const CLASSES: readonly string[] = [
  "filler",
  "courtesy",
  "act",
  "place",
  "member",
  "self",
  "pron",
  "direction",
  "tentative",
  "pest",
  "product",
  "pot",
  "material",
  "dose",
  "det",
  "prep",
  "equipment",
  "polarity",
  "openclose",
  "powerlost",
  "powerback",
  "light",
  "actnoun",
  "done",
  "be",
  "seednoun",
  "feedstuff",
  "head",
  "newness",
  "substrate",
  "stat",
  "reach",
  "range",
  "quantity",
  "seen",
  "and",
  "then",
];

/** A word of this trade, or one that carries nothing. */
const familiar = (item: Item): boolean =>
  item.token.kind === "mark" ||
  item.token.kind === "emoji" ||
  item.subject !== undefined ||
  item.time !== undefined ||
  item.measure !== undefined ||
  CLASSES.some((cls) => is(item, cls));

/** Every one of these words is known to this trade or carries nothing. */
export const known = (items: readonly Item[]): boolean => items.every(familiar);

/** Every word of the message is known to this trade or carries nothing. */
export const understood = (view: MessageView): boolean => known(view.items);
