import type { Temporal } from "temporal-polyfill";
import { type Caution, cautionsAt } from "../../../horticulture/cautions.js";
import type {
  HeldGroup,
  MorningLine,
  MorningPlan,
  PlaceMorning,
} from "../../../horticulture/due/plan-types.js";
import type { TaskDue } from "../../../horticulture/due/task-types.js";
import type { HoldReason } from "../../../horticulture/due/types.js";
import { capital } from "./entries.js";
import { list, type Manner, number, shortDate, temperature } from "./figures.js";
import { plural } from "./plurals.js";

/** The morning message and the answer to "what's due": one line a place, then what waits. */

export interface MorningSaid {
  manner: Pick<Manner, "units">;
  cautions?: readonly Caution[];
}

/** Taxa named in a line before it is folded; fewer where many places want something. */
const NAMED_MOST = 8;
const NAMED_IN_MANY = 5;
const MANY_PLACES = 3;
const NAMED_IN_TASK = 6;
/** Beyond so many plants of a genus a line counts them; their tags stand on the buttons. */
const TAGS_TOLD = 2;
/** Idle places are told only where they are few. */
const IDLE_TOLD = 3;

/** Lines of the message, the most useful first. Empty if the plan holds nothing. */
export function morningLines(plan: MorningPlan, said: MorningSaid): string[] {
  const most = plan.places.length > MANY_PLACES ? NAMED_IN_MANY : NAMED_MOST;
  const watered = plan.places.filter(({ water, feed }) => water.length + feed.length > 0);
  const lines = watered.map((place) => placeLine(place, most));
  if (watered.length > 0 && watered.length + plan.idle.length <= IDLE_TOLD) {
    lines.push(...plan.idle.map((place) => `${place}: nothing due.`));
  }
  lines.push(...taskLines(plan, said));
  lines.push(...heldLines(plan.held, plan.date, said));
  if (plan.ask.length > 0) {
    lines.push(`No watering noted yet: ${folded(plan.ask.map(lineName), most)}. When was it last?`);
  }
  return lines;
}

/** "haworthias", "Aloe polyphylla", "Spiral (L-014)" */
export function lineName(
  line: Pick<MorningLine, "genus" | "species" | "tag" | "name" | "plants" | "subjects">,
): string {
  if (line.tag !== null)
    return line.name === null ? `${line.genus} ${line.tag}` : `${line.name} (${line.tag})`;
  if (line.name !== null) return line.name;
  if (line.subjects.length === 1 && !line.subjects[0]?.species) return plural(line.genus);
  if (line.species !== null) return `${line.genus} ${line.species}`;
  const tags = line.subjects.flatMap((subject) => subject.tag ?? subject.species ?? []);
  if (tags.length > 0 && tags.length <= TAGS_TOLD) return `${line.genus} ${list(tags)}`;
  return `${line.plants.length} ${plural(line.genus)}`;
}

const MANNERS: Readonly<Record<string, readonly [one: string, many: string]>> = {
  sips: ["a sip", "a sip each"],
  light: ["a light watering", "a light watering each"],
  normal: ["water through", "water through"],
  generous: ["plenty of water", "plenty of water"],
};

/** "Long House: haworthias 19 days, gasterias 21 days, a sip each; adeniums 9 days, water through." */
function placeLine({ place, water, feed }: PlaceMorning, most: number): string {
  const groups = new Map<string, MorningLine[]>();
  for (const line of water) {
    const key = line.afterRest ? "waking" : line.mode;
    groups.set(key, [...(groups.get(key) ?? []), line]);
  }
  const shown = [...groups].map(([key, lines]) => {
    const few = water.length <= 3;
    const names = folded(
      lines.map((line) => `${lineName(line)}${sinceWords(line, few)}`),
      shareOf(lines.length, water.length, most),
      lines.every((line) => line.daysSince === null),
    );
    if (key === "waking") return `first sips after the rest: ${names}`;
    const [one, many] = MANNERS[key] ?? ["water", "water"];
    return `${names}, ${lines.length === 1 && lines[0]?.plants.length === 1 ? one : many}`;
  });
  const named =
    groups.size === 0
      ? 0
      : [...groups.values()].reduce(
          (sum, lines) => sum + Math.min(lines.length, shareOf(lines.length, water.length, most)),
          0,
        );
  const hidden = water.length - named;
  const ask = hidden > 0 && place !== null ? ` All of it: ask what's due in the ${place.toLowerCase()}.` : "";
  const fed = feed.length === 0 ? "" : ` ${capital(feedWords(feed))}.`;
  return `${place ?? "No place told"}: ${shown.join("; ")}.${fed}${ask}`;
}

/** How many of a group may be named, so that the whole line stays within its share. */
const shareOf = (of: number, all: number, most: number): number =>
  all <= most ? of : Math.max(2, Math.round((of / all) * most));

function sinceWords(line: MorningLine, few: boolean): string {
  if (line.daysSince === null || line.afterRest) return "";
  const late = line.status === "overdue" ? " (late)" : "";
  const usual = line.habitDays === null ? null : Math.round(line.habitDays);
  const habit = few && usual !== null && usual !== line.daysSince ? ` (you usually wait ${usual})` : "";
  return ` ${line.daysSince} ${line.daysSince === 1 ? "day" : "days"}${late || habit}`;
}

