import type { Temporal } from "temporal-polyfill";
import type { WaterMode } from "../horticulture/care.js";
import { CareHistory } from "../horticulture/due/history.js";
import type { DuePlant, DueSetting, WaterDue } from "../horticulture/due/types.js";
import { type Knowledge, waterState } from "../horticulture/due/water.js";

/** What somebody who covers has to know, without a word of wording. */
export interface CoverSheet {
  from: Temporal.PlainDate;
  to: Temporal.PlainDate;
  /** Days on which to come and water, in order. */
  visits: CoverVisit[];
  /** Kept dry throughout, by place. */
  dry: CoverGroup[];
  /** Held back for a reason that lasts through the whole time. */
  waiting: (CoverGroup & { why: NonNullable<WaterDue["held"]>["why"] })[];
  floors: { place: string; floorC: number | null }[];
  /** Days beyond the last one looked at; 0 unless the time is very long. */
  notPlanned: number;
}

export interface CoverVisit {
  date: Temporal.PlainDate;
  places: { place: string | null; lines: CoverLine[] }[];
}

export interface CoverLine extends CoverGroup {
  mode: WaterMode;
  /** Only when the nights before stayed above this, °C; null where the place's floor is above it anyway. */
  nightsAboveC: number | null;
}

/** Plants of one place that are treated alike, as names: a genus where all of it is meant, else species or tags. */
export interface CoverGroup {
  place: string | null;
  names: string[];
  /** All that stands in the place. */
  all: boolean;
}

/** Nobody plans a greenhouse's water further ahead than this. */
const MOST_DAYS = 62;
/** What will be due so soon after a visit is done on that visit, if its window is open: fewer ways to go. */
const TOGETHER_DAYS = 3;

export interface CoverInput {
  plants: readonly DuePlant[];
  setting: DueSetting;
  history: CareHistory;
  knowledge: Knowledge;
  from: Temporal.PlainDate;
  to: Temporal.PlainDate;
}

/**
 * Runs the due engine over the days to come, as if everything were watered when it is due. Cold and damp nights that
 * are not known yet are left to the person: each line says what nights it needs.
 */
export function planCover(input: CoverInput): CoverSheet {
  const { from, to, setting, knowledge } = input;
  const days = Math.min(MOST_DAYS, from.until(to, { largestUnit: "day" }).days + 1);
  const plants = input.plants.filter((plant) => knowledge.lookup.find(taxonOf(plant)) !== null);
  const history = copyOf(input.history, plants);
  const places = new Map(
    [...setting.places].map(([name, place]) => [name, { ...place, coldestC: null, dampestLeastRh: null }]),
  );
  const visits: CoverVisit[] = [];
  const watered = new Set<string>();
  const rested = new Set<string>();
  const heldBy = new Map<string, NonNullable<WaterDue["held"]>["why"]>();
  for (let index = 0; index < days; index++) {
    const date = from.add({ days: index });
    const today = { ...setting, date, places };
    const open: WaterDue[] = [];
    for (const plant of plants) {
      const state = waterState(plant, today, history, knowledge);
      if (state.state === "dry rest") rested.add(plant.id);
      if (state.state !== "open") continue;
      if (state.item.held) heldBy.set(plant.id, state.item.held.why);
      else open.push(state.item);
    }
    if (!open.some(({ status }) => status !== "early")) continue;
    const soon = date.add({ days: TOGETHER_DAYS });
    const items = open.filter(({ dueOn }) => dueOn.toString() <= soon.toString());
    visits.push({ date, places: byPlace(items, plants, places) });
    for (const { plant } of items) {
      watered.add(plant.id);
      history.add({ id: "planned", act: "water", from: date, to: date, person: null }, [plant.id]);
    }
  }
  const never = plants.filter(({ id }) => !watered.has(id));
  const dry = never.filter(({ id }) => rested.has(id));
  const waiting = never.filter(({ id }) => !rested.has(id) && heldBy.has(id));
  const reasons = [...new Set(waiting.map(({ id }) => heldBy.get(id)))];
  return {
    from,
    to,
    visits,
    dry: grouped(dry, plants),
    waiting: reasons.flatMap((why) =>
      why === undefined
        ? []
        : grouped(
            waiting.filter(({ id }) => heldBy.get(id) === why),
            plants,
          ).map((group) => ({ ...group, why })),
    ),
    floors: [...setting.places.values()].map(({ name, floorC }) => ({ place: name, floorC: floorC ?? null })),
    notPlanned: Math.max(0, from.until(to, { largestUnit: "day" }).days + 1 - days),
  };
}

