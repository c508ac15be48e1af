import { dilutedProduct } from "../clauses/diluted.js";
import { newPotAt } from "../clauses/pot-exchange.js";
import type { Act, Pot } from "../interpretation.js";
import { type Item, is, says, shaped, unread, value } from "../item.js";
import type { Lexicon } from "../lexicon.js";
import type { Circumstances } from "./circumstances.js";
import { type ClauseView, type Draft, textOf } from "./draft.js";
import { fillParties } from "./parties.js";

/** The pot, its size and material, and those of the one before. */
export function fillPot(view: ClauseView, draft: Draft): void {
  const { items } = view;
  const pot: Pot = {};
  const previous: Pot = {};
  const second = newPotAt(items, Math.max(view.head.at, 0));
  let into: "pot" | "previous" = second < 0 ? "pot" : "previous";
  for (let i = 0; i < items.length; i++) {
    const item = items[i] as Item;
    const prep = value(item, "prep");
    if (prep === "from" || says(item, "speaks of before")) into = "previous";
    else if (i === second || prep === "to" || prep === "into" || (prep === "in" && into !== "previous"))
      into = "pot";
    if (is(item, "be") && i > view.head.at && (pot.diameter || value(items[i + 1], "prep") === "in"))
      into = "previous";
    const aim = into === "pot" ? pot : previous;
    const { measure } = item;
    if (measure && !draft.used.has(i) && !item.time && !aim.diameter) {
      const bare = !measure.unit && (into === "previous" || pot.diameter !== undefined) && !measure.article;
      const fitting =
        bare ||
        (!measure.unit &&
          (is(items[i + 1], "pot") || is(items[i + 1], "material") || is(items[i + 1], "square")));
      if (measure.dimension === "length" && measure.to !== undefined && !previous.diameter) {
        previous.diameter = { value: measure.value, unit: measure.unit as string };
        pot.diameter = { value: measure.to, unit: measure.unit as string };
        into = "pot";
        draft.used.add(i);
      } else if (measure.dimension === "length") {
        aim.diameter = { value: measure.value, unit: measure.unit as string };
        draft.used.add(i);
      } else if (fitting && !measure.dimension && measure.value > 1) {
        const unit = pot.diameter?.unit ?? previous.diameter?.unit;
        aim.diameter = { value: measure.value, unit: unit ?? "cm" };
        draft.used.add(i);
      }
    }
    const material = value(item, "material");
    const holder = into === "pot" ? pot : previous;
    if (material && !holder.material) {
      holder.material = material;
      draft.used.add(i);
    }
    if (is(item, "pot")) draft.used.add(i);
  }
  if (pot.diameter && previous.diameter && !unitSaid(items)) previous.diameter.unit = pot.diameter.unit;
  if (Object.keys(previous).length > 0) pot.previous = previous;
  if (Object.keys(pot).length > 0 && (draft.entry.act === "repot" || pot.diameter)) draft.entry.pot = pot;
}
const unitSaid = (items: readonly Item[]): boolean =>
  items.filter((item) => item.measure?.dimension === "length").length > 1;

const SUBSTRATE_ACTS: ReadonlySet<Act> = new Set<Act>([
  "repot",
  "sow",
  "top_dress",
  "prick_out",
  "divide",
  "take_cutting",
  "acquire",
]);
const PRODUCT_ACTS: ReadonlySet<Act> = new Set<Act>(["feed", "treat", "clean", "mist", "water"]);

/** "lost two to hail", "lost three to black rot": what plants were lost to. */
function fillCause({ items, tokens, head }: ClauseView, draft: Draft): void {
  if (head.act !== "lose") return;
  const to = items.findIndex(
    (item, i) =>
      i > head.at && value(item, "prep") === "to" && items.slice(head.at, i).some((one) => one.subject),
  );
  const start = is(items[to + 1], "det") ? to + 2 : to + 1;
  if (to < 0 || !items[start]) return;
  let end = start;
  while (end < items.length && end < start + MOST_CAUSE && namesCause(items[end] as Item)) {
    if (end > start && items[end]?.start !== items[end - 1]?.end) break;
    end++;
  }
  if (end === start) return;
  const known = end === start + 1 ? causeOf(items[start] as Item) : undefined;
  draft.entry.cause =
    known ?? textOf(tokens, (items[start] as Item).start, (items[end - 1] as Item).end).toLowerCase();
  for (let i = to; i < end; i++) draft.used.add(i);
}

const MOST_CAUSE = 3;

/** A word that can name what killed a plant: one of the tables' causes, or one that no table knows. */
const namesCause = (item: Item): boolean =>
  item.token.kind === "word" &&
  !item.subject &&
  !item.time &&
  !item.measure &&
  (item.senses.length === 0 || ["pest", "cause", "seen", "occasion"].some((cls) => is(item, cls)));

