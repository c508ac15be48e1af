import { type Item, is, says, unread, value } from "../item.js";

/** What is done with a number of plants at once: the number behind it counts. */
const COUNTED = new Set(["sow", "germinate", "take_cutting", "prick_out", "acquire", "order", "turn"]);

const tagOf = (item: Item | undefined): boolean => item?.measure !== undefined && is(item, "name");

const links = (item: Item | undefined): boolean => is(item, "and") || item?.token.text === ",";

/** Whether a number that is a label of the household names that plant where it stands, and nothing is counted or measured. */
export function namesPlant(items: readonly Item[], at: number): boolean {
  if (marked(items, at)) return true;
  // "12, 13 and 20": what stands around the whole list decides.
  let first = at;
  while (links(items[first - 1]) && tagOf(items[first - 2])) first -= 2;
  let last = at;
  while (links(items[last + 1]) && tagOf(items[last + 2])) last += 2;
  const next = items[last + 1];
  if (poured(items, first, last + 1)) return true;
  if (first < last && (marked(items, first) || counts(next))) return marked(items, first);
  return (
    onPlant(items, first, next) ||
    asked(items, first, next) ||
    taken(items, first, next) ||
    (!counts(next) && (told(items, first, next) || listed(items, first, next)))
  );
}

/** "#12", "no. 12", "plant 12". */
const marked = (items: readonly Item[], at: number): boolean => {
  const before = items[at - 1];
  return (
    before?.token.text === "#" ||
    says(before, "numbering") ||
    (before?.token.text === "." && says(items[at - 2], "numbering"))
  );
};

const COUNTABLE = ["seednoun", "seedling", "head", "pot", "material", "seen", "pest", "stat", "elsewhere"];

/** "12 aloes", "12 pots", "12 of the yuccas", "20 people": what stands behind the number is counted. */
const counts = (next: Item | undefined): boolean => {
  if (!next || next.token.text === "'") return false;
  if (next.subject || next.measure || says(next, "counts of")) return true;
  if (COUNTABLE.some((cls) => is(next, cls))) return true;
  if (is(next, "quantity") && !is(next, "direction")) return true;
  return next.token.kind === "word" && next.senses.length === 0 && !next.time;
};

/** What is taken off a plant: "4 pads off 20". */
const PARTS = ["propagule", "part", "nounleaf", "seedpod"];

const SITS = ["pest", "product", "seen", "part", "historycue", "pot"];

/** "mealies on 12", "buds on 20", "history of 20", "everything but 12": behind what sits on a plant or leaves one out. */
function onPlant(items: readonly Item[], at: number, next: Item | undefined): boolean {
  const before = items[at - 1];
  const what = items[at - 2];
  if (before === undefined || (counts(next) && !next?.measure && !is(next, "pest"))) return false;
  if (is(before, "historycue")) return true;
  if (is(before, "except")) return true;
  const prep = value(before, "prep");
  const all = what?.subject?.all === true;
  if (is(before, "but")) return all;
  const repots = prep === "for" && value(what, "actnoun") === "repot";
  if (repots || ((prep === "for" || prep === "on") && (all || SITS.some((cls) => is(what, cls)))))
    return true;
  if (says(before, "asks of") && last(items, at) && items.some((item) => is(item, "ask")) && !acted(items))
    return true;
  if (prep === "of" || prep === "to") return is(what, "historycue");
  return prep === "from" && (value(what, "actnoun") === "take_cutting" || PARTS.some((cls) => is(what, cls)));
}

const last = (items: readonly Item[], at: number): boolean =>
  items.slice(at + 1).every((item) => item.token.kind === "mark");

const acted = (items: readonly Item[]): boolean =>
  items.some((item) => item.senses.some((one) => one.cls === "act" && one.form !== "base"));

const ASKED = ["act", "topic", "duecue", "suredue", "lastcue", "needs", "seen"];

/** "does 12 need water", "when is 20 due", "where is 13": a question about the plant. */
function asked(items: readonly Item[], at: number, next: Item | undefined): boolean {
  const before = items[at - 1];
  if (!before || !is(before, "ask")) return false;
  if (
    ["where", "how"].includes(value(before, "ask") ?? "") ||
    (value(items[at - 2], "ask") === "where" && is(before, "be"))
  )
    return next === undefined || next.token.kind === "mark";
  if (!next || next.subject || next.measure || is(next, "degree")) return false;
  return ASKED.some((cls) => is(next, cls)) && value(next, "topic") !== "temperature";
}

/** "gave 12 a drink", "put 20 in the bay". */
function taken(items: readonly Item[], at: number, next: Item | undefined): boolean {
  const before = items[at - 1];
  if (!is(before, "light") || !says(before, "gives a plant") || next?.token.kind !== "word") return false;
  return !counts(next);
}

/** "gave 12 a quart n 13 a cup", "watered 12 20oz": a volume behind the number is what the plant got. */
function poured(items: readonly Item[], first: number, behind: number): boolean {
  const { measure } = items[behind] ?? {};
  if (measure?.dimension !== "volume" && measure?.unit !== "[oz_av]") return false;
  const of = value(items[behind + 1], "prep") === "of";
  const held = items[behind + (of ? 2 : 1)];
  if (of && !["product", "feedstuff", "actnoun"].some((cls) => is(held, cls))) return false;
  if (held && (unread(held) || HELD.some((cls) => is(held, cls)))) return false;
  return items
    .slice(0, first)
    .some(
      (item) =>
        (is(item, "light") && says(item, "gives a plant")) ||
        item.senses.some((one) => one.cls === "act" && WATERED.has(one.value) && one.form === "past"),
    );
}
/** "12 8oz cups", "12 gallon pots": what a number before a volume counts. */
const HELD = ["pot", "vessel", "placeword", "elsewhere"];
const WATERED: ReadonlySet<string> = new Set(["water", "feed"]);

/** "repotted 20 into a 10", "20 is shrivelled". */
function told(items: readonly Item[], at: number, next: Item | undefined): boolean {
  const before = items[at - 1];
  if (before === undefined || (before.token.kind === "mark" && before.token.text !== "-")) {
    return (
      next !== undefined &&
      (next.token.text === "'" ||
        is(next, "be") ||
        is(next, "light") ||
        is(next, "historycue") ||
        next.senses.some((one) => one.cls === "act" && one.form !== "base" && one.form !== "gerund"))
    );
  }
  const verb = before.senses.find(
    (one) => one.cls === "act" && (one.form === "past" || one.form === "base" || one.form === "gerund"),
  );
  return verb !== undefined && !COUNTED.has(verb.value);
}

/** "fed Tank and 20", "hauled the yuccas and 20 into the sunroom": the number goes on a list of plants. */
function listed(items: readonly Item[], at: number, next: Item | undefined): boolean {
  if (!is(items[at - 1], "and")) return false;
  const named = items
    .slice(0, at)
    .some((item) => item.subject?.tag ?? item.senses.some((one) => one.cls === "name" && one.subject?.tag));
  if (named) return true;
  const moved = items
    .slice(0, at)
    .some((item) => item.senses.some((one) => one.cls === "act" || one.cls === "mayact"));
  return moved && items[at - 2]?.subject !== undefined && value(next, "prep") !== "in";
}
