import type { Entry, Subject } from "../language/interpretation.js";
import { addHolding, plantsConcerned, plantsNamed, showsPresence, taxonOf } from "./holdings.js";
import type { Id, JournalEntry, Plant } from "./ports.js";
import type { Scope } from "./scope.js";

/** What an entry changed in the list of plants, kept with it so that an undo can take it back. */
export type Effect =
  | { kind: "plant_added"; plantId: Id }
  | { kind: "plant_changed"; plantId: Id; before: Partial<Plant>; after: Partial<Plant> };

/** Where an entry happened, as far as plants are concerned. */
export interface Whereabouts {
  /** Where newly shown plants stand. */
  placeId: Id | null;
  /** The place that was said; null where it was assumed or none. */
  saidId: Id | null;
  /** Of a move. */
  fromId: Id | null;
  toId: Id | null;
}

const CM_PER_INCH = 2.54;
const CM: Readonly<Record<string, number>> = { cm: 1, mm: 0.1, m: 100, "[in_i]": CM_PER_INCH };

function potChange(entry: Entry): Partial<Plant> {
  const diameter = entry.pot?.diameter;
  const factor = diameter ? CM[diameter.unit] : undefined;
  return {
    ...(diameter && factor ? { potDiameterCm: diameter.value * factor } : {}),
    ...(entry.pot?.material === undefined ? {} : { potMaterial: entry.pot.material }),
  };
}

/** Whether the subject speaks of all the plants that stand behind this row of the list. */
const isWhole = (subject: Subject, plant: Plant): boolean =>
  subject.count === undefined || plant.tag !== null || (plant.count !== null && subject.count >= plant.count);

/** What an act does to the plants it speaks of: a new pot, a new place, fewer, gone. */
function changesOf(
  entry: Entry,
  subject: Subject,
  plants: readonly Plant[],
  where: Whereabouts,
): [Plant, Partial<Plant>][] {
  const [only] = plants.length === 1 ? plants : [];
  switch (entry.act) {
    case "repot": {
      const whole = plants.filter((plant) => isWhole(subject, plant));
      // "repotted three of the aloes" does not say which.
      return (subject.count === undefined || only ? whole : []).map((plant) => [plant, potChange(entry)]);
    }
    case "move":
      if (where.toId === null) return [];
      if (subject.count === undefined) return plants.map((plant) => [plant, { placeId: where.toId }]);
      if (!only) return [];
      return isWhole(subject, only) ? [[only, { placeId: where.toId }]] : fewer(only, subject.count);
    case "lose":
    case "give_away":
      if (subject.all || subject.group !== undefined) return plants.map((plant) => [plant, GONE]);
      // "lost the aloe" of many does not say how many are left: better one too many on the list than one uncared for.
      if (!only) return [];
      if (only.tag !== null || only.count === 1) return [[only, GONE]];
      if (subject.count === undefined || only.count === null) return [];
      return isWhole(subject, only) ? [[only, GONE]] : fewer(only, subject.count);
    case "acquire":
      return only?.count === null || only?.tag !== null || subject.count === undefined
        ? []
        : [[only, { count: only.count + subject.count }]];
    default:
      return [];
  }
}

const GONE: Partial<Plant> = { status: "gone" };
const fewer = (plant: Plant, by: number): [Plant, Partial<Plant>][] =>
  plant.count === null ? [] : [[plant, { count: plant.count - by }]];

async function change(scope: Scope, plant: Plant, after: Partial<Plant>): Promise<Effect> {
  const keys = Object.keys(after) as (keyof Plant)[];
  const before = Object.fromEntries(keys.map((key) => [key, plant[key]])) as Partial<Plant>;
  await scope.store.updatePlant(plant.id, after);
  Object.assign(plant, after);
  if (plant.status === "gone") scope.plants.splice(scope.plants.indexOf(plant), 1);
  return { kind: "plant_changed", plantId: plant.id, before, after };
}

/** Makes a taxon known to the household where it was seen, unless it is known there already. */
async function learn(scope: Scope, entry: Entry, subject: Subject, where: Whereabouts): Promise<Effect[]> {
  const { genus } = subject;
  if (genus === undefined || !showsPresence(entry)) return [];
  const target = entry.act === "move" ? (where.toId ?? where.placeId) : where.placeId;
  const known = plantsNamed(scope.plants, subject);
  if (subject.tag !== undefined && known.length > 0) return [];
  const partMoved = entry.act === "move" && subject.count !== undefined && where.toId !== null;
  if (known.length > 0 && !partMoved && where.saidId === null) return [];
  if (known.some(({ placeId }) => placeId === target)) return [];
  const [unplaced] = partMoved ? [] : known.filter(({ placeId }) => placeId === null);
  if (unplaced) return [await change(scope, unplaced, { placeId: target })];
  const single = subject.tag === undefined ? null : 1;
  const counted = entry.act === "acquire" || partMoved ? (subject.count ?? single) : single;
  const acquired =
    entry.act === "acquire" ? { source: entry.origin ?? null, acquiredOn: dayOfEntry(scope, entry) } : {};
  const plant = await addHolding(scope, { ...subject, genus }, target, { count: counted, ...acquired });
  return [{ kind: "plant_added", plantId: plant.id }];
}

