import { Temporal } from "temporal-polyfill";
import { type InGroup, subjectCovers } from "../horticulture/coverage.js";
import { type DueToday, dueToday } from "../horticulture/due/today.js";
import type { DuePlant, WaterDue } from "../horticulture/due/types.js";
import { journalForTasks, taskViewOf } from "../journal/due-tasks.js";
import type { Answer } from "../journal/outcome.js";
import { placeNamed, type Scope } from "../journal/scope.js";
import type { Question } from "../language/interpretation.js";
import type { NudgeMind } from "./household.js";
import { planRequest } from "./plan-morning.js";

type Ask = Extract<Question, { about: "due" }>;

/** Reasons shown for "why?", of the items first named. */
const WHYS = 8;

/** "what's due", "what's due this weekend", "what about the warm bench": all that is open, also early, and what is held. */
export async function dueAnswer(
  question: Ask,
  scope: Scope,
  { knowledge, tasks }: Pick<NudgeMind, "knowledge" | "tasks">,
): Promise<Answer> {
  const { store, household, zone, places, plants, utterance } = scope;
  const view = await taskViewOf(
    await journalForTasks(store, utterance.at),
    { household, zone, places, plants },
    utterance.at,
    tasks,
    knowledge.inGroup,
  );
  const place = placeNamed(places, question.place)?.name ?? null;
  const until = untilOf(question, view.setting.date);
  const today = narrowed(dueToday(view, tasks, knowledge), question, knowledge.inGroup);
  const plan = planRequest(
    { today, plants: view.plants, places: places.map(({ name }) => name) },
    { place, until },
  );
  const here = (item: WaterDue) => place === null || item.plant.place === place;
  const later = today.later.filter((item) => here(item) && item.dueOn.toString() > until.toString());
  const next = [...later].sort((a, b) => Temporal.PlainDate.compare(a.dueOn, b.dueOn))[0] ?? null;
  return {
    about: "due",
    question,
    plan,
    place,
    until: until.equals(view.setting.date) ? null : until,
    next: next && {
      on: next.dueOn,
      genera: [
        ...new Set(later.filter(({ dueOn }) => dueOn.equals(next.dueOn)).map(({ plant }) => plant.genus)),
      ],
    },
    why: [...today.water.filter(here), ...later.slice(0, 2)].slice(0, WHYS),
  };
}

/** The last day asked about; what lies behind is asked as of today. */
function untilOf({ when }: Ask, today: Temporal.PlainDate): Temporal.PlainDate {
  if (!when) return today;
  const to = Temporal.PlainDateTime.from(when.to);
  const last = (when.to > when.from ? to.subtract({ minutes: 1 }) : to).toPlainDate();
  return Temporal.PlainDate.compare(last, today) < 0 ? today : last;
}

/** Only the subjects and the act that were asked for. */
function narrowed(today: DueToday, { subjects, act }: Ask, inGroup: InGroup): DueToday {
  const meant = (plant: DuePlant) =>
    subjects === undefined || subjects.some((subject) => subjectCovers(subject, plant, inGroup));
  const watering = act === undefined || act === "water";
  return {
    ...today,
    water: watering ? today.water.filter(({ plant }) => meant(plant)) : [],
    later: watering ? today.later.filter(({ plant }) => meant(plant)) : [],
    rests: watering ? today.rests.filter(({ plant }) => meant(plant)) : [],
    feed:
      act === undefined || act === "feed" || act === "water"
        ? today.feed.filter(({ plant }) => meant(plant))
        : [],
    tasks: today.tasks.filter(
      (task) =>
        (act === undefined || task.act === act || task.task === act) &&
        (subjects === undefined || task.plants.some(meant)),
    ),
  };
}
