import { SEEN_ACTS } from "../interpretation.js";
import { type Item, is, isAct, says, unread, value } from "../item.js";
import type { Clause } from "./clause.js";
import { general, recurring, saysOfKind } from "./habit.js";
import type { Head } from "./head.js";

/** Whether a clause states what happened, or only plans, denies, wishes, supposes or retells it. */
export type Modality = "stated" | "plan" | "negated" | "condition" | "report" | "habit";

const BLOCKERS: readonly (readonly [cls: string, modality: Modality])[] = [
  ["report", "report"],
  ["condition", "condition"],
  ["negation", "negated"],
  ["plan", "plan"],
  ["habit", "habit"],
];

/**
 * The modality of each clause. A marker counts where it stands before the clause's head; a clause joined by
 * "and" without a doer of its own shares the one before.
 */
export function modalities(clauses: readonly Clause[]): Modality[] {
  const result: Modality[] = [];
  clauses.forEach((clause, index) => {
    const own = modalityOf(clause);
    const before = result[index - 1];
    // "no water for the cacti this week, skipping them": to skip is what is denied.
    const skips = clause.head?.act === "skip";
    const shares =
      !skips && clause.before === 1 && before !== undefined && before !== "stated" && !hasDoer(clause);
    result.push(own === "stated" && shares && before ? before : own);
  });
  clauses.forEach((clause, index) => {
    const supposes = clause.items
      .slice(0, clause.head?.at ?? 0)
      .some((item) => value(item, "condition") === "soft");
    if (supposes && (result[index + 1] === "plan" || result[index - 1] === "plan"))
      result[index] = "condition";
  });
  return result;
}

/** "did not come on": "not" with a verb behind it, where it excepts nothing. */
const denies = (item: Item, next: Item | undefined): boolean =>
  says(item, "denies") && next !== undefined && !next.subject && !is(next, "det") && !is(next, "place");

/** A reading is judged by the words before its number. */
const numberAt = (items: readonly Item[]): number => {
  const at = items.findIndex((item) => item.measure);
  return at < 0 ? items.length : at;
};

const hasDoer = (clause: Clause): boolean => {
  const end = clause.head?.at ?? 0;
  return clause.items.slice(0, end).some((item) => is(item, "self") || is(item, "member") || is(item, "kin"));
};

/** "3 flowers open tonight": the coming night, which has begun for what is seen. */
const tonight = (items: readonly Item[]): boolean =>
  items.some(({ time }) => time?.part === "night" && time.near === "next" && !time.day);
const SEEN: ReadonlySet<string> = new Set(SEEN_ACTS);

/** "tomorrow", "next week": a clause that is dated ahead tells a plan, whatever form its verb has. */
const ahead = (items: readonly Item[]): boolean =>
  items.some(({ time, quoted }) => {
    if (!time || quoted || time.open) return false;
    const { day, span } = time;
    if (time.near === "next" || (day?.kind === "offset" && day.days > 0)) return true;
    if (day?.kind === "weekday") return day.shift === 1;
    return (
      ((span?.kind === "week" || span?.kind === "month-shift") && span.shift > 0) ||
      (span?.kind === "weekend" && (span.shift ?? 0) > 0) ||
      (span?.kind === "ago" && span.ahead === true && span.count > 0)
    );
  });

/** "the gasterias to repot", "be sure to water": an infinitive, which says nothing of its having been done. */
const infinitive = (items: readonly Item[], at: number): boolean => {
  if (!says(items[at - 1], "marks infinitive") || is(items[at - 1], "head")) return false;
  return isAct(items[at], "base");
};

/** "Maureen did you turn the heater off": a question to a person, before any verb of its own. */
const asksSomebody = (items: readonly Item[]): boolean =>
  items.slice(0, 4).some((item, i) => i > 0 && is(item, "second") && says(items[i - 1], "asks the reader"));

/** "turn the thermostat down to 65": the value is asked for, not read off. */
const named = (item: Item): boolean =>
  item.subject !== undefined || is(item, "self") || is(item, "member") || is(item, "kin");

/** "once the lithops have flowered we repot them": what is done whenever the condition comes about. */
const whenWe = (items: readonly Item[]): boolean => {
  const soft = items.findIndex((item) => value(item, "condition") === "soft");
  return (
    soft >= 0 &&
    items.some(
      (item, i) =>
        i > soft && is(items[i - 1], "self") && !item.subject && isAct(item, "base") && !isAct(item, "past"),
    )
  );
};

/** "the pot I put the agave in is too small": the verb only says which pot is meant. */
const relative = (items: readonly Item[], head: Head): boolean => {
  const at = is(items[0], "det") ? 1 : 0;
  const noun = items[at];
  return (
    noun !== undefined &&
    !noun.subject &&
    noun.token.kind === "word" &&
    (is(noun, "pot") || noun.senses.length === 0) &&
    is(items[at + 1], "self") &&
    head.at === at + 2 &&
    items
      .slice(head.at + 1)
      .some((item, i, rest) => is(item, "be") && !isAct((rest[i + 1] as Item) ?? item, "past"))
  );
};

/** "Wendy says it is 3.5 in the frame": what a member read off, behind the word of saying at `at`. */
export function readBy(items: readonly Item[], at: number): boolean {
  if (!is(items[at - 1], "member") || !is(items[at], "reach")) return false;
  const behind = items.slice(at + 1);
  const number = behind.findIndex((item) => item.measure && !item.measure.article);
  return (
    number >= 0 &&
    behind.slice(0, number).every((item) => BEFORE_VALUE.some((cls) => is(item, cls)) || item.time) &&
    behind.some((item) => is(item, "place")) &&
    !behind.some((item) => item.subject || is(item, "equipment"))
  );
}

