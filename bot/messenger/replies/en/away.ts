import { Temporal } from "temporal-polyfill";
import type { WaterMode } from "../../../horticulture/care.js";
import type { AwayTime } from "../../../journal/away.js";
import type { Button, Id } from "../../../journal/ports.js";
import type { Homecoming } from "../../../nudges/homecoming.js";
import type { CoverGroup, CoverLine, CoverSheet } from "../../../nudges/plan-cover.js";
import type { Worded } from "../../../nudges/voice.js";
import { actWord, capital } from "./entries.js";
import { list, type Manner, shortDate, temperature } from "./figures.js";

/** Words of a time away: what was kept, the sheet for who covers, the first day, the summary on return. */

const DOSES: Readonly<Record<WaterMode, string>> = {
  none: "nothing",
  sips: "a sip each",
  light: "lightly",
  normal: "through",
  generous: "well",
};
export const dose = (mode: WaterMode): string => DOSES[mode];
const DOSES_EXPLAINED: readonly [WaterMode, string][] = [
  ["sips", "A sip: the top of the soil only."],
  ["light", "Lightly: half of a normal watering."],
  ["normal", "Through: until it runs out below."],
  ["generous", "Well: through, and never quite dry."],
];
/** What the doses on the sheet mean. */
export function dosesExplained(sheet: CoverSheet): string {
  const used = new Set(
    sheet.visits.flatMap(({ places }) => places.flatMap(({ lines }) => lines.map(({ mode }) => mode))),
  );
  return DOSES_EXPLAINED.filter(([mode]) => used.has(mode))
    .map(([, words]) => words)
    .join(" ");
}

const WAITS: Readonly<Record<CoverSheet["waiting"][number]["why"], string>> = {
  cold: "nights too cold for moist roots",
  damp: "air too damp to dry",
  repotted: "repotted, the roots heal dry",
  rot: "rot was seen",
  skipped: "left out on purpose",
  postponed: "put off",
  "rest near": "the dry rest is near",
};
export const waitsFor = (why: CoverSheet["waiting"][number]["why"]): string => WAITS[why];

const date = (text: string): Temporal.PlainDate => Temporal.PlainDate.from(text);
export const spanWords = (away: Pick<AwayTime, "from" | "to">, today: Temporal.PlainDate): string =>
  away.from === away.to
    ? shortDate(date(away.from), today)
    : `${shortDate(date(away.from), today)} to ${shortDate(date(away.to), today)}`;
const todayOf = (manner: Manner): Temporal.PlainDate =>
  manner.now.toZonedDateTimeISO(manner.zone).toPlainDate();

/** What was kept, in one line. */
export function awayKept(away: AwayTime, id: Id, manner: Manner): Worded {
  const today = todayOf(manner);
  const back = shortDate(date(away.to).add({ days: 1 }), today);
  const who = away.cover
    ? `${away.cover} covers ${spanWords(away, today)}; tasks go to ${away.cover} by name.`
    : `Away ${spanWords(away, today)}. To name who covers: “Priya covers”.`;
  return {
    text: `${who} What was done is summed up on ${back}.`,
    buttons: [[{ label: "We stay", data: `away:stay:${id}` }]],
  };
}
export const AWAY_UNCLEAR =
  "From when to when? For example: “we're away 12 to 26 February, Priya covers”, or “away until Sunday”.";
export const staying = (away: AwayTime, manner: Manner): string =>
  `Then nobody is away ${spanWords(away, todayOf(manner))}; tasks go to all again.`;

/** Lines of a visit that a message shows before the rest is left to the printed sheet. */
const VISITS_SHOWN = 5;
const NAMES_SHOWN = 10;
const KINDS_SHOWN = 14;

export function namesOf(group: CoverGroup, most = NAMES_SHOWN): string {
  if (group.all && group.names.length > 3) return "everything";
  const left = group.names.length - most;
  return left > 1 ? `${group.names.slice(0, most).join(", ")} and ${left} more` : list(group.names);
}

export const nights = (line: CoverLine, manner: Pick<Manner, "units">): string =>
  line.nightsAboveC === null ? "" : `nights above ${temperature(line.nightsAboveC, manner)}`;

const lineWords = (line: CoverLine, manner: Manner): string => {
  const above = nights(line, manner);
  return `${namesOf(line)} ${DOSES[line.mode]}${above === "" ? "" : ` (only after ${above})`}`;
};

