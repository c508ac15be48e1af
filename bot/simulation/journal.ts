import type { Temporal } from "temporal-polyfill";
import { vapourPressureDeficitKPa } from "../horticulture/climate/psychrometry.js";
import { daysFrom, epochDay } from "../horticulture/due/days.js";
import { CareHistory } from "../horticulture/due/history.js";
import type { TaskAct, TaskView } from "../horticulture/due/task-types.js";
import type { DuePlace, DuePlant } from "../horticulture/due/types.js";
import type { NightPair } from "../nudges/plan-danger.js";
import type { SimHousehold, SimPlace } from "./household.js";

const NIGHTS = 21;
const COLDEST_DAYS = 3;
const DAMP_DAYS = 2;
const AIR_DAYS = 14;
const KEPT_DAYS = 800;

interface Noted {
  day: number;
  minC: number;
  rhs: number[];
  vpdKPa: number;
}

/** What a simulated household has noted, and the view of it that the due engine asks for. */
export class SimJournal {
  readonly history = new CareHistory();
  readonly pairs = new Map<string, NightPair[]>();
  readonly #noted = new Map<string, Noted[]>();
  readonly #lastMinimum = new Map<string, Temporal.PlainDate>();
  #acts: TaskAct[] = [];
  #frostDays: Temporal.PlainDate[] = [];
  #outdoor: { day: number; minC: number }[] = [];
  #count = 0;

  constructor(
    readonly household: SimHousehold,
    readonly since: Temporal.PlainDate,
  ) {}

  /** Morning readings of a place: the night's minimum, humidity then and by day before, the deficit of that day. */
  noteReading(
    place: SimPlace,
    date: Temporal.PlainDate,
    read: { minC: number; meanC: number; rhs: number[]; dayRh: number; outdoorC: number },
  ): void {
    const list = this.#noted.get(place.name) ?? [];
    list.unshift({
      day: epochDay(date),
      minC: read.minC,
      rhs: read.rhs,
      vpdKPa: vapourPressureDeficitKPa(read.meanC, read.dayRh),
    });
    list.length = Math.min(list.length, NIGHTS * 2);
    this.#noted.set(place.name, list);
    this.#lastMinimum.set(place.name, date);
    const pairs = this.pairs.get(place.name) ?? [];
    pairs.push({ outdoorC: read.outdoorC, indoorC: read.minC });
    if (pairs.length > 400) pairs.shift();
    this.pairs.set(place.name, pairs);
  }

  noteOutdoors(date: Temporal.PlainDate, minC: number): void {
    this.#outdoor.unshift({ day: epochDay(date), minC });
    this.#outdoor.length = Math.min(this.#outdoor.length, 10);
    if (minC <= 0) this.#frostDays.push(date);
  }

  notePlants(
    act: string,
    plants: readonly DuePlant[],
    on: Temporal.PlainDate,
    person: string | null,
    waited = false,
  ): void {
    this.#count++;
    const past = { id: String(this.#count), act, from: on, to: on, person, ...(waited ? { waited } : {}) };
    this.history.add(
      past,
      plants.map((plant) => plant.id),
    );
  }

  noteAct(act: Omit<TaskAct, "genus" | "species" | "text"> & Partial<TaskAct>): void {
    this.#acts.unshift({ genus: null, species: null, text: null, ...act });
    if (this.#acts.length > 2000)
      this.#acts = this.#acts.filter(({ on }) => daysFrom(on, act.on) < KEPT_DAYS);
  }

  /** The household on a day. */
  viewOn(date: Temporal.PlainDate): TaskView {
    const { household } = this;
    const today = epochDay(date);
    return {
      setting: {
        date,
        hemisphere: household.hemisphere,
        places: new Map(household.places.map((place) => [place.name, this.#place(place, today)])),
        defaultPlace: household.defaultPlace,
        ownRules: household.ownRules,
        postponements: [],
      },
      plants: household.plants,
      history: this.history,
      latitude: household.latitude,
      choices: household.choices,
      acts: this.#acts,
      lastMinimum: this.#lastMinimum,
      frostDays: this.#frostDays,
      outdoorMinC: lowest(this.#outdoor.filter(({ day }) => today - day < COLDEST_DAYS)),
      knownSince: this.since,
    };
  }

  #place(place: SimPlace, today: number): DuePlace {
    const noted = (this.#noted.get(place.name) ?? []).filter(({ day }) => today - day < NIGHTS);
    const damp = noted.filter(({ day }) => today - day < DAMP_DAYS).flatMap(({ rhs }) => rhs);
    const air = noted.filter(({ day }) => today - day < AIR_DAYS);
    return {
      name: place.name,
      kind: place.kind,
      floorC: place.floorC,
      latitude: this.household.latitude,
      meanMinC: noted.length === 0 ? null : mean(noted.map(({ minC }) => minC)),
      nights: noted.length,
      coldestC: lowest(noted.filter(({ day }) => today - day < COLDEST_DAYS)),
      dampestLeastRh: damp.length < 2 ? null : Math.min(...damp),
      vpdKPa: air.length === 0 ? null : mean(air.map(({ vpdKPa }) => vpdKPa)),
    };
  }
}

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

const lowest = (noted: readonly { minC: number }[]): number | null =>
  noted.length === 0 ? null : Math.min(...noted.map(({ minC }) => minC));
