import type { Temporal } from "temporal-polyfill";
import type { Range } from "../care.js";
import type { CareNow } from "../own-rules.js";
import { turnMonth } from "../seasons.js";
import { daysFrom, epochDay, isBefore } from "./days.js";
import type { CareHistory } from "./history.js";
import type { FeedDue, FeedRhythm } from "./task-types.js";
import type { DueSetting, WaterDue } from "./types.js";

/** Fresh substrate feeds for a while, and cut roots are burnt by salts (common practice). */
const NO_FEED_AFTER_REPOT_DAYS = 42;
/** Two feeds of "once or twice" a season lie this far apart. */
const APART_IN_SEASON_DAYS = 35;
/** Where a text names strength but no rhythm. */
const MONTHLY: FeedRhythm = { by: "days", days: [28, 35] };

/** How often, by the words of the care table; the first that stands in the text counts. */
const RHYTHMS: readonly (readonly [RegExp, FeedRhythm])[] = [
  [/every second watering/, { by: "waterings", each: 2 }],
  [/every third watering/, { by: "waterings", each: 3 }],
  [/every watering/, { by: "waterings", each: 1 }],
  [/every (?:two to three|2 to 3|2-3) weeks/, { by: "days", days: [14, 21] }],
  [/every (?:three|3) weeks/, { by: "days", days: [21, 24] }],
  [/every (?:two|2) weeks|fortnightly/, { by: "days", days: [14, 16] }],
  [/every (?:three|3) months/, { by: "days", days: [85, 95] }],
  [/every (?:two|2) months/, { by: "days", days: [56, 65] }],
  [/weekly/, { by: "days", days: [7, 9] }],
  [/monthly/, MONTHLY],
  [/once or twice|twice/, { by: "season", times: 2 }],
  [/once/, { by: "season", times: 1 }],
];

const MONTHS = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];
const monthOf = (word: string): number => MONTHS.indexOf(word.slice(0, 3).toLowerCase()) + 1;
const MONTH = "(January|February|March|April|May|June|July|August|September|October|November|December)";
const UNTIL = new RegExp(`until ${MONTH}`);
const FROM = new RegExp(`from ${MONTH}`);
const IN = new RegExp(`\\bin ${MONTH}`);

/** "high potash weekly to late September, then quarter strength": the first part holds through that month. */
const IN_TURN = new RegExp(`^(.*?) (?:to|till) (?:early |mid |late )?${MONTH}, then (.*)$`);

/**
 * The part of a feed text that holds on a day. Texts stand in the row of one season, so that its months are close by.
 * @example feedPart("high potash weekly to late September, then quarter strength", 10) //=> "quarter strength"
 */
export function feedPart(text: string, northernMonth: number): string {
  const parts = IN_TURN.exec(text);
  if (!parts) return text;
  return northernMonth <= monthOf(parts[2] as string) ? (parts[1] as string) : (parts[3] as string);
}

/**
 * The rhythm of a feed text on a day; null where it says none now. Months of the text are northern.
 * @example feedRhythm("high potash, every second watering", date, "north") //=> { by: "waterings", each: 2 }
 */
export function feedRhythm(
  words: string,
  date: Temporal.PlainDate,
  hemisphere: DueSetting["hemisphere"],
): FeedRhythm | null {
  const month = turnMonth(date.month, hemisphere);
  const text = feedPart(words, month);
  if (text === "" || /^none\b/.test(text)) return null;
  const until = UNTIL.exec(text);
  if (until && month >= monthOf(until[1] as string)) return null;
  const from = FROM.exec(text);
  if (from && month < monthOf(from[1] as string)) return null;
  const only = IN.exec(text);
  if (only && month !== monthOf(only[1] as string)) return null;
  if (only) return { by: "season", times: 1 };
  return RHYTHMS.find(([pattern]) => pattern.test(text))?.[1] ?? MONTHLY;
}

/**
 * Feed that goes with a watering which is due: only in growth, never in rest, on the first sips after it, right after
 * repotting, or on dry roots of its own day.
 */
export function feedWith(item: WaterDue, setting: DueSetting, history: CareHistory): FeedDue | null {
  const { plant, care } = item;
  if (item.held !== null || item.afterRest || item.neverNoted || item.status === "early") return null;
  if (item.mode === "none" || item.mode === "sips") return null;
  if (care.rule.phase !== "growing" && care.rule.phase !== "waking" && care.rule.phase !== "slowing")
    return null;
  if (neverFed(care)) return null;
  const rhythm = feedRhythm(care.rule.feed, setting.date, setting.hemisphere);
  if (!rhythm) return null;
  const repotted = history.lastOn(plant.id, "repot");
  if (repotted && daysFrom(repotted, setting.date) < NO_FEED_AFTER_REPOT_DAYS) return null;
  const last = history.lastOn(plant.id, "feed");
  const dueOn = nextFeed(rhythm, last, item, setting, history);
  if (dueOn === null || isBefore(setting.date, dueOn)) return null;
  return {
    kind: "feed",
    plant,
    feed: feedPart(care.rule.feed, turnMonth(setting.date.month, setting.hemisphere)),
    every: rhythm,
    last,
    dueOn,
    status: "due",
    mention: `feed|${plant.id}|${last ?? "never"}`,
  };
}

const neverFed = (care: CareNow): boolean =>
  care.overrides.some((override) => override.what === "never" && override.act === "feed");

function nextFeed(
  rhythm: FeedRhythm,
  last: Temporal.PlainDate | null,
  item: WaterDue,
  { date }: DueSetting,
  history: CareHistory,
): Temporal.PlainDate | null {
  const fed = history.days(item.plant.id, "feed");
  switch (rhythm.by) {
    case "waterings": {
      const lastFed = fed[0] ?? Number.NEGATIVE_INFINITY;
      const since = history.days(item.plant.id, "water").filter((day) => day > lastFed).length;
      return since >= rhythm.each - 1 ? date : null;
    }
    case "days":
      return last === null ? date : last.add({ days: (rhythm.days as Range)[0] });
    case "season": {
      const began = epochDay(date) - item.at.since;
      if (fed.filter((day) => day >= began).length >= rhythm.times) return null;
      return last === null ? date : last.add({ days: APART_IN_SEASON_DAYS });
    }
  }
}