const dayOfEntry = (scope: Scope, entry: Entry): string =>
  entry.when?.from.slice(0, 10) ?? scope.utterance.at.toZonedDateTimeISO(scope.zone).toPlainDate().toString();

/** Carries an entry into the list of plants. */
export async function applyEffects(
  scope: Scope,
  entry: Entry,
  where: Whereabouts,
): Promise<{ effects: Effect[]; learnt: string[] }> {
  const effects: Effect[] = [];
  const learnt: string[] = [];
  for (const subject of entry.subjects ?? []) {
    const restrictTo = entry.act === "move" ? where.fromId : where.saidId;
    const concerned = plantsConcerned(scope.plants, entry, subject, restrictTo, scope.inGroup);
    for (const [plant, after] of changesOf(entry, subject, concerned, where)) {
      if (Object.keys(after).length > 0) effects.push(await change(scope, plant, after));
    }
    const shown = await learn(scope, entry, subject, where);
    effects.push(...shown);
    if (shown.some(({ kind }) => kind === "plant_added")) {
      learnt.push(taxonOf(subject));
      const plant = scope.plants.at(-1);
      const pot = plant && entry.act === "repot" ? potChange(entry) : {};
      if (plant && Object.keys(pot).length > 0) effects.push(await change(scope, plant, pot));
    }
  }
  return { effects, learnt };
}

/** Takes the effects of entries back that are undone or replaced, latest first. */
export async function revertEffects(scope: Scope, entries: readonly JournalEntry[]): Promise<void> {
  const effects = entries.flatMap((entry) => (entry.interpretation?.effects ?? []) as Effect[]);
  if (effects.length === 0) return;
  const rows = new Map((await scope.store.plants({ gone: true })).map((plant) => [plant.id, plant]));
  const ignored = new Set(entries.map(({ id }) => id));
  for (const effect of effects.reverse()) {
    const plant = rows.get(effect.plantId);
    if (!plant) continue;
    const back = effect.kind === "plant_changed" ? backTo(plant, effect) : GONE;
    if (effect.kind === "plant_added" && (await isSpokenOf(scope, plant, ignored))) continue;
    if (Object.keys(back).length === 0) continue;
    await scope.store.updatePlant(plant.id, back);
    Object.assign(plant, back);
    const index = scope.plants.findIndex(({ id }) => id === plant.id);
    if (index >= 0) scope.plants.splice(index, 1);
    if (plant.status === "alive") scope.plants.push(plant);
  }
}

/** What is to be set back: only what no later entry has changed again; numbers by their difference. */
function backTo(plant: Plant, { before, after }: Extract<Effect, { kind: "plant_changed" }>): Partial<Plant> {
  const back: Partial<Plant> = {};
  for (const key of Object.keys(after) as (keyof Plant)[]) {
    if (key === "count" && typeof before.count === "number" && typeof after.count === "number") {
      if (plant.count !== null) back.count = plant.count + before.count - after.count;
    } else if (plant[key] === after[key]) {
      Object.assign(back, { [key]: before[key] });
    }
  }
  return back;
}

/** Entries looked through for one that speaks of a plant. */
const LOOKED_THROUGH = 500;

/** Whether other entries that stand show the plant too: then it stays known. */
async function isSpokenOf(scope: Scope, plant: Plant, ignored: ReadonlySet<Id>): Promise<boolean> {
  const entries = await scope.store.entries({ order: "written", limit: LOOKED_THROUGH });
  const others = entries.filter(({ id }) => !ignored.has(id));
  if (
    others.some(
      ({ entry }) =>
        showsPresence(entry) && entry.subjects?.some((subject) => plantsNamed([plant], subject).length > 0),
    )
  ) {
    return true;
  }
  // Written long ago and much since: rather known for nothing than forgotten.
  const oldest = entries.at(-1);
  return (
    entries.length === LOOKED_THROUGH &&
    oldest !== undefined &&
    oldest.writtenAt.epochMilliseconds > plant.createdAt.epochMilliseconds
  );
}