/** The name of a pest is the table's; of "black rot" every word is kept. */
const causeOf = (item: Item): string | undefined =>
  value(item, "pest") ??
  (item.end - item.start === 1 ? (value(item, "cause") ?? value(item, "seen")) : undefined);

/** Pot, substrate, product, pest and cause. */
export function fillThings(view: ClauseView, draft: Draft, { lexicon }: Circumstances): void {
  const { items, head } = view;
  const { entry } = draft;
  if (head.act === "feed" || head.act === "treat") fillProduct(view, draft, lexicon.singulars);
  fillCause(view, draft);
  for (let i = 0; i < items.length; i++) {
    const item = items[i] as Item;
    if (i === head.at && head.kind !== "pest" && head.kind !== "noun" && !is(item, "product")) continue;
    if (item.subject || is(item, "place")) continue;
    if (draft.used.has(i) && i !== head.at && i !== head.complement) continue;
    const pest = value(item, "pest");
    if (
      pest &&
      !entry.pest &&
      (head.act === "pest" || head.act === "treat" || head.act === "clean" || head.act === "lose")
    ) {
      if (head.act === "lose") entry.cause = pest;
      else entry.pest = pest;
      draft.used.add(i);
      continue;
    }
    const substrate = value(item, "substrate");
    if (substrate && SUBSTRATE_ACTS.has(head.act)) {
      const before = items[i - 1];
      const kind = unread(before) ? `${before?.token.lower} ${substrate}` : substrate;
      const mixed = says(items[i + 1], "names a mixture") ? ` ${items[i + 1]?.token.lower}` : "";
      if (mixed) draft.used.add(i + 1);
      entry.substrate = entry.substrate
        ? `${entry.substrate} ${lexicon.language.and} ${kind}${mixed}`
        : `${kind}${mixed}`;
      draft.used.add(i);
    }
    const product = value(item, "product");
    if (product && !entry.product && PRODUCT_ACTS.has(head.act)) {
      const more = items[i + 1];
      const longer =
        unread(more) &&
        !shaped(more, "past") &&
        (i + 2 >= items.length || is(items[i + 2], "prep") || items[i + 2]?.measure || items[i + 2]?.time);
      entry.product = longer ? `${product} ${more?.token.lower}` : product;
      draft.used.add(i);
    }
    const rotted =
      value(item, "seen") === "rot" ||
      (i !== head.at &&
        items.slice(0, i).some((one) => one.subject) &&
        item.senses.some((one) => one.cls === "act" && one.value === "rot"));
    // "tossed the echeverias that froze"
    const froze =
      i > head.at &&
      items.slice(0, i).some((one) => one.subject) &&
      item.senses.some((one) => one.value === "frost_damage" && one.form === "state");
    const cause = value(item, "cause") ?? (rotted ? "rot" : froze ? "frost" : undefined);
    if (cause && !entry.cause && head.act === "lose") {
      entry.cause = cause;
      draft.used.add(i);
    }
  }
  if (head.act === "acquire" || head.act === "order" || head.act === "give_away") fillParties(view, draft);
}

/** "fed with rose feed", "1 g per litre of tea": a product that no table knows, as it was written. */
function fillProduct(view: ClauseView, draft: Draft, singulars: Lexicon["singulars"]): void {
  const { items, tokens } = view;
  const found = dilutedProduct(items);
  if (found) {
    const { from, end } = found;
    draft.entry.product = textOf(
      tokens,
      (items[from] as Item).start,
      (items[end - 1] as Item).end,
    ).toLowerCase();
    for (let k = from; k < end; k++) draft.used.add(k);
    return;
  }
  for (let i = 0; i + 1 < items.length; i++) {
    const prep = value(items[i], "prep");
    const diluted = prep === "of" && items[i - 1]?.measure?.dimension?.includes("/");
    if (prep !== "with" && !diluted) continue;
    let start = i + 1;
    while (is(items[start], "det") || items[start]?.measure || value(items[start], "prep") === "of") start++;
    let end = start;
    while (end < items.length && !stopsProduct(items[end] as Item)) {
      if (end > start && items[end]?.start !== items[end - 1]?.end) break;
      end++;
    }
    if (end === start) continue;
    const from = (items[start] as Item).start;
    const behind = (items[end - 1] as Item).end;
    const written = textOf(tokens, from, behind).toLowerCase();
    const last = tokens[behind - 1]?.lower ?? "";
    const single = singulars.get(last);
    draft.entry.product = single ? written.slice(0, -last.length) + single : written;
    for (let k = start; k < end; k++) draft.used.add(k);
    return;
  }
}
const stopsProduct = (item: Item): boolean =>
  Boolean(item.time || item.measure || item.subject) ||
  is(item, "prep") ||
  is(item, "place") ||
  is(item, "member") ||
  is(item, "courtesy") ||
  item.token.kind !== "word" ||
  is(item, "pron") ||
  (is(item, "filler") && !is(item, "actnoun")) ||
  says(item, "thins");