/** "a, b, c and 14 more" */
function folded(names: readonly string[], most: number, plain = true): string {
  if (names.length <= most) return plain ? list(names) : names.join(", ");
  const shown = names.slice(0, most);
  return `${shown.join(", ")} and ${names.length - shown.length} more`;
}

const RHYTHM_WORDS =
  /,? ?(every .*|fortnightly|monthly|weekly|once or twice|once( in leaf| growing)?|twice|until \w+|from \w+,?|in \w+)$/;

/** "Feed with it: lobivias and rebutias, high potash; gasterias, half strength" */
function feedWords(feed: readonly MorningLine[]): string {
  const byText = new Map<string, MorningLine[]>();
  for (const line of feed) {
    const text = (line.feed ?? "").replace(RHYTHM_WORDS, "").replace(RHYTHM_WORDS, "");
    byText.set(text, [...(byText.get(text) ?? []), line]);
  }
  const parts = [...byText].map(([text, lines]) => {
    const names = folded(lines.map(lineName), 4);
    return text === "" ? names : `${names}, ${text}`;
  });
  return `feed with it: ${parts.join("; ")}`;
}

/** One line a task, its places or taxa together; the checks before the frost share one. */
function taskLines(plan: MorningPlan, said: MorningSaid): string[] {
  const tasks = [...plan.tasks, ...plan.places.flatMap((place) => place.tasks)];
  const groups = new Map<string, TaskDue[]>();
  for (const task of tasks) {
    const key = task.trigger === "first frost" && task.place === null ? "first frost" : task.row;
    groups.set(key, [...(groups.get(key) ?? []), task]);
  }
  const lines = [...groups].map(([key, group]) =>
    key === "first frost"
      ? `Before the first frost: ${list(group.map((task) => task.words))}.`
      : taskLine(group, plan.date),
  );
  const caution = cautionOf(tasks, said.cautions ?? []);
  return caution === null ? lines : [...lines, caution];
}

function cautionOf(tasks: readonly TaskDue[], cautions: readonly Caution[]): string | null {
  for (const task of tasks) {
    const found = task.cautionAct === null ? undefined : cautionsAt(task.cautionAct, cautions)[0];
    if (found) return found.text;
  }
  return null;
}

function taskLine(group: readonly TaskDue[], today: Temporal.PlainDate): string {
  const first = group[0] as TaskDue;
  const places = [...new Set(group.flatMap((task) => task.place ?? []))];
  if (first.trigger === "frost season") {
    const since = first.last === null ? "" : ` since ${shortDate(first.last, today)}`;
    return `❄ ${list(places)}: ${first.words}${since}.`;
  }
  const genera = [...new Set(group.flatMap((task) => task.plants.map((plant) => plural(plant.genus))))];
  const words = capital(first.words);
  if (first.trigger === "after") {
    return genera.length === 0 ? `${words}.` : `${capital(folded(genera, NAMED_IN_TASK))}: ${first.words}.`;
  }
  if (genera.length > 0) return `${words}: ${folded(genera, NAMED_IN_TASK)}.`;
  return places.length > 0 ? `${words}: ${list(places)}.` : `${words}.`;
}

function heldLines(groups: readonly HeldGroup[], today: Temporal.PlainDate, said: MorningSaid): string[] {
  const resting = groups.filter(({ held }) => held.why === "rest near");
  const waiting = groups.filter(({ held }) => held.why !== "rest near");
  const lines = waiting.map((group) => {
    const names = folded(namesOf([group]), NAMED_IN_TASK);
    return `Waiting: ${names}, ${heldWords(group.held, today, said, group.wantsC)}.`;
  });
  if (resting.length === 0) return lines;
  return [...lines, `Into their rest now, no more water: ${folded(namesOf(resting), NAMED_MOST)}.`];
}

const namesOf = (groups: readonly HeldGroup[]): string[] => [
  ...new Set(groups.flatMap((group) => group.lines.map(lineName))),
];

const dayMonth = (date: Temporal.PlainDate, today: Temporal.PlainDate): string =>
  shortDate(date, today).replace(/^\w+ /, "");

/** Why something waits: "nights too cold for moist roots (3 °C, wants 8)". */
export function heldWords(
  held: HoldReason,
  today: Temporal.PlainDate,
  { manner }: MorningSaid,
  wantsC: HeldGroup["wantsC"] = null,
): string {
  const bare = (celsius: number) => temperature(celsius, manner).replace(/ °[CF]$/, "");
  switch (held.why) {
    case "cold": {
      const [lo, hi] = wantsC ?? [held.wantsC, held.wantsC];
      const wants = lo === hi ? `wants ${bare(lo)}` : `want ${bare(lo)} to ${bare(hi)}`;
      return `nights too cold for moist roots (${temperature(held.coldestC, manner)}, ${wants})`;
    }
    case "damp":
      return `air too damp to dry them (never under ${number(held.leastRh, 0)} %)`;
    case "repotted":
      return `roots heal dry after repotting, until ${dayMonth(held.until, today)}`;
    case "rot":
      return `rot noted ${dayMonth(held.on, today)}, keep dry and look again`;
    case "skipped":
      return `skipped${held.by === null ? "" : ` by ${held.by}`}, until ${dayMonth(held.until, today)}`;
    case "postponed":
      return `put off by ${held.by} until ${dayMonth(held.until, today)}`;
    case "rest near":
      return `rest begins ${dayMonth(held.begins, today)}`;
  }
}
