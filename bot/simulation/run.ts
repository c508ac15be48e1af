import type { Temporal } from "temporal-polyfill";
import { daysFrom, isBefore } from "../horticulture/due/days.js";
import type { Mention, MorningPlan } from "../horticulture/due/plan-types.js";
import type { TaskDue, TaskTable } from "../horticulture/due/task-types.js";
import { type DueToday, dueToday } from "../horticulture/due/today.js";
import type { DuePlant, WaterDue } from "../horticulture/due/types.js";
import { type Knowledge, rulesOf } from "../horticulture/due/water.js";
import { seasonOn, turnMonth } from "../horticulture/seasons.js";
import { morningInstant } from "../nudges/due-instant.js";
import { underFloor } from "../nudges/plan-danger.js";
import { planMorning, waterKey } from "../nudges/plan-morning.js";
import { dangerLines } from "./dangers.js";
import { eveningOf } from "./evening.js";
import type { SimHousehold } from "./household.js";
import { type Indoors, indoors, type Outdoors } from "./indoors.js";
import { SimJournal } from "./journal.js";
import { type Keeper, type KeeperKind, keeperOf } from "./keeper.js";
import {
  feedItem,
  heldText,
  minutesOf,
  placeAct,
  reading,
  restItem,
  type SimItem,
  type SimLine,
  taskItems,
  taxonOf,
  timeOn,
  together,
  wallClock,
  waterItem,
} from "./lines.js";
import { chance } from "./numbers.js";
import { named, type Tally } from "./tally.js";
import { Watcher } from "./watcher.js";

export interface SimParts {
  household: SimHousehold;
  keeper: KeeperKind;
  from: Temporal.PlainDate;
  /** The day after the last one. */
  to: Temporal.PlainDate;
  knowledge: Knowledge;
  tasks: TaskTable;
  weather(date: Temporal.PlainDate): Outdoors;
  tally: Tally;
  /** Sees each day's plan, or null, with all that the day holds. */
  onDay?(plan: MorningPlan | null, today: DueToday): void;
}

const GERMINATES_AFTER_DAYS = 12;

/** Runs a household day by day on the very engine that the bot runs on, and gives every message and entry in order. */
export function* simulate(parts: SimParts): Generator<SimLine> {
  const run = new Run(parts);
  for (let date = parts.from; isBefore(date, parts.to); date = date.add({ days: 1 })) {
    yield* run.day(date);
  }
  yield* run.rest();
}

const byTime = (a: SimLine, b: SimLine): number => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0);

class Run {
  readonly #parts: SimParts;
  readonly #keeper: Keeper;
  readonly #journal: SimJournal;
  readonly #mentions = new Map<string, Mention>();
  /** Why a plant's watering waited, since it was due. */
  readonly #waits = new Map<string, string>();
  readonly #watcher: Watcher;
  readonly #sown: { plant: DuePlant; on: Temporal.PlainDate }[] = [];
  #powerCut = false;
  /** Said after midnight of the day that they belong to. */
  #carried: SimLine[] = [];

  constructor(parts: SimParts) {
    this.#parts = parts;
    this.#keeper = keeperOf(parts.keeper);
    this.#journal = new SimJournal(parts.household, parts.from);
    this.#watcher = new Watcher(parts.tally);
  }