const BEFORE_VALUE = ["place", "be", "det", "pron", "prep", "reach", "filler", "stat"] as const;

/** "the flowers on Spotty dropped": they are seen no more. */
const fallen = (items: readonly Item[], head: Head): boolean =>
  head.kind === "seen" &&
  (head.act === "flower" || head.act === "bud") &&
  items.slice(head.at + 1).some(
    (item) =>
      (says(item, "falls") && !is(item, "prep")) ||
      is(item, "spent") ||
      // "hoya flowers gonna open"
      (head.act === "flower" && says(item, "forecasts")),
  );

/** "lithops look dead but they're not": the end denies what was said. */
const takenBack = (items: readonly Item[], head: Head): boolean =>
  is(items.at(-1), "negation") &&
  (is(items.at(-2), "be") || says(items.at(-2), "says they are")) &&
  items.length - 2 > head.at &&
  !items.slice(head.at + 1).some((item) => item.subject);

function modalityOf(clause: Clause): Modality {
  const { items, head } = clause;
  const seen = head !== undefined && (head.kind === "seen" || (SEEN.has(head.act) && tonight(items)));
  // "watered the hoyas tonight", said late: done, if the night has come.
  const done = head?.form === "past" && (head.kind === "verb" || head.kind === "light") && tonight(items);
  if (ahead(items) && head?.act !== "skip" && !seen && !done) return "plan";
  if (asksSomebody(items)) return "plan";
  if (says(items[0], "time to act") && (is(items[1], "det") || items[1]?.subject || is(items[1], "self")))
    return "plan";
  if (says(items[0], "hopes") && (items[1]?.subject || items[2]?.subject)) return "plan";
  // "time for a feed"
  if (says(items[0], "time to act") && value(items[1], "prep") === "for" && head?.kind === "noun")
    return "plan";
  // "put the aloes in the bay please Bert"
  if (
    head &&
    !hasDoer(clause) &&
    items.some((item, i) => i > head.at && says(item, "begs") && is(items[i + 1], "member"))
  )
    return "plan";
  if (head && whenWe(items)) return "condition";
  if (head && relative(items, head)) return "report";
  if (
    (!head || head.kind === "base") &&
    says(items[0], "bids") &&
    items.some((item) => is(item, "equipment"))
  )
    return "plan";
  // "perhaps give the cacti a drink": somebody is to do it.
  if (
    head &&
    items
      .slice(0, Math.max(head.at, 0))
      .some(
        (item) =>
          (head.kind === "noun" && is(item, "bid")) ||
          (head.kind === "light" && value(item, "bid") === "let"),
      ) &&
    !hasDoer(clause)
  )
    return "plan";
  if (head && infinitive(items, head.at) && (head.kind === "noun" || head.kind === "base")) return "plan";
  if (head?.complement !== undefined && infinitive(items, head.complement)) return "plan";
  if (head?.kind === "noun" && says(items[head.at - 1], "lacks")) {
    if (items[head.at]?.senses.some((one) => one.form === "gerund")) return "plan";
  }
  if (head && recurring(items)) return "habit";
  if (head && (general(items, head) || saysOfKind(items, head))) return "habit";
  const end = head ? Math.max(head.at, 0) : numberAt(items);
  for (let i = 0; i < end; i++) {
    const item = items[i] as Item;
    if (item.subject || item.quoted || item.measure) continue;
    if (
      is(item, "second") &&
      !(is(items[i - 1], "courtesy") && i === 1) &&
      !items.slice(i + 1, end).some(named)
    )
      return "plan";
    if (
      is(item, "report") &&
      !head &&
      ((is(item, "reach") && is(items[i - 1], "place")) ||
        items.slice(0, i).some((one) => is(one, "quantity") || is(one, "equipment")))
    )
      continue;
    if (!head && readBy(items, i)) continue;
    // "as Pete suggested, I watered them"
    if (
      is(item, "report") &&
      is(items[0], "asword") &&
      items.slice(i + 1, end).some((one) => is(one, "self"))
    )
      continue;
    // "not a bad day, repotted three": a word about the day, and no denial.
    if (is(item, "negation") && value(items[i + 1], "det") === "a" && unread(items[i + 2])) continue;
    // "wrote labels for the stapelias"
    if (is(item, "report") && value(items[i + 1], "actnoun") === "label") continue;
    for (const [cls, modality] of BLOCKERS) {
      if (!is(item, cls) || (cls === "plan" && is(item, "head"))) continue;
      // "got to 39"
      if (cls === "plan" && is(item, "reach") && items[i + 1]?.measure) continue;
      const repeated = cls === "habit" && says(item, "each time");
      if (repeated && (head?.form === "past" || head?.form === "state")) continue;
      if (value(item, "condition") === "soft" && head?.form !== "base" && head?.kind !== "noun") continue;
      return modality;
    }
  }
  if (head && (head.kind === "base" || head.kind === "noun")) {
    if (items.some((item) => !item.subject && (is(item, "plan") || is(item, "condition")) && !item.measure))
      return "plan";
  }
  if (
    head?.complement !== undefined &&
    items
      .slice(head.at + 1, head.complement)
      .some((item) => is(item, "negation") && (!is(item, "except") || says(item, "denies")))
  )
    return "negated";
  if (head?.kind === "equipment" && items.slice(0, 5).some((item, i) => denies(item, items[i + 1]))) {
    return "negated";
  }
  const after = head ? items[Math.max(head.at, head.complement ?? 0) + 1] : undefined;
  if (after && is(after, "negation") && !is(after, "except") && !says(after, "goes without"))
    return "negated";
  if (head && (takenBack(items, head) || fallen(items, head))) return "negated";
  return "stated";
}
