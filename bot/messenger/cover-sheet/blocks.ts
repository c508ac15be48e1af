import type { Temporal } from "temporal-polyfill";
import type { AwayTime } from "../../journal/away.js";
import type { CoverGroup, CoverSheet } from "../../nudges/plan-cover.js";
import {
  dose,
  dosesExplained,
  dryWords,
  floorWords,
  IF_COLD,
  namesOf,
  nights,
  spanWords,
  waitsFor,
} from "../replies/en/away.js";
import { capital } from "../replies/en/entries.js";
import { type Manner, shortDate } from "../replies/en/figures.js";

/** A printed sheet as a list of blocks from top to bottom; where they land is the layout's. */
export type Block =
  | { kind: "title"; text: string }
  | { kind: "line"; text: string }
  | { kind: "heading"; text: string }
  /** A day to tick off: date, and what to do in each place. */
  | { kind: "visit"; date: string; rows: { place: string; what: string }[] }
  | { kind: "row"; left: string; text: string };

/** How many names a line may hold before it is folded; the layout takes the most that fits. */
export interface Folding {
  names: number;
  visits: number;
}

/** What the sheet says, in the order in which it is needed in the glasshouse. */
export function coverBlocks(
  sheet: CoverSheet,
  away: AwayTime,
  where: string | null,
  manner: Manner,
  folding: Folding,
): Block[] {
  const today = manner.now.toZonedDateTimeISO(manner.zone).toPlainDate();
  const blocks: Block[] = [
    { kind: "title", text: away.cover ? `Cover sheet for ${away.cover}` : "Cover sheet" },
    { kind: "line", text: [spanWords(away, today), where].filter(Boolean).join(", ") },
    { kind: "heading", text: "Water" },
  ];
  blocks.push(...visitBlocks(sheet, today, manner, folding));
  const doses = dosesExplained(sheet);
  if (doses !== "") blocks.push({ kind: "line", text: doses });
  const dry = dryWords(sheet, folding.names);
  if (dry.length > 0) blocks.push({ kind: "heading", text: "Stays dry, not a drop" });
  for (const { place, names } of dry) blocks.push({ kind: "row", left: place ?? "", text: capital(names) });
  if (sheet.waiting.length > 0) blocks.push({ kind: "heading", text: "Waits" });
  for (const group of sheet.waiting) {
    blocks.push({
      kind: "row",
      left: group.place ?? "",
      text: `${folded(group, folding)}: ${waitsFor(group.why)}.`,
    });
  }
  const floors = floorWords(sheet, manner);
  blocks.push({ kind: "heading", text: "Warmth" });
  if (floors.length > 0) blocks.push({ kind: "row", left: "Keep above", text: floors.join(", ") });
  blocks.push(
    {
      kind: "row",
      left: "Every morning",
      text: "Read the minimum thermometer, type it in the chat: “min 6 last night”.",
    },
    {
      kind: "row",
      left: "If it is colder",
      text: `${capital(IF_COLD[0])} Type the reading; the group is told at once.`,
    },
    { kind: "row", left: "Caution", text: `${IF_COLD[1]} ${IF_COLD[2]}` },
    { kind: "heading", text: "In doubt" },
    {
      kind: "row",
      left: "Ask",
      text: `${away.by}, in the chat. A plant left dry a week too long is fine; one watered cold may rot.`,
    },
    {
      kind: "row",
      left: "Write",
      text: "What you did, as you would say it: “watered the haworthias”. It is in the journal at once.",
    },
  );
  return blocks;
}

function visitBlocks(
  sheet: CoverSheet,
  today: Temporal.PlainDate,
  manner: Manner,
  folding: Folding,
): Block[] {
  if (sheet.visits.length === 0) return [{ kind: "line", text: "Nothing needs water in this time." }];
  const blocks: Block[] = sheet.visits.slice(0, folding.visits).map((visit) => ({
    kind: "visit",
    date: shortDate(visit.date, today),
    rows: visit.places.flatMap(({ place, lines }) =>
      lines.map((line, index) => {
        const above = nights(line, manner);
        const only = above === "" ? "" : `; only after ${above}`;
        return {
          place: index === 0 ? (place ?? "") : "",
          what: `${folded(line, folding)}: ${dose(line.mode)}${only}`,
        };
      }),
    ),
  }));
  const left = sheet.visits.length - folding.visits;
  if (left > 0) {
    const last = sheet.visits.at(-1);
    blocks.push({
      kind: "line",
      text: `Then ${left} more ${left === 1 ? "day" : "days"} until ${last ? shortDate(last.date, today) : ""}; ask the chat “what's due?”.`,
    });
  }
  if (sheet.notPlanned > 0) {
    blocks.push({
      kind: "line",
      text: `The last ${sheet.notPlanned} days are too far ahead to plan; ask the chat “what's due?”.`,
    });
  }
  return blocks;
}

const folded = (group: CoverGroup, folding: Folding): string => capital(namesOf(group, folding.names));
