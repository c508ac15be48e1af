import { readBy } from "../clauses/modality.js";
import type { Built } from "../entries/build.js";
import { settleIn } from "../entries/circumstances.js";
import { type Entry, type Interpretation, type Missing, SEEN_ACTS } from "../interpretation.js";
import { type Item, is, says, value } from "../item.js";
import { understood } from "./familiar.js";
import { lacking } from "./lacking.js";
import { notOurs } from "./ours.js";
import { outer } from "./owners.js";
import { questioned } from "./questioned.js";
import { has, type MessageView } from "./view.js";

/** The log that a message states, or undefined. */
export function decideLog(
  view: MessageView,
): { interpretation: Interpretation; accepted: readonly Built[] } | undefined {
  if (view.items.some((item) => is(item, "joke"))) return undefined;
  if (is(view.items[0], "notice") && view.items[1]?.token.text === ":") return undefined;
  const note = noteOf(view);
  if (note) return { interpretation: { kind: "log", entries: [note] }, accepted: [] };
  if (view.items.some((item) => is(item, "report") && !item.subject && reportsWhole(view, item)))
    return undefined;
  const accepted: Built[] = [];
  const missing = new Set<Missing>();
  let partial: Entry | undefined;
  // What has no plants of its own goes on about those before it, be they ours or not.
  let others = false;
  const memory = !view.addressed && remembers(view);
  const asked = questioned(view.clauses, view.tokens);
  for (const one of view.built) {
    const clause = view.clauses[one.clause];
    if (!clause || asked.has(one.clause) || view.modalities[one.clause] !== "stated") continue;
    if (!assertive(one, view)) continue;
    if (has(clause.items, "elsewhere") && !view.addressed && !one.entry.subjects) continue;
    const own = clause.items.some((item) => item.subject);
    if (notOurs(one, clause.items, view) || (others && !own)) {
      others = true;
      continue;
    }
    if (own) others = false;
    if (longAgo(one.entry, view) || notYet(one.entry, view) || (memory && one.entry.act !== "reading"))
      continue;
    if (one.entry.act === "acquire" && one.entry.subjects?.every((subject) => subject.all)) continue;
    if (one.entry.act === "lose" && !own && scored(clause.items)) continue;
    const lacks = lacking(one, view);
    if (lacks === "reject") continue;
    if (lacks) {
      missing.add(lacks);
      partial ??= one.entry;
      continue;
    }
    accepted.push(one);
  }
  if (accepted.length > 0) {
    return { interpretation: { kind: "log", entries: accepted.map((one) => one.entry) }, accepted };
  }
  if (missing.size > 0) {
    return {
      interpretation: { kind: "unclear", missing: [...missing], ...(partial && { partial }) },
      accepted: [],
    };
  }
  return wantsAct(view)
    ? { interpretation: { kind: "unclear", missing: ["act"], partial: partialOf(view) }, accepted: [] }
    : undefined;
}

/** "note: the new place for the hose is by the tap": what stands behind the mark is the note, whatever it says. */
export const markedNote = (view: MessageView): Entry | undefined =>
  is(view.items[0], "notecue") && view.items[1]?.token.text === ":" ? noteOf(view) : undefined;

/** "note: the door sticks", "note that the aloes look pale": the words behind it are kept as they are. */
function noteOf(view: MessageView): Entry | undefined {
  const { items, tokens } = view;
  let at = 0;
  while (at < items.length && is(items[at], "courtesy") && !is(items[at], "notecue")) at++;
  if (!is(items[at], "notecue")) return undefined;
  const mark = items[at + 1]?.token;
  const marked =
    mark?.kind === "mark" &&
    (mark.text === ":" || mark.text === "-" || mark.text === "," || mark.text === "–" || mark.text === "—");
  const phrase = (items[at] as Item).end - (items[at] as Item).start > 1;
  const firm =
    phrase &&
    view.tokens
      .slice((items[at] as Item).start, (items[at] as Item).end)
      .some((token) => says(token, "firm note"));
  const about = items[is(items[at + 1], "det") ? at + 2 : at + 1];
  const ours = at === 0 && !phrase && (is(about, "place") || about?.subject !== undefined);
  if (!marked && !firm && !ours && !view.addressed) return undefined;
  const first = items[marked ? at + 2 : at + 1];
  if (!first) return undefined;
  const from = tokens[first.start]?.start ?? 0;
  const text = view.text.slice(from, tokens.at(-1)?.end).trim();
  return text === "" ? undefined : { act: "note", text };
}

/** "the aloes and the gasterias on wednesday", said to the bot: who and when, but not what. */
const wantsAct = (view: MessageView): boolean =>
  view.addressed &&
  view.built.length === 0 &&
  (view.items.some((item) => item.subject && !item.subject.all) ||
    (has(view.items, "place") && view.items.some(dated) && view.items.every(bare))) &&
  understood(view) &&
  view.clauses.every((clause) => !clause.head || clause.head.kind === "light");

const dated = (item: Item): boolean => item.time !== undefined && !item.weakTime;

/** "the frame on Tuesday": nothing but where and when. */
const bare = (item: Item): boolean =>
  dated(item) || ["place", "det", "prep", "courtesy"].some((cls) => is(item, cls));

