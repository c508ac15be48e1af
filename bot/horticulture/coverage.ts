/** Which plants a statement speaks of: a genus, a tag, a group, a place or everything, minus its exceptions. */

export interface SubjectLike {
  genus?: string;
  species?: string;
  cultivar?: string;
  tag?: string;
  name?: string;
  group?: string;
  all?: true;
}

/** A tagged plant or a holding of a taxon, as far as coverage needs it. */
export interface PlantLike {
  genus: string;
  species: string | null;
  cultivar: string | null;
  tag: string | null;
  name: string | null;
}

/** Whether a taxon belongs to one of the growers' groups ("cacti", "winter growers"). */
export type InGroup = (genus: string, species: string | null, group: string) => boolean;

const same = (a: string | null | undefined, b: string | null | undefined): boolean =>
  a !== null && a !== undefined && b !== null && b !== undefined && a.toLowerCase() === b.toLowerCase();

/** Whether the subject speaks of the plant. A genus covers its species; a species does not cover the genus. */
export function subjectCovers(subject: SubjectLike, plant: PlantLike, inGroup: InGroup): boolean {
  if (subject.all) return true;
  if (subject.tag !== undefined) return same(subject.tag, plant.tag);
  if (subject.group !== undefined) return inGroup(plant.genus, plant.species, subject.group);
  if (subject.genus === undefined) return same(subject.name, plant.name);
  if (!same(subject.genus, plant.genus)) return false;
  if (subject.species !== undefined && !same(subject.species, plant.species)) return false;
  if (subject.cultivar !== undefined && !same(subject.cultivar, plant.cultivar)) return false;
  return true;
}

/**
 * Whether a statement with its subjects and exceptions covers the plant. A statement without subjects but with
 * a place ("watered the warm bench") covers all that stands there; where the plant stands is the caller's to check.
 */
export function statementCovers(
  statement: { subjects?: readonly SubjectLike[]; except?: readonly SubjectLike[] },
  plant: PlantLike,
  inGroup: InGroup,
): boolean {
  if (statement.except?.some((subject) => subjectCovers(subject, plant, inGroup))) return false;
  if (statement.subjects === undefined || statement.subjects.length === 0) return true;
  return statement.subjects.some((subject) => subjectCovers(subject, plant, inGroup));
}
