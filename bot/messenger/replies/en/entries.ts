import type { LoggedEntry } from "../../../journal/outcome.js";
import type { JournalEntry, Place, Plant } from "../../../journal/ports.js";
import type { Dilution, Entry, Pot, Subject } from "../../../language/interpretation.js";
import ACTS from "./acts.json" with { type: "json" };
import { list, type Manner, quantity, temperature, when } from "./figures.js";

const DONE: Readonly<Record<string, string>> = ACTS;

/** The past participle or the state that names an act: "watered", "in flower". */
export const actWord = (act: string): string => DONE[act] ?? act.replaceAll("_", " ");

/** A subject, the person's own word first: "notocactus (Parodia)", "Spiral (L-014)". */
export function subjectName(subject: Subject, plants: readonly Plant[] = []): string {
  if (subject.all) return "everything";
  if (subject.group) return subject.group;
  if (subject.tag) {
    const plant = plants.find((candidate) => candidate.tag === subject.tag);
    if (plant?.name) return `${plant.name} (${subject.tag})`;
    if (!plant) return subject.tag;
    return `${subject.tag} (${[plant.genus, plant.species].filter(Boolean).join(" ")})`;
  }
  const accepted = [
    subject.genus,
    subject.species,
    subject.cultivar ? `'${subject.cultivar}'` : undefined,
    subject.fieldNumber,
  ]
    .filter(Boolean)
    .join(" ");
  if (accepted === "") return subject.name ?? "";
  return subject.as && subject.as.toLowerCase() !== accepted.toLowerCase()
    ? `${subject.as} (${accepted})`
    : accepted;
}

const counted = (subject: Subject, plants: readonly Plant[]): string =>
  subject.count !== undefined && subject.count !== 1
    ? `${subject.count} ${subjectName(subject, plants)}`
    : subjectName(subject, plants);

export function dilutionWords(dilution: Dilution): string {
  if ("ratio" in dilution) return `1:${dilution.ratio}`;
  if ("strength" in dilution) {
    return dilution.strength === 0.5 ? "half strength" : `${dilution.strength} of full strength`;
  }
  return quantity(dilution);
}

const potWords = (pot: Pot): string =>
  [pot.diameter ? quantity(pot.diameter) : "", pot.material ?? ""].filter(Boolean).join(" ");

const DOSES = { sip: "a sip", light: "lightly", normal: "normally", soak: "a soak" } as const;

const READ_WHAT = {
  air_temperature: "",
  soil_temperature: "soil ",
  outdoor_temperature: "outdoors ",
  relative_humidity: "humidity ",
  illuminance: "light ",
  energy: "energy ",
} as const;
const STATISTICS = { min: "min ", max: "max ", current: "", mean: "mean " } as const;

/** "min 3 °C", "humidity 88 %", in the household's units. */
export function readingWords(
  reading: { quantity: keyof typeof READ_WHAT; statistic: keyof typeof STATISTICS; value: number },
  manner: Manner,
): string {
  const value = reading.quantity.endsWith("temperature")
    ? temperature(reading.value, manner)
    : quantity({
        value: reading.value,
        unit: { relative_humidity: "%", illuminance: "lx", energy: "kW.h" }[reading.quantity as "energy"],
      });
  return `${READ_WHAT[reading.quantity]}${STATISTICS[reading.statistic]}${value}`;
}

/** The particulars that follow the act: how much, into what, with what, from where. */
function particulars(entry: Entry): string[] {
  const words: string[] = [];
  if (entry.amount) words.push("dose" in entry.amount ? DOSES[entry.amount.dose] : quantity(entry.amount));
  if (entry.count !== undefined) {
    words.push(entry.outOf === undefined ? `${entry.count}` : `${entry.count} of ${entry.outOf}`);
  }
  if (entry.from || entry.to) {
    words.push(
      [entry.from ? `from ${entry.from}` : "", entry.to ? `to ${entry.to}` : ""].filter(Boolean).join(" "),
    );
  }
  if (entry.pot) {
    const into = potWords(entry.pot);
    if (into !== "") words.push(`into ${into}`);
    if (entry.pot.previous) words.push(`was ${potWords(entry.pot.previous)}`);
  }
  if (entry.substrate) words.push(`in ${entry.substrate}`);
  if (entry.pest) words.push(entry.pest);
  if (entry.product) words.push(`with ${entry.product}`);
  if (entry.dilution) words.push(dilutionWords(entry.dilution));
  if (entry.stock) words.push(`on ${subjectName(entry.stock)}`);
  if (entry.pollen) words.push(`pollen of ${subjectName(entry.pollen)}`);
  if (entry.origin) words.push(`from ${entry.origin}`);
  if (entry.recipient) words.push(`to ${entry.recipient}`);
  if (entry.cause) words.push(entry.cause);
  if (entry.value) words.push(quantity(entry.value));
  if (entry.text) words.push(`“${entry.text}”`);
  return words;
}

/** Subjects and place: "Aloe, Long House" or "everything but Aloe, Long House". */
export function head(entry: Entry, place: Place | null, plants: readonly Plant[]): string {
  const subjects = (entry.subjects ?? []).map((subject) => counted(subject, plants));
  const except = (entry.except ?? []).map((subject) => subjectName(subject, plants));
  const what = subjects.length === 0 ? "" : list(subjects);
  const but = except.length === 0 ? "" : ` but ${list(except)}`;
  const where = place?.name ?? (entry.act === "move" ? "" : (entry.place ?? ""));
  return [what + but, where].filter((part) => part !== "").join(", ");
}

/** One line that shows all that was understood and assumed, without a full stop. */
export function entryLine(
  entry: JournalEntry,
  place: Place | null,
  plants: readonly Plant[],
  manner: Manner,
  author: string | null,
): string {
  const frame = entry.entry;
  const did = entry.reading ? readingWords(entry.reading, manner) : actWord(frame.act);
  const by = frame.person && frame.person !== author ? `by ${frame.person}` : "";
  const about = frame.tentative ? "roughly" : "";
  const tail = [did, ...particulars(frame), about, when(frame.when, manner), by].filter(
    (word) => word !== "",
  );
  const start = head(frame, place, plants);
  return start === "" ? tail.join(", ") : `${start}: ${tail.join(", ")}`;
}

export const loggedLine = (
  logged: LoggedEntry,
  plants: readonly Plant[],
  manner: Manner,
  author: string | null,
): string => capital(`${entryLine(logged.entry, logged.place, plants, manner, author)}.`);

/** A caution as one sentence; first aid waits for "why". */
export const cautionLine = (caution: { text: string }): string =>
  `${capital(caution.text.replace(/\.$/, ""))}.`;

export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
