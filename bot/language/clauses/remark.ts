import { type Item, is, says, unread } from "../item.js";
import type { Main } from "./relative.js";

/** Classes of words that make a run of words news of the collection. */
const TRADE = [
  "place",
  "placeword",
  "pest",
  "product",
  "feedstuff",
  "equipment",
  "pot",
  "material",
  "substrate",
  "dose",
  "actnoun",
  "seen",
  "seednoun",
  "seedling",
  "nounleaf",
  "quantity",
  "stat",
  "cause",
  "notecue",
  "except",
  "spared",
  "pollenword",
  "propagule",
] as const;

/**
 * Sets aside what is said around the news: "..., Jo says I worry too much", "..., we'd have been up all night with
 * candles", "A happy new year to you all. ...". A remark names nothing of the collection and tells no act or value; so
 * its times, its people and its doubts are its own.
 */
export function withoutRemarks(items: readonly Item[]): Main {
  const parts = partsOf(items);
  if (parts.length < 2 || !parts.some((part) => part.some(trade)))
    return { items: items as Item[], aside: [] };
  const aside: Item[][] = [];
  const kept: Item[] = [];
  parts.forEach((part, i) => {
    const remark = i === 0 ? greets(part, items) : remarks(part);
    if (remark) aside.push(part.filter((item) => item.token.kind !== "mark"));
    else kept.push(...part);
  });
  return aside.length > 0 ? { items: kept, aside } : { items: items as Item[], aside: [] };
}

/** Runs of items, each with the mark in front of it. */
function partsOf(items: readonly Item[]): Item[][] {
  const parts: Item[][] = [[]];
  for (const item of items) {
    if (item.token.kind === "mark" && /^[,.;!–—\n]$/.test(item.token.text) && !item.measure && !item.time)
      parts.push([]);
    (parts.at(-1) as Item[]).push(item);
  }
  return parts.filter((part) => part.length > 0);
}

/** "and I've waited three years for this": somebody and what they did, in words that are no part of the trade. */
function remarks(part: readonly Item[]): boolean {
  if (part.some(trade) || part.some((item) => item.quoted) || is(part[1], "ask")) return false;
  const told = part.filter((item) => item.token.kind === "word" && !item.time && !item.measure);
  const someone = told.findIndex(
    (item) =>
      is(item, "self") ||
      is(item, "pron") ||
      is(item, "member") ||
      is(item, "kin") ||
      is(item, "report") ||
      says(item, "begins a remark"),
  );
  return someone >= 0 && someone <= 2 && told.some(unread);
}

/** "A happy new year to you all.": words that are no part of the trade, a sentence of their own in front. */
function greets(part: readonly Item[], items: readonly Item[]): boolean {
  const mark = items[part.length]?.token.text;
  return (
    (mark === "." || mark === "!") &&
    !part.some(trade) &&
    part.some(unread) &&
    !part.some((item) => is(item, "ask"))
  );
}

/** Whether a word tells of the collection: its plants and places, what is done to them, what is read off. */
function trade(item: Item, at: number, part: readonly Item[]): boolean {
  if (item.subject) return true;
  // "Dev and Oskar did it this afternoon": who did what was told before.
  if (says(item, "did likewise") && (is(part[at + 1], "pron") || is(part[at + 1], "det"))) return true;
  if (item.measure && !item.measure.article) return !(unread(part[at + 1] ?? item) && !item.measure.unit);
  return (
    TRADE.some((cls) => is(item, cls)) ||
    item.senses.some(
      (one) => (one.cls === "act" || one.cls === "mayact") && !is(item, "light") && !is(item, "be"),
    )
  );
}
