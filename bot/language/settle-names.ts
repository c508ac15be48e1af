import { type Item, is, says, value } from "./item.js";
/**
 * Settles what only the neighbouring words decide: a number that is also a plant's tag ("repotted 20 into a
 * 10"), and a name that merely describes something else ("a cactus jumper").
 */
export function settleNames(items: readonly Item[]): Item[] {
  const settled: Item[] = [];
  items.forEach((item, at) => {
    const tag = item.measure ? item.senses.find((one) => one.cls === "name") : undefined;
    if (tag?.subject) {
      const named = namesPlant(items, at, settled);
      settled.push(named ? { ...item, measure: undefined, subject: tag.subject } : { ...item, senses: [] });
    } else if (describes(items, at)) {
      settled.push({ ...item, subject: undefined, senses: [] });
    } else settled.push(item);
  });
  return settled;
}

const COUNTED = new Set(["sow", "germinate", "take_cutting", "prick_out", "acquire", "order", "turn"]);

/** Whether a number stands where a plant is named and not where something is counted or measured. */
function namesPlant(items: readonly Item[], at: number, settled: readonly Item[]): boolean {
  const before = settled.at(-1);
  const next = items[at + 1];
  const marked =
    before &&
    (before.token.text === "#" ||
      says(before, "numbering") ||
      (before.token.text === "." && says(items[at - 2], "numbering")));
  if (marked) return true;
  const counts =
    next &&
    (next.subject ??
      next.measure ??
      (is(next, "seednoun") || is(next, "seedling") || is(next, "head") || is(next, "pot")));
  if (!counts && before && onPlant(items, at, before)) return true;
  // "12, 13 and 20": it goes on with a list of labels.
  if (!counts && before?.token.text === "," && settled.at(-2)?.subject?.tag) return true;
  if (!counts && before && concerns(items, at, before)) return true;
  if (
    next &&
    (next.subject ||
      next.measure ||
      is(next, "seednoun") ||
      is(next, "seedling") ||
      is(next, "head") ||
      is(next, "pot") ||
      is(next, "material") ||
      is(next, "seen") ||
      is(next, "pest") ||
      is(next, "quantity") ||
      is(next, "stat"))
  ) {
    if (!(next.token.text === "'")) return false;
  }
  if (next && says(next, "counts of")) return false;
  if (next && next.token.kind === "word" && next.senses.length === 0 && !next.time) return false;
  if (next && is(next, "elsewhere")) return false;
  if (before === undefined || (before.token.kind === "mark" && before.token.text !== "-")) {
    return (
      next !== undefined &&
      (next.token.text === "'" ||
        is(next, "be") ||
        is(next, "light") ||
        next.senses.some((one) => one.cls === "act" && one.form !== "base" && one.form !== "gerund"))
    );
  }
  if (before.subject?.tag && is(items[at - 1], "and")) return true;
  if (is(before, "and"))
    return items
      .slice(0, at)
      .some((item) => item.senses.some((one) => one.cls === "name" && one.subject?.tag));
  const verb = before.senses.find(
    (one) => one.cls === "act" && (one.form === "past" || one.form === "base" || one.form === "gerund"),
  );
  if (verb) return !COUNTED.has(verb.value);
  return (
    is(before, "light") && says(before, "gives a plant") && next !== undefined && next.token.kind === "word"
  );
}

/** Questions that go on with what they are about. */
const ASKING: ReadonlySet<string> = new Set(["aux", "when", "how"]);

/** "everything for 20", "history of 12?", "does 13 need water": what a question is about. */
function concerns(items: readonly Item[], at: number, before: Item): boolean {
  const next = items[at + 1];
  if (ASKING.has(value(before, "ask") ?? "") && is(before, "be"))
    return (
      next?.senses.some((one) => one.cls === "act" && one.form === "state" && !COUNTED.has(one.value)) ??
      false
    );
  if (ASKING.has(value(before, "ask") ?? ""))
    return next === undefined || (next.token.kind === "word" && !is(next, "prep") && !is(next, "be"));
  return (
    (says(before, "asks of") || is(before, "historycue")) &&
    items.slice(at + 1).every((item) => item.token.kind === "mark") &&
    !items.some((item) => item.senses.some((one) => one.cls === "act" && one.form !== "base"))
  );
}

/** "mealies on 12", "everything but 12": a number behind what sits on a plant or leaves one out. */
const onPlant = (items: readonly Item[], at: number, before: Item): boolean => {
  const what = items[at - 2];
  if (before.token.key === "on") return is(what, "pest") || is(what, "product");
  return is(before, "except") || (is(before, "but") && what?.senses.some((one) => one.subject?.all) === true);
};

/** "cactus jumper", "aloe vera gel": a name before a noun that makes it a thing and no plant. */
function describes(items: readonly Item[], at: number): boolean {
  const item = items[at] as Item;
  if (!item.subject || item.subject.tag || item.subject.name || item.subject.all) return false;
  const next = items[at + 1];
  return next !== undefined && (is(next, "modified") || is(next, "elsewhere")) && !next.time;
}