  /** One day: readings, the morning message, the keeper's work, the evening. */
  day(date: Temporal.PlainDate): SimLine[] {
    const { household, knowledge, tasks, tally, weather } = this.#parts;
    tally.days++;
    const lines: SimLine[] = [];
    const tomorrow = date.add({ days: 1 }).toString();
    const out = weather(date);
    const inside = new Map(
      household.places.map((place) => [place.name, indoors(place, date, out, this.#powerCut)]),
    );
    this.#powerCut = false;
    const reads = this.#keeper.reads(date, this.#frostSeason(date));
    const early = this.#keeper.readsAt < minutesOf(household.reminderTime);
    if (reads && early) lines.push(...this.#readings(date, out, inside));
    const today = dueToday(this.#journal.viewOn(date), tasks, knowledge);
    for (const plant of today.unruled) tally.unruled.add(named(plant));
    this.#watch(today);
    const plan = planMorning({
      today,
      plants: household.plants,
      places: household.places.map((place) => place.name),
      mentions: this.#mentions,
      weekdays: household.reminderDays,
    });
    this.#parts.onDay?.(plan, today);
    if (plan) lines.push(this.#morning(plan, today));
    this.#watcher.listen(today);
    if (reads && !early) lines.push(...this.#readings(date, out, inside));
    lines.push(...this.#events(date));
    if (this.#keeper.works(date)) lines.push(...this.#work(today, plan));
    const evening = eveningOf({
      date,
      night: weather(date.add({ days: 1 })),
      household,
      keeper: this.#keeper,
      pairs: this.#journal.pairs,
      cold: this.#frostSeason(date),
    });
    this.#powerCut = evening.powerCut;
    tally.readings += evening.readings;
    tally.otherEntries += evening.entries;
    lines.push(...evening.lines);
    const said = together([...this.#carried, ...lines].sort(byTime));
    tally.dangers += said.filter(({ type, at }) => type === "danger" && at < tomorrow).length;
    this.#carried = said.filter(({ at }) => at >= tomorrow);
    return said.filter(({ at }) => at < tomorrow);
  }

  /** What the last night left to say. */
  rest(): SimLine[] {
    return this.#carried;
  }

  #frostSeason(date: Temporal.PlainDate): boolean {
    const month = turnMonth(date.month, this.#parts.household.hemisphere);
    return month >= 10 || month <= 4;
  }

  #readings(date: Temporal.PlainDate, out: Outdoors, inside: ReadonlyMap<string, Indoors>): SimLine[] {
    const { household, tally } = this.#parts;
    const at = timeOn(date, this.#keeper.readsAt);
    const lines: SimLine[] = [];
    const items: SimItem[] = [reading("outdoor_temperature", "min", null, out.minC, "Cel")];
    for (const place of household.places) {
      const air = inside.get(place.name) as Indoors;
      items.push(reading("air_temperature", "min", place.name, air.minC, "Cel", { floor: place.floorC }));
      items.push(reading("relative_humidity", "current", place.name, air.morningRh, "%"));
      const cause = underFloor(air.minC, place.floorC);
      if (cause) lines.push(...dangerLines(place.name, cause, at, household, this.#keeper));
      this.#journal.noteReading(place, date, {
        minC: air.minC,
        meanC: (air.minC + air.maxC) / 2,
        rhs: [air.morningRh, air.dayRh],
        dayRh: air.dayRh,
        outdoorC: out.minC,
      });
      if (cause && !lines.some((line) => line.items[0]?.place === place.name)) {
        tally.violation("missed alarm", `${place.name} ${date}: ${air.minC} °C`);
      }
    }
    this.#journal.noteOutdoors(date, out.minC);
    tally.readings += items.length;
    return [{ at: wallClock(at), type: "reading", items }, ...lines];
  }

  /** Remembers what holds plants back once they are due. */
  #watch(today: DueToday): void {
    for (const item of today.water) {
      if (item.held === null || isBefore(today.date, item.dueOn)) continue;
      this.#waits.set(item.plant.id, heldText(item.held));
    }
  }

  #morning(plan: MorningPlan, today: DueToday): SimLine {
    const { household, tally } = this.#parts;
    const { date } = plan;
    for (const key of plan.keys) {
      this.#mentions.set(key, { on: date, times: (this.#mentions.get(key)?.times ?? 0) + 1 });
    }
    const said = new Set(plan.places.flatMap(({ water }) => water.flatMap((line) => line.plants)));
    const asked = new Set(plan.ask.flatMap((line) => line.plants));
    const fed = new Set(plan.places.flatMap(({ feed }) => feed.flatMap((line) => line.plants)));
    const waiting = new Set(plan.held.flatMap(({ lines }) => lines.flatMap((line) => line.plants)));
    const water = today.water.filter(
      ({ plant }) => said.has(plant) || asked.has(plant) || waiting.has(plant),
    );
    const opened = new Set(water.map(({ plant }) => plant));
    const rests = today.rests.filter(({ plant }) => waiting.has(plant) && !opened.has(plant));
    const tasks = [...plan.tasks, ...plan.places.flatMap((place) => place.tasks)];
    for (const item of water)
      this.#watcher.said(item.plant.id, `${item.last ?? ""}${item.held?.why ?? ""}`, date);
    for (const task of tasks) this.#watcher.said(`${task.row}|${task.place ?? ""}`, task.mention, date);
    tally.mornings++;
    const instant = morningInstant(date, household.reminderTime, household.zone);
    return {
      at: wallClock(instant.toZonedDateTimeISO(household.zone).toPlainDateTime()),
      type: "morning",
      items: [
        ...water.map(waterItem),
        ...rests.map(restItem),
        ...today.feed.filter(({ plant }) => fed.has(plant)).map(feedItem),
        ...tasks.flatMap(taskItems),
      ],
    };
  }

  #work(today: DueToday, plan: MorningPlan | null): SimLine[] {
    const { date } = today;
    const keeper = this.#keeper;
    const planned = new Set(plan?.keys ?? []);
    const heard = (key: string) => (keeper.sameDay ? planned.has(key) : this.#mentions.has(key));
    const does = (key: string) => heard(key) && keeper.does(key, date);
    const at = wallClock(timeOn(date, keeper.worksAt));
    const lines: SimLine[] = [];
    const watered = today.water.filter((item) => item.held === null && does(waterKey(item)));
    if (watered.length > 0)
      lines.push({ at, type: "entry", items: watered.map((item) => this.#water(item, date)) });
    const wet = new Set(watered.map(({ plant }) => plant));
    const fed = today.feed.filter(({ plant, mention }) => wet.has(plant) && does(mention));
    if (fed.length > 0) {
      this.#journal.notePlants(
        "feed",
        fed.map(({ plant }) => plant),
        date,
        this.#person,
      );
      lines.push({ at, type: "entry", items: fed.map(feedItem) });
    }
    const tasks = today.tasks.filter((task) => task.act !== "reading" && does(task.mention));
    const done = tasks.flatMap((task) => this.#do(task, date));
    if (done.length > 0) lines.push({ at, type: "entry", items: done });
    this.#parts.tally.waterings += watered.length;
    this.#parts.tally.otherEntries += fed.length + done.length;
    return lines;
  }

  get #person(): string | null {
    return this.#parts.household.members[0] ?? null;
  }

  #water(item: WaterDue, date: Temporal.PlainDate): SimItem {
    const { knowledge, household, tally } = this.#parts;
    const { plant } = item;
    const found = rulesOf(plant, knowledge);
    const own = item.care.overrides.some((override) => override.what === "interval");
    if (found?.rules[seasonOn(date, household.hemisphere)].water.mode === "none" && !own && !plant.young) {
      tally.violation("watered in its rest without water", `${named(plant)} ${date}`);
    }
    const waited = this.#waits.get(plant.id) ?? null;
    const habit = item.pulls.find((pull) => pull.by === "habit");
    const turned =
      item.last !== null &&
      seasonOn(item.last, household.hemisphere) !== seasonOn(date, household.hemisphere);
    const reason =
      waited ?? (item.afterRest ? "after the rest" : habit ? "habit" : turned ? "turn of the season" : null);
    if (item.status === "overdue" && item.last !== null) {
      tally.lateWatering(item, date.toString(), this.#keeper.sameDay ? reason : (reason ?? "keeper late"));
    }
    this.#waits.delete(plant.id);
    this.#journal.notePlants("water", [plant], date, this.#person, waited !== null);
    return { ...waterItem(item), ...(reason === null ? {} : { reason }), person: this.#person };
  }

  #do(task: TaskDue, date: Temporal.PlainDate): SimItem[] {
    if (task.act === "repot" && task.plants.length > 0) {
      this.#journal.notePlants("repot", task.plants, date, this.#person);
      return taskItems(task);
    }
    const subject = task.act === "sow" ? this.#seedOf(date) : (task.plants[0] ?? null);
    if (task.act === "sow" && subject) this.#sown.push({ plant: subject, on: date });
    this.#journal.noteAct({
      act: task.act,
      place: task.place,
      on: date,
      genus: subject?.genus ?? null,
      species: subject?.species ?? null,
      text: task.act === "note" ? task.words.toLowerCase() : null,
    });
    if (task.act !== "sow" || !subject) return taskItems(task);
    return taskItems(task).map((item) => ({ ...item, taxon: taxonOf(subject), count: 40 }));
  }

  #seedOf(date: Temporal.PlainDate): DuePlant | null {
    const { plants } = this.#parts.household;
    return plants[Math.floor(chance("seed", date.year) * plants.length)] ?? null;
  }

  /** What happens in a collection without being asked for: seedlings come up, a plant is bought in May. */
  #events(date: Temporal.PlainDate): SimLine[] {
    const { household, tally } = this.#parts;
    if (this.#keeper.kind === "none") return [];
    const at = wallClock(timeOn(date, 17 * 60));
    const items: SimItem[] = [];
    for (const { plant, on } of this.#sown) {
      if (daysFrom(on, date) !== GERMINATES_AFTER_DAYS) continue;
      items.push(placeAct("germinate", plant.place, { taxon: taxonOf(plant), count: 22, outOf: 40 }));
      const { genus, species, place } = plant;
      this.#journal.noteAct({ act: "germinate", place, genus, species, on: date });
    }
    const may = turnMonth(5, household.hemisphere);
    const bought = household.plants[Math.floor(chance("bought", date.year) * household.plants.length)];
    if (date.month === may && date.day === 10 && bought) {
      items.push(placeAct("acquire", bought.place, { taxon: taxonOf(bought) }));
      const { genus, species, place } = bought;
      this.#journal.noteAct({ act: "acquire", place, genus, species, on: date });
    }
    tally.otherEntries += items.length;
    return items.length === 0 ? [] : [{ at, type: "entry", items }];
  }
}
