import type { Place, Plant } from "../../../journal/ports.js";
import type { Entry, Subject } from "../../../language/interpretation.js";
import { SEEN_ACTS } from "../../../language/interpretation.js";
import { list } from "./figures.js";

const taxonWords = (of: {
  genus?: string;
  species?: string | null;
  cultivar?: string | null;
  fieldNumber?: string | null;
}): string =>
  [of.genus, of.species, of.cultivar ? `'${of.cultivar}'` : null, of.fieldNumber].filter(Boolean).join(" ");

/** A subject, the person's own word first: "notocactus (Parodia)", "Spiral (L-014)". */
export function subjectName(subject: Subject, plants: readonly Plant[] = []): string {
  if (subject.all) return "everything";
  if (subject.group) return subject.group;
  if (subject.tag) {
    const plant = plants.find((candidate) => candidate.tag === subject.tag);
    if (plant?.name) return `${plant.name} (${subject.tag})`;
    return plant ? `${subject.tag} (${taxonWords(plant)})` : subject.tag;
  }
  const accepted = taxonWords(subject);
  if (accepted === "") return subject.name ?? "";
  return subject.as && subject.as.toLowerCase() !== accepted.toLowerCase()
    ? `${subject.as} (${accepted})`
    : accepted;
}

/** Its botanical name with cultivar and field number. */
export const plantTaxon = (plant: Plant): string => taxonWords(plant);

/** A plant of the list: "Spiral (L-014)", "L-014 (Aloe polyphylla)", "Aloe". */
export function plantName(plant: Plant): string {
  const taxon = taxonWords(plant);
  if (plant.name) return `${plant.name} (${plant.tag ?? taxon})`;
  return plant.tag ? `${plant.tag} (${taxon})` : taxon;
}

/** Of what was seen the number stands behind, "mealybug, 2 plants"; else before, "3 Aloe: repotted". */
export const isSeen = (act: string): boolean => (SEEN_ACTS as readonly string[]).includes(act);

const counted = (subject: Subject, plants: readonly Plant[]): string =>
  subject.count !== undefined && subject.count !== 1
    ? `${subject.count} ${subjectName(subject, plants)}`
    : subjectName(subject, plants);

/** Subjects and exceptions of an entry: "Aloe and Gasteria", "everything but Lithops". */
export function whatOf(entry: Entry, plants: readonly Plant[]): string {
  const name = isSeen(entry.act) ? subjectName : counted;
  const subjects = (entry.subjects ?? []).map((subject) => name(subject, plants));
  const except = (entry.except ?? []).map((subject) => subjectName(subject, plants));
  if (except.length === 0) return list(subjects);
  return `${subjects.length === 0 ? "everything" : list(subjects)} but ${list(except)}`;
}

/** Subjects and place: "Aloe, Long House", "everything but Aloe, Long House". */
export function head(entry: Entry, place: Place | null, plants: readonly Plant[]): string {
  return [whatOf(entry, plants), whereOf(entry, place)].filter((part) => part !== "").join(", ");
}

/** The place of an entry; a move says from where to where instead. */
export function whereOf(entry: Entry, place: Place | null): string {
  if (entry.act === "move" && (entry.to !== undefined || entry.from !== undefined)) return "";
  if (entry.reading?.quantity === "outdoor_temperature" && !place) return "outdoors";
  return place?.name ?? entry.place ?? "";
}