function partialOf(view: MessageView): Partial<Entry> {
  const subjects = view.items.flatMap((item) => (item.subject ? [item.subject] : []));
  const time = view.items.find((item) => item.time)?.time;
  const when = time && settleIn(time, view.circumstances, "past");
  return { ...(subjects.length > 0 && { subjects }), ...(when && { when }) };
}

const reportsWhole = (view: MessageView, item: Item): boolean => {
  const at = view.items.indexOf(item);
  if (
    view.items.slice(0, at).some((one) => is(one, "quantity")) ||
    (is(item, "reach") && is(view.items[at - 1], "place"))
  )
    return false;
  if (readBy(view.items, at)) return false;
  if (is(view.items[0], "asword") && view.items.slice(at).some((one) => is(one, "self"))) return false;
  const head = view.clauses.find((clause) => clause.head && clause.head.kind !== "base");
  const headItem = head?.head ? head.items[head.head.at] : undefined;
  return headItem === undefined || view.items.indexOf(headItem) > at;
};

const MOST_YEARS = 3;

/** "in 87", "in 1998": a year that lies behind the last one makes the whole message a memory. */
const remembers = (view: MessageView): boolean => {
  const year = Number(view.circumstances.context.now.slice(0, 4));
  return view.items.some((item, i) => {
    const { measure } = item;
    if (!measure || measure.dimension || measure.article || value(view.items[i - 1], "prep") !== "in")
      return false;
    const next = view.items[i + 1];
    if (next?.subject || is(next, "pot") || is(next, "material")) return false;
    return (
      (measure.value >= 1900 && measure.value < year - 1) || (measure.value >= 50 && measure.value <= 99)
    );
  });
};

/** "lost 3-1": the result of a match. */
const scored = (items: readonly Item[]): boolean =>
  items.some(
    (item, i) =>
      item.measure && !item.measure.unit && items[i + 1]?.token.text === "-" && items[i + 2]?.measure,
  ) ||
  items.some(
    (item, i) => item.measure && !item.measure.unit && items[i + 1]?.measure && !items[i + 1]?.measure?.unit,
  );

/** "in 1998 the club lost every melocactus": a memory and no entry. */
const longAgo = (entry: Entry, view: MessageView): boolean =>
  entry.when !== undefined &&
  Number(entry.when.from.slice(0, 4)) < Number(view.circumstances.context.now.slice(0, 4)) - MOST_YEARS;

const MOST_HOURS_AHEAD = 2;
const MOST_HOURS_TO_NIGHT = 6;
const SEEN: ReadonlySet<string> = new Set(SEEN_ACTS);

/** What lies ahead was not done. "This morning" may be said before six. */
function notYet({ when, act }: Entry, view: MessageView): boolean {
  const { now } = view.circumstances.context;
  if (!when || when.from <= now.slice(0, when.from.length)) return false;
  const hours = Number(when.from.slice(11, 13)) - Number(now.slice(11, 13));
  // "3 flowers open tonight", said in the evening of a bright day
  if (when.grain === "night" && SEEN.has(act))
    return when.from.slice(0, 10) !== now.slice(0, 10) || hours > MOST_HOURS_TO_NIGHT;
  return when.grain !== "part" || when.from.slice(0, 10) !== now.slice(0, 10) || hours > MOST_HOURS_AHEAD;
}

/** "skipping the lithops", not "skipping ahead to the hoyas" nor "thinking of skipping". */
function leavesOut(items: readonly Item[], at: number): boolean {
  const name = items.findIndex((item, i) => i > at && item.subject);
  return (
    items.slice(0, at).every((item) => is(item, "self") || is(item, "be") || is(item, "filler")) &&
    !items.slice(at, Math.max(name, at)).some((item) => value(item, "prep") === "to")
  );
}

/** "new pots for the cacti are on order", "the new pot for the aloe broke": told of the pot, and nothing was repotted. */
const toldOfPot = (items: readonly Item[], at: number): boolean =>
  is(items[at], "actnoun") &&
  says(items[at], "comes new") &&
  items
    .slice(items.findIndex((item, i) => i > at && item.subject) + 1)
    .some((item) => outer(item) || ["be", "arrive", "broken", "polarity"].some((cls) => is(item, cls)));

/** Whether the head, as it stands, says that the act was done. */
function assertive(one: Built, view: MessageView): boolean {
  const { head } = one;
  if (!head || head.kind === "reading") return true;
  const clause = view.clauses[one.clause];
  if (!clause) return false;
  if (head.kind === "base") return false;
  if (head.kind === "noun" && (one.entry.act === "acquire" || head.at < 0)) return true;
  // "skipping the lithops this week": to leave them out is decided in saying so.
  if (head.kind === "noun" && one.entry.act === "skip" && head.form === "gerund")
    return leavesOut(clause.items, head.at);
  if (head.kind === "noun" && one.entry.act === "repot" && toldOfPot(clause.items, head.at)) return false;
  if (head.kind === "noun") {
    if (head.form === "gerund")
      return has(clause.items, "done") || clause.items.some((item) => is(item, "light"));
    return (
      clause.items.some((item) => item.subject || (one.entry.act === "treat" && is(item, "pron"))) &&
      (head.at > 0 || view.addressed || has(clause.items, "done") || understood(view))
    );
  }
  return true;
}
