import type { Built } from "../entries/build.js";
import { type Item, is, says, value } from "../item.js";

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

/** "bought neem for the hoyas", "a new pot for Fatso": what came is the thing, and the plants had it already. */
export function thingFor({ head, entry }: Built, items: readonly Item[]): boolean {
  if (!head || (entry.act !== "acquire" && entry.act !== "order")) return false;
  const name = items.findIndex((item, i) => i > head.at && item.subject);
  const wanted = items.findIndex((item, i) => i > head.at && value(item, "prep") === "for");
  const bought = items.slice(head.at + 1, Math.max(wanted, 0));
  return wanted > 0 && name > wanted && bought.some((item) => THINGS.some((cls) => is(item, cls)));
}

const THINGS = ["product", "feedstuff", "substrate", "pot", "material", "equipment", "actnoun"];

/** "traded stories about hoyas", "swapped numbers with the cactus lady": what changed hands is no plant. */
export function tradesElse({ head, entry }: Built, items: readonly Item[]): boolean {
  if (!head || entry.act !== "give_away" || !says(items[head.at], "trades")) return false;
  const name = items.findIndex((item, i) => i > head.at && item.subject);
  return items
    .slice(head.at + 1, Math.max(name, 0))
    .some(
      (item) =>
        is(item, "tentative") || (is(item, "prep") && !["of", "from"].includes(value(item, "prep") ?? "")),
    );
}