const taxonOf = (plant: DuePlant): string =>
  plant.species === null ? plant.genus : `${plant.genus} ${plant.species}`;

const LOOKED_AT = ["water", "feed", "repot", "rot", "treat", "skip", "prune", "sow", "germinate", "acquire"];

/** A history that may be written on without the household's own being changed. */
function copyOf(history: CareHistory, plants: readonly DuePlant[]): CareHistory {
  const copy = new CareHistory();
  for (const { id } of plants) {
    for (const act of LOOKED_AT) for (const past of history.of(id, act)) copy.add(past, [id]);
  }
  return copy;
}

function byPlace(
  items: readonly WaterDue[],
  plants: readonly DuePlant[],
  places: DueSetting["places"],
): CoverVisit["places"] {
  const found = new Map<string | null, WaterDue[]>();
  for (const item of items) found.set(item.plant.place, [...(found.get(item.plant.place) ?? []), item]);
  return [...found].map(([place, those]) => {
    const floorC = places.get(place ?? "")?.floorC ?? null;
    const exact = linesOf(those, plants, (item) => nightsFor(item, floorC));
    // Many lines that differ by a degree or two are no help in the glasshouse.
    const lines =
      exact.length <= EXACT_LINES
        ? exact
        : linesOf(those, plants, (item) => rounded(nightsFor(item, floorC)));
    return { place, lines };
  });
}

const EXACT_LINES = 4;
const NIGHT_STEP_C = 4;
const rounded = (nightsAboveC: number | null): number | null =>
  nightsAboveC === null ? null : Math.ceil(nightsAboveC / NIGHT_STEP_C) * NIGHT_STEP_C;

/** Nights so much warmer than the plant needs may be expected without a word. */
const SAFE_BY_K = 3;

/** What the nights must stay above for moist roots; null where floor or season see to it. */
function nightsFor({ care, at }: WaterDue, floorC: number | null): number | null {
  const { moist } = care.least;
  return (floorC !== null && floorC >= moist) || at.meanMinC >= moist + SAFE_BY_K ? null : moist;
}

const MODES: readonly WaterMode[] = ["sips", "light", "normal", "generous", "none"];

function linesOf(
  items: readonly WaterDue[],
  plants: readonly DuePlant[],
  nights: (item: WaterDue) => number | null,
): CoverLine[] {
  const groups = new Map<string, { mode: WaterMode; nightsAboveC: number | null; plants: DuePlant[] }>();
  for (const item of items) {
    const nightsAboveC = nights(item);
    const key = `${item.mode} ${nightsAboveC}`;
    const group = groups.get(key) ?? { mode: item.mode, nightsAboveC, plants: [] };
    group.plants.push(item.plant);
    groups.set(key, group);
  }
  return [...groups.values()]
    .map(({ mode, nightsAboveC, plants: those }) => ({
      place: those[0]?.place ?? null,
      mode,
      nightsAboveC,
      ...named(those, plants),
    }))
    .sort(
      (a, b) =>
        MODES.indexOf(a.mode) - MODES.indexOf(b.mode) || (a.nightsAboveC ?? 0) - (b.nightsAboveC ?? 0),
    );
}

function grouped(those: readonly DuePlant[], all: readonly DuePlant[]): CoverGroup[] {
  const places = [...new Set(those.map(({ place }) => place))];
  return places.map((place) => ({
    place,
    ...named(
      those.filter((plant) => plant.place === place),
      all,
    ),
  }));
}

/** How many tags or species of a genus are named before it is only counted. */
const NAMED_OF_GENUS = 3;

/** Names for plants of one place: the genus when all of it there is meant, else species, tags or a number. */
function named(those: readonly DuePlant[], all: readonly DuePlant[]): Pick<CoverGroup, "names" | "all"> {
  const place = those[0]?.place ?? null;
  const here = all.filter((plant) => plant.place === place);
  const genera = [...new Set(those.map(({ genus }) => genus))].sort((a, b) => a.localeCompare(b));
  const names = genera.map((genus) => {
    const of = those.filter((plant) => plant.genus === genus);
    const standing = here.filter((plant) => plant.genus === genus);
    if (of.length === standing.length) return genus;
    const single = [...new Set(of.map(singleName))];
    if (single.length <= NAMED_OF_GENUS) return single.join(", ");
    return `${of.length} of ${standing.length} ${genus}`;
  });
  return { names, all: those.length === here.length };
}

const singleName = (plant: DuePlant): string =>
  plant.name ?? plant.tag ?? [plant.genus, plant.species].filter(Boolean).join(" ");
