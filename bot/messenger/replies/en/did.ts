import type { Act, Dilution, Entry, Pot } from "../../../language/interpretation.js";
import ACTS from "./acts.json" with { type: "json" };
import { type Manner, quantity, readTemperature } from "./figures.js";
import { isSeen, subjectName } from "./subjects.js";

const DONE: Readonly<Record<string, string>> = ACTS;

/** The past participle or the state that names an act: "watered", "in flower". */
export const actWord = (act: string): string => DONE[act] ?? act.replaceAll("_", " ");

export function dilutionWords(dilution: Dilution): string {
  if ("ratio" in dilution) return `1:${dilution.ratio}`;
  if ("strength" in dilution) {
    return (
      STRENGTHS[dilution.strength] ?? `${quantity({ value: dilution.strength * 100, unit: "%" }, 0)} strength`
    );
  }
  return quantity(dilution);
}
const STRENGTHS: Readonly<Record<number, string>> = {
  1: "full strength",
  0.5: "half strength",
  0.25: "quarter strength",
};

const potWords = (pot: Pot): string =>
  [pot.diameter ? quantity(pot.diameter) : "", pot.material ?? ""].filter(Boolean).join(" ");

const DOSES = { sip: ", a sip", light: " lightly", normal: "", soak: ", a soak" } as const;

const READ_WHAT = {
  air_temperature: "",
  soil_temperature: "soil ",
  outdoor_temperature: "",
  relative_humidity: "humidity ",
  illuminance: "light ",
  energy: "energy ",
} as const;
const STATISTICS = { min: "min ", max: "max ", current: "", mean: "mean " } as const;
const READ_UNITS = { relative_humidity: "%", illuminance: "lx", energy: "kW.h" } as const;

/** "min 3 °C", "humidity 88 %", in the household's units. */
export function readingWords(
  reading: { quantity: keyof typeof READ_WHAT; statistic: keyof typeof STATISTICS; value: number },
  manner: Manner,
  roughly = false,
): string {
  const unit = (READ_UNITS as Partial<Record<string, string>>)[reading.quantity];
  const value = unit ? quantity({ value: reading.value, unit }, 1) : readTemperature(reading.value, manner);
  return `${READ_WHAT[reading.quantity]}${STATISTICS[reading.statistic]}${roughly ? "about " : ""}${value}`;
}

/** Acts that count something other than plants: "40 seeds sown". */
const COUNTED: Partial<Record<Act, (n: string) => string>> = {
  sow: (n) => `${n} seeds sown`,
  take_cutting: (n) => `${n} cuttings taken`,
  harvest_seed: (n) => `${n} seeds harvested`,
  prick_out: (n) => `${n} pricked out`,
  germinate: (n) => `${n} up`,
  bud: (n) => `${n} buds`,
  flower: (n) => `${n} flowers`,
  fruit: (n) => `${n} fruits`,
  offset: (n) => `${n} offsets`,
  divide: (n) => `divided into ${n}`,
  pollinate: (n) => `${n} flowers pollinated`,
};

export const countWords = ({ count, outOf }: Entry): string =>
  count === undefined ? "" : outOf === undefined ? `${count}` : `${count} of ${outOf}`;

/** What was done or seen, with its number: "watered lightly", "mealybug", "40 seeds sown", "lost to rot". */
function actPhrase(entry: Entry): string {
  const { act, count, amount, pest } = entry;
  if (act === "pest" && pest) return pest;
  if (act === "treat" && pest) return `treated for ${pest}`;
  if (act === "give_away" && entry.recipient) return `given to ${entry.recipient}`;
  if (act === "lose" && entry.cause) return `lost to ${entry.cause}`;
  if (act === "setpoint" && entry.value) return `thermostat set to ${quantity(entry.value)}`;
  if (act === "note" && entry.text) return `noted: “${entry.text}”`;
  const phrase = count === undefined ? undefined : COUNTED[act];
  const word = phrase ? phrase(countWords(entry)) : actWord(act);
  return amount && "dose" in amount ? `${word}${DOSES[amount.dose]}` : word;
}

/** What follows the act without a comma: from where, into what, with what, how strong. */
function closely(entry: Entry): string[] {
  const { act } = entry;
  return [
    entry.from && `from ${entry.from}`,
    entry.to && `to ${entry.to}`,
    entry.pot && potWords(entry.pot) && `into ${potWords(entry.pot)}`,
    entry.pot?.previous && potWords(entry.pot.previous) && `(was ${potWords(entry.pot.previous)})`,
    entry.substrate && `in ${entry.substrate}`,
    entry.product && `with ${entry.product}`,
    entry.dilution && `at ${dilutionWords(entry.dilution)}`,
    entry.stock && `on ${subjectName(entry.stock)}`,
    entry.pollen && `with pollen of ${subjectName(entry.pollen)}`,
    entry.origin && `from ${entry.origin}`,
    act !== "give_away" && entry.recipient && `to ${entry.recipient}`,
  ].filter((part): part is string => typeof part === "string" && part !== "");
}

/** What follows with a comma: how much, how many, why. */
function loosely(entry: Entry): string[] {
  const { act, amount, count } = entry;
  const plants = isSeen(act) ? (entry.subjects ?? []).reduce((sum, one) => sum + (one.count ?? 0), 0) : 0;
  return [
    amount && "value" in amount && quantity(amount),
    count !== undefined && !COUNTED[act] && countWords(entry),
    plants > 0 && (plants === 1 ? "1 plant" : `${plants} plants`),
    act !== "pest" && act !== "treat" && entry.pest,
    act !== "lose" && entry.cause,
    act !== "setpoint" && entry.value && quantity(entry.value),
    act !== "note" && entry.text && `“${entry.text}”`,
  ].filter((part): part is string => typeof part === "string" && part !== "");
}

/** All that an entry says was done, without who, where and when. */
export function didWords(entry: Entry): string {
  const doubt = entry.tentative ? "perhaps " : "";
  return [[`${doubt}${actPhrase(entry)}`, ...closely(entry)].join(" "), ...loosely(entry)].join(", ");
}