/** Places with what stays dry; "everything else" where water is given there too. */
export function dryWords(sheet: CoverSheet, most = NAMES_SHOWN): { place: string | null; names: string }[] {
  return sheet.dry.map((group) => ({
    place: group.place,
    names: group.all ? "everything" : namesOf(group, most),
  }));
}

/** The cover sheet as lines of a message. */
export function coverLines(sheet: CoverSheet, ask: string, manner: Manner): string[] {
  const today = todayOf(manner);
  const lines: string[] = [];
  for (const visit of sheet.visits.slice(0, VISITS_SHOWN)) {
    const places = visit.places.map(({ place, lines: these }) => {
      const kinds = these.reduce((sum, line) => sum + line.names.length, 0);
      const what =
        kinds > KINDS_SHOWN
          ? `${kinds} kinds, on the printed sheet`
          : these.map((line) => lineWords(line, manner)).join("; ");
      return place ? `${place}: ${what}` : what;
    });
    lines.push(`💧 ${shortDate(visit.date, today)}, ${places.join(". ")}.`);
  }
  const later = sheet.visits.length - VISITS_SHOWN;
  if (later > 0)
    lines.push(`And ${later} more ${later === 1 ? "day" : "days"} to water, on the printed sheet.`);
  if (sheet.visits.length === 0) lines.push("Nothing needs water in that time.");
  const dry = dryWords(sheet).map(({ place, names }) => (place ? `${place}: ${names}` : names));
  if (dry.length > 0) lines.push(`Stays dry: ${dry.join(". ")}.`);
  for (const group of sheet.waiting) {
    lines.push(`Waits (${waitsFor(group.why)}): ${namesOf(group)}.`);
  }
  const floors = floorWords(sheet, manner);
  if (floors.length > 0) lines.push(`Keep above: ${floors.join(", ")}.`);
  lines.push(`Colder: ${IF_COLD[0]} ${IF_COLD[1]} In doubt ask ${ask}.`);
  return lines;
}

export const floorWords = (sheet: CoverSheet, manner: Pick<Manner, "units">): string[] =>
  sheet.floors
    .filter(({ floorC }) => floorC !== null)
    .map(({ place, floorC }) => `${place} ${temperature(floorC ?? 0, manner)}`);

/** What to do when it gets too cold; the usual caution about heaters. */
export const IF_COLD: readonly [string, string, string] = [
  "look at the heater's plug and breaker, then the thermostat, then the door.",
  "Mains in the damp: touch nothing wet, leave repairs to an electrician.",
  "Flame heaters need an open vent and a carbon monoxide alarm; never refuel one that is hot.",
];

export function coverBegins(away: AwayTime, manner: Manner): Worded {
  const until = shortDate(date(away.to), todayOf(manner));
  const who = away.cover ?? "Whoever covers";
  return {
    text: `${who} looks after the plants from today until ${until}. In doubt ask ${away.by}.`,
    buttons: [[{ label: "Cover sheet", data: "away:sheet" }]],
  };
}

const PEOPLE_SHOWN = 4;
const ACTS_SHOWN = 4;

export function homecomingWords(summary: Homecoming, manner: Manner): Worded {
  const today = todayOf(manner);
  const { away } = summary;
  const head = `Back after ${spanWords(away, today)}`;
  if (summary.entries === 0) return { text: `${head}: nothing was logged in that time.` };
  const lines = summary.people.slice(0, PEOPLE_SHOWN).map(({ person, acts }) => {
    const said = acts.slice(0, ACTS_SHOWN).map(({ act, times, names }) => {
      const what = names.length === 0 ? "" : ` (${list(names)})`;
      const often = times === 1 ? "once" : `${times} times`;
      return act === "reading"
        ? `${times} ${times === 1 ? "reading" : "readings"}`
        : `${actWord(act)} ${often}${what}`;
    });
    return `${person === "" ? "Somebody" : person}: ${list(said)}.`;
  });
  const cold = summary.lowest.map(({ place, valueC, floorC, on }) => {
    const under = floorC !== null && valueC < floorC ? ", under its floor" : "";
    return `${place} ${temperature(valueC, manner)} on ${shortDate(on, today)}${under}`;
  });
  if (cold.length > 0) lines.push(`Coldest: ${list(cold)}.`);
  if (summary.powerCuts > 0) {
    lines.push(capital(`${summary.powerCuts} power ${summary.powerCuts === 1 ? "cut" : "cuts"}.`));
  }
  return { text: `${head}:\n${lines.join("\n")}` };
}

export type { Button };
