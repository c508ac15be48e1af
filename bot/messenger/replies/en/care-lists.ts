import type { ListAnswer, ListItem } from "../../../horticulture/answers.js";
import type { WaterMode } from "../../../horticulture/care.js";
import { type CareSaid, NAMES_IN_LINE, names, said } from "./care-said.js";
import { interval } from "./care-words.js";
import { list, type Manner, temperature } from "./figures.js";

const MODE_HEADS: readonly [WaterMode, string][] = [
  ["generous", "Generously"],
  ["normal", "Water"],
  ["light", "Light water"],
  ["sips", "A sip"],
];

function placeTail(item: ListItem, answer: ListAnswer): string {
  return item.place && answer.place === null ? ` (${item.place})` : "";
}

export function waterList(answer: ListAnswer): CareSaid {
  const where = answer.place ? ` in ${answer.place}` : "";
  const season = answer.seasonAsked ? ` in ${answer.season}` : " now";
  if (answer.items.length === 0 && answer.others.length === 0) {
    return said([`No plants${where} that the table could speak of. Tell what you keep: “we have 3 aloes”.`]);
  }
  const lines = MODE_HEADS.map(([mode, word]) => {
    const items = answer.items.filter((item) => item.care.mode === mode);
    return items.length === 0
      ? null
      : `${word}${season}${where}: ${names(items, (item) => item.accepted + placeTail(item, answer))}.`;
  });
  const dry =
    answer.others.length === 0
      ? null
      : `Dry${season}${where}: ${names(answer.others, (item) => item.accepted + placeTail(item, answer))}.`;
  const more = answer.items.map((item) => {
    const days = item.care.days ? `, ${interval(item.care.days)}` : "";
    const ago = item.daysAgo === null ? "" : `, last ${item.daysAgo} days ago`;
    return `${item.accepted}${placeTail(item, answer)}${days}${ago}`;
  });
  const unknown = answer.withoutRule.length > 0 ? `No rule for ${list(answer.withoutRule)}.` : null;
  const book = answer.ofHousehold ? null : "From the table; no plants are noted here yet.";
  return said(
    [lines.some(Boolean) ? null : `Nothing wants water${season}${where}.`, ...lines, dry, unknown, book],
    [...more, `At best ${answer.basis}.`],
  );
}

export function coldList(answer: ListAnswer, manner: Manner): CareSaid {
  const value = temperature(answer.valueC ?? 0, manner);
  const where = answer.place ? ` in ${answer.place}` : "";
  const dry = (item: ListItem) =>
    `${item.accepted}${placeTail(item, answer)} ${temperature(item.care.least.dry, manner)}`;
  const moist = (item: ListItem) =>
    `${item.accepted}${placeTail(item, answer)} ${temperature(item.care.least.moist, manner)}`;
  const byWarmth = (of: (item: ListItem) => number) => (a: ListItem, b: ListItem) => of(b) - of(a);
  const items = [...answer.items].sort(byWarmth((item) => item.care.least.dry));
  const others = [...answer.others].sort(byWarmth((item) => item.care.least.moist));
  return said(
    [
      items.length === 0
        ? `Nothing${where} that must stay above ${value} when dry (${answer.season}).`
        : `Not below ${value}${where}, even dry (${answer.season}): ${names(items, dry)}.`,
      others.length === 0 ? null : `Only with dry roots: ${names(others, moist)} when moist.`,
      answer.withoutRule.length > 0 ? `No rule for ${list(answer.withoutRule)}.` : null,
      answer.ofHousehold ? null : "From the table; no plants are noted here yet.",
    ],
    [...items.slice(NAMES_IN_LINE).map(dry), ...others.slice(NAMES_IN_LINE).map(moist)],
  );
}
