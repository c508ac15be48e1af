import type { Built } from "../entries/build.js";
import { type Item, value } from "../item.js";

/** "gave me a cutting of his hoya", "got two of Geoff's aloes": what was another's is ours now. */
export function received(one: Built, items: readonly Item[]): boolean {
  const { head, entry } = one;
  if (!head || entry.act !== "acquire" || head.kind === "noun") return false;
  if (gaveUs(one, items)) return true;
  const of = items.findIndex((item, i) => i > head.at && ["of", "from"].includes(value(item, "prep") ?? ""));
  return of > 0 && items.slice(of).some((item) => item.subject);
}

/** "gave me an aloe": whoever did, it came to us. */
export const gaveUs = ({ head, entry }: Built, items: readonly Item[]): boolean =>
  head !== undefined && entry.act === "acquire" && value(items[head.at], "light") === "give";
