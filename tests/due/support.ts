import { Temporal } from "temporal-polyfill";
import type {
  CareRule,
  CareTable,
  Range,
  RuleSet,
  Season,
  Taxon,
  WaterMode,
} from "../../bot/horticulture/care.js";
import { CareHistory } from "../../bot/horticulture/due/history.js";
import type { TaskAct, TaskChoices, TaskView } from "../../bot/horticulture/due/task-types.js";
import type {
  DuePlace,
  DuePlant,
  DueSetting,
  Postponement,
  WaterDue,
} from "../../bot/horticulture/due/types.js";
import { type Knowledge, waterState } from "../../bot/horticulture/due/water.js";
import { groupTest } from "../../bot/horticulture/groups.js";
import { CareLookup } from "../../bot/horticulture/lookup.js";
import type { OwnCareRule } from "../../bot/horticulture/own-rules.js";

/** A small care table with round figures, so that a test can be read without the big one. */

export const day = (text: string): Temporal.PlainDate => Temporal.PlainDate.from(text);

type Year = Readonly<
  Record<Season, readonly [WaterMode, Range | null, phase?: CareRule["phase"], feed?: string]>
>;

const AT = { file: "tests/due/support.ts", line: 1 };

function taxon(name: string, groups: string[], more: Partial<Taxon> = {}): Taxon {
  return {
    name,
    rank: "genus",
    genus: name,
    family: groups.includes("cacti") ? "Cactaceae" : "Asphodelaceae",
    groups,
    cycle: "summer grower",
    members: [],
    repot: [1, 2, 3],
    repotEveryYears: [2, 3],
    sow: [4],
    germination: { celsius: null, days: null },
    budTrigger: "",
    frostDry: false,
    basis: "common practice",
    source: null,
    remarks: "",
    at: AT,
    ...more,
  };
}

function rules(name: string, year: Year, least: { dry: number; moist: number }): RuleSet {
  const row = (season: Season): CareRule => {
    const [mode, days, phase = mode === "none" ? "resting" : "growing", feed = "none"] = year[season];
    return {
      taxon: name,
      season,
      phase,
      water: { mode, days },
      least,
      light: "",
      feed,
      normal: "",
      todo: "",
      basis: "common practice",
      source: null,
      remarks: "",
      at: AT,
    };
  };
  return { winter: row("winter"), spring: row("spring"), summer: row("summer"), autumn: row("autumn") };
}

const TAXA: readonly (readonly [Taxon, RuleSet])[] = [
  [
    taxon("Mammillaria", ["cacti"]),
    rules(
      "Mammillaria",
      {
        winter: ["none", null],
        spring: ["light", [14, 21], "waking", "none until growing"],
        summer: ["normal", [7, 14], "growing", "high potash, every second watering"],
        autumn: ["light", [14, 30], "slowing"],
      },
      { dry: 5, moist: 8 },
    ),
  ],
  [
    taxon("Haworthia", ["succulents"], { repot: [3, 4] }),
    rules(
      "Haworthia",
      {
        winter: ["sips", [14, 21], "resting"],
        spring: ["normal", [7, 14], "growing", "half strength, once or twice"],
        summer: ["light", [10, 20], "slowing"],
        autumn: ["normal", [7, 14], "growing", "half strength, monthly"],
      },
      { dry: 4, moist: 8 },
    ),
  ],
  [
    taxon("Dioscorea", ["succulents", "caudiciforms"], { cycle: "winter grower", repot: [8, 9] }),
    rules(
      "Dioscorea",
      {
        winter: ["normal", [7, 14], "growing", "quarter strength monthly"],
        spring: ["light", [10, 21], "slowing"],
        summer: ["none", null],
        autumn: ["light", [7, 14], "waking", "quarter strength monthly"],
      },
      { dry: 7, moist: 10 },
    ),
  ],
];

const table: CareTable = {
  taxa: new Map(TAXA.map(([row]) => [row.name, row])),
  rules: new Map(TAXA.map(([row, set]) => [row.name, set])),
  sections: new Map(),
  sources: new Map(),
};
const lookup = new CareLookup(table);
export const small: Knowledge = { lookup, inGroup: groupTest(lookup) };

export const plant = (genus: string, more: Partial<DuePlant> = {}): DuePlant => ({
  id: more.tag ?? genus,
  genus,
  species: null,
  cultivar: null,
  tag: null,
  name: null,
  place: "Long House",
  potDiameterCm: null,
  potMaterial: null,
  knownSince: day("2025-01-01"),
  ...more,
});

export const place = (more: Partial<DuePlace> = {}): DuePlace => ({
  name: "Long House",
  kind: "glasshouse",
  floorC: 5,
  latitude: 54,
  coldestC: null,
  dampestLeastRh: null,
  vpdKPa: null,
  ...more,
});

/** What was done to all plants of a test: "water 2027-01-03" or with the day before it was finished. */
export function historyOf(acts: readonly string[], ids: readonly string[]): CareHistory {
  const history = new CareHistory();
  acts.forEach((text, index) => {
    const [act = "", on = ""] = text.split(" ");
    history.add({ id: String(index), act, from: day(on), to: day(on), person: "Ines" }, ids);
  });
  return history;
}

export interface Situation {
  on: string;
  done?: readonly string[];
  place?: Partial<DuePlace>;
  plant?: Partial<DuePlant>;
  ownRules?: readonly OwnCareRule[];
  postponements?: readonly Postponement[];
  hemisphere?: "north" | "south";
}

export const settingOf = (situation: Situation): DueSetting => ({
  date: day(situation.on),
  hemisphere: situation.hemisphere ?? "north",
  places: new Map([["Long House", place(situation.place)]]),
  defaultPlace: "Long House",
  ownRules: situation.ownRules ?? [],
  postponements: situation.postponements ?? [],
});

/** How a plant stands, in a line: "due 2027-01-10/2027-01-17, light" or "dry rest". */
export function standing(genus: string, situation: Situation, knowledge: Knowledge = small) {
  const one = plant(genus, situation.plant);
  const state = waterState(one, settingOf(situation), historyOf(situation.done ?? [], [one.id]), knowledge);
  return state;
}

export const itemOf = (genus: string, situation: Situation): WaterDue => {
  const state = standing(genus, situation);
  if (state.state !== "open" && state.state !== "not yet") throw new Error(`it is ${state.state}`);
  return state.item;
};

export function taskView(
  on: string,
  more: {
    plants?: readonly DuePlant[];
    acts?: readonly TaskAct[];
    choices?: TaskChoices;
    latitude?: number;
    places?: readonly DuePlace[];
    lastMinimum?: Record<string, string>;
    frostDays?: readonly string[];
    outdoorMinC?: number;
    done?: readonly string[];
    knownSince?: string;
  } = {},
): TaskView {
  const latitude = more.latitude ?? 54.4;
  const plants = more.plants ?? [];
  return {
    setting: {
      date: day(on),
      hemisphere: latitude < 0 ? "south" : "north",
      places: new Map((more.places ?? [place()]).map((one) => [one.name, one])),
      defaultPlace: "Long House",
      ownRules: [],
      postponements: [],
    },
    plants,
    history: historyOf(
      more.done ?? [],
      plants.map(({ id }) => id),
    ),
    latitude,
    choices: more.choices ?? {},
    acts: more.acts ?? [],
    lastMinimum: new Map(Object.entries(more.lastMinimum ?? {}).map(([name, on]) => [name, day(on)])),
    frostDays: (more.frostDays ?? []).map(day),
    outdoorMinC: more.outdoorMinC ?? null,
    knownSince: day(more.knownSince ?? "2024-01-01"),
  };
}
