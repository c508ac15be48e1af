import type { Temporal } from "temporal-polyfill";
import { isAfter } from "./days.js";
import { feedWith } from "./feed.js";
import type { FeedDue, TaskDue, TaskTable, TaskView } from "./task-types.js";
import { tasksDue } from "./tasks.js";
import type { DuePlant, WaterDue } from "./types.js";
import { type Knowledge, waterState } from "./water.js";

/** A plant whose rest without water is about to begin. */
export interface RestAhead {
  plant: DuePlant;
  begins: Temporal.PlainDate;
  last: Temporal.PlainDate | null;
}

/** All that a household's day holds, held back or not, mentioned or not. */
export interface DueToday {
  date: Temporal.PlainDate;
  /** Open windows: early, due and overdue, with what holds them. */
  water: WaterDue[];
  /** Windows that open later. */
  later: WaterDue[];
  /** In their rest without water. */
  resting: DuePlant[];
  rests: RestAhead[];
  feed: FeedDue[];
  tasks: TaskDue[];
  /** No rule speaks for them. */
  unruled: DuePlant[];
}

/** What is due on the day of the view; pure. Water and feed that the household switched off are left out. */
export function dueToday(view: TaskView, table: TaskTable, knowledge: Knowledge): DueToday {
  const { setting, history, plants, choices } = view;
  const today: DueToday = {
    date: setting.date,
    water: [],
    later: [],
    resting: [],
    rests: [],
    feed: [],
    tasks: tasksDue(view, table, knowledge),
    unruled: [],
  };
  const off = (key: string) => choices[key]?.off === true;
  if (off("water")) return today;
  for (const plant of plants) {
    const state = waterState(plant, setting, history, knowledge);
    switch (state.state) {
      case "no rule":
        today.unruled.push(plant);
        continue;
      case "dry rest":
        today.resting.push(plant);
        continue;
      case "not yet":
        today.later.push(state.item);
        break;
      case "open": {
        today.water.push(state.item);
        const feed = off("feed") ? null : feedWith(state.item, setting, history);
        if (feed) today.feed.push(feed);
      }
    }
    const begins = state.item.held?.why === "rest near" ? state.item.held.begins : state.restFrom;
    if (begins && !off("rest")) today.rests.push({ plant, begins, last: state.item.last });
  }
  return today;
}

/** Days from which a plan looks ahead: items whose day comes until then, with their window open on the day. */
export const dueBy = (item: WaterDue, day: Temporal.PlainDate): boolean => !isAfter(item.dueOn, day);
