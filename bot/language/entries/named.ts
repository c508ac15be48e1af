import type { Item } from "../item.js";

/** Whether plants are named, and not merely parts of them. */
export const named = (items: readonly Item[]): boolean =>
  items.some((item) => item.subject && !PARTS.has(item.subject.group ?? ""));
const PARTS: ReadonlySet<string> = new Set(["cuttings", "seedlings"]);
