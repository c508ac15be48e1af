import { join } from "node:path";
import { BASES, type Range } from "../../bot/horticulture/care.js";
import {
  type CareTask,
  type FrostBand,
  TASK_SCOPES,
  TASK_TRIGGERS,
  type TaskTable,
} from "../../bot/horticulture/due/task-types.js";
import { CARE_DIR, type Row, readTable, TableError } from "./csv.js";

const HEMISPHERES = ["both", "north", "south"] as const;

/**
 * The calendar tasks and the frost dates they hang on.
 * @throws {TableError} naming file, line and column of a row that cannot be used
 */
export function readTasks(dir = CARE_DIR): TaskTable {
  const tasks = readTable(join(dir, "tasks.csv")).map(task);
  const seen = new Set<string>();
  for (const { id } of tasks) {
    if (seen.has(id)) throw new TableError("db/care/tasks.csv", 1, `id: "${id}" stands twice`);
    seen.add(id);
  }
  return { tasks, frost: readTable(join(dir, "tasks-frost.csv")).map(band) };
}

function fail(row: Row, column: string, problem: string): never {
  throw new TableError(row.file, row.line, `${column}: ${problem}`);
}

const list = (cell: string): string[] =>
  cell
    .split(";")
    .map((word) => word.trim())
    .filter((word) => word !== "");

function oneOf<T extends string>(row: Row, column: string, words: readonly T[]): T {
  const cell = row.get(column);
  const word = words.find((candidate) => candidate === cell);
  return word ?? fail(row, column, `"${cell}" is none of: ${words.join(", ")}`);
}

function whole(row: Row, column: string, missing: number | null): number | null {
  const cell = row.get(column);
  if (cell === "") return missing;
  if (!/^\d+$/.test(cell)) fail(row, column, `"${cell}" is no whole number`);
  return Number(cell);
}

function range(row: Row, column: string): Range | null {
  const cell = row.get(column);
  if (cell === "") return null;
  const read = /^(-?\d+)-(-?\d+)$/.exec(cell);
  if (!read) return fail(row, column, `"${cell}" is no range of days such as 14-28`);
  const [lo, hi] = [Number(read[1]), Number(read[2])];
  return lo <= hi ? [lo, hi] : fail(row, column, `${lo} lies above ${hi}`);
}

/** "11-2" -> 11, 12, 1, 2 */
function months(row: Row, column: string): number[] {
  const read = /^(\d+)(?:-(\d+))?$/.exec(row.get(column));
  if (!read)
    return row.get(column) === "" ? [] : fail(row, column, `"${row.get(column)}" is no span of months`);
  const [from, to] = [Number(read[1]), Number(read[2] ?? read[1])];
  if (from < 1 || from > 12 || to < 1 || to > 12) fail(row, column, "months run from 1 to 12");
  const span = [from];
  while (span[span.length - 1] !== to) span.push(((span[span.length - 1] as number) % 12) + 1);
  return span;
}

function task(row: Row): CareTask {
  const key = row.get("key");
  if (!/^[a-z]+$/.test(key)) fail(row, "key", `"${key}" is no single word in lower case`);
  const words = row.get("words");
  if (words === "") fail(row, "words", "is empty");
  const trigger = oneOf(row, "trigger", TASK_TRIGGERS);
  const span = months(row, "months");
  if (trigger === "months" && span.length === 0) fail(row, "months", "a task of months needs them");
  const afterActs = list(row.get("after"));
  const afterDays = range(row, "after_days");
  if (trigger === "after" && (afterActs.length === 0 || !afterDays)) {
    fail(row, "after", "a task after an act needs the act and its days");
  }
  return {
    id: row.get("id"),
    key,
    called: list(row.get("called")),
    words,
    act: row.get("act"),
    satisfiedBy: list(row.get("satisfied_by")),
    trigger,
    scope: oneOf(row, "scope", TASK_SCOPES),
    placeKinds: list(row.get("places")),
    groups: list(row.get("groups")),
    hemisphere: oneOf(row, "hemisphere", HEMISPHERES),
    months: span,
    fromDay: whole(row, "from_day", 1) as number,
    afterActs,
    afterDays,
    repeatDays: whole(row, "repeat_days", null),
    againDays: Math.max(3, whole(row, "again_days", 7) as number),
    mentions: whole(row, "mentions", 2) as number,
    cautionAct: row.get("caution") === "" ? null : row.get("caution"),
    basis: oneOf(row, "basis", BASES),
    source: row.get("source") === "" ? null : row.get("source"),
    remarks: row.get("remarks"),
  };
}

function monthDay(row: Row, column: string): { month: number; day: number } {
  const read = /^(\d\d)-(\d\d)$/.exec(row.get(column));
  if (!read) return fail(row, column, `"${row.get(column)}" is no month and day such as 10-12`);
  return { month: Number(read[1]), day: Number(read[2]) };
}

const band = (row: Row): FrostBand => ({
  from: whole(row, "latitude_from", 0) as number,
  to: whole(row, "latitude_to", 90) as number,
  firstFrost: monthDay(row, "first_frost"),
  lastFrost: monthDay(row, "last_frost"),
  basis: oneOf(row, "basis", BASES),
});
