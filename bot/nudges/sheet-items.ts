import type { WaterMode } from "../horticulture/care.js";
import type { TaskDue } from "../horticulture/due/task-types.js";
import type { SheetItem } from "../journal/due-sheet.js";
import type { Act, Dose, Entry, Subject } from "../language/interpretation.js";
import type { MorningLine, MorningPlan } from "./plan-types.js";

/** What a press on "done" writes, item by item. */

const DOSES: Readonly<Record<WaterMode, Dose>> = {
  none: "sip",
  sips: "sip",
  light: "light",
  normal: "normal",
  generous: "soak",
};

/** Done for a plant at a time, not for a whole window: the tap says that it was seen to, no more. */
const PIECEMEAL = new Set<string>(["repot", "sow", "prick_out", "move", "order", "acquire"]);

/** The items of a plan in the order in which it is said. */
export function sheetItems(plan: MorningPlan, label: (item: MorningLine | TaskDue) => string): SheetItem[] {
  const items: SheetItem[] = [];
  const add = (item: MorningLine | TaskDue, entry: Entry | null, keys: string[], alone: boolean) => {
    if (entry) items.push({ label: label(item), entry, keys, alone, done: null });
  };
  for (const { water, feed, tasks } of plan.places) {
    for (const line of water) add(line, lineEntry(line), [...line.keys], false);
    for (const line of feed) add(line, lineEntry(line), [...line.keys], false);
    for (const task of tasks) add(task, taskEntry(task), [task.mention], isPiecemeal(task));
  }
  for (const task of plan.tasks) add(task, taskEntry(task), [task.mention], isPiecemeal(task));
  return items;
}

function lineEntry(line: MorningLine): Entry {
  const { act, place, mode } = line;
  return {
    act,
    subjects: line.subjects as Subject[],
    ...(place === null ? {} : { place }),
    ...(act === "water" ? { amount: { dose: DOSES[mode] } } : {}),
  };
}

const isPiecemeal = (task: TaskDue): boolean => PIECEMEAL.has(task.act) || task.plants.length > 0;

/** A missing reading cannot be tapped away, and a rest that begins asks for nothing. */
function taskEntry(task: TaskDue): Entry | null {
  if (task.act === "reading" || task.trigger === "rest") return null;
  const at = task.place === null ? {} : { place: task.place };
  if (task.act === "note" || isPiecemeal(task)) return { act: "note", ...at, text: task.words };
  return { act: task.act as Act, ...at };
}
