import type { CareTask } from "./task-types.js";

/** Words for waterings, which the due engine holds without a row of the file. */
const WATER = ["water", "watering", "waterings"];

/**
 * Key of a task by what people call it: its key, another word for it, its act, with or without a plural.
 * @example taskKeyOf("pests", tasks) //=> "pest"; taskKeyOf("prick_out", tasks) //=> "prick"
 * @returns null if no task is called that
 */
export function taskKeyOf(words: string, tasks: readonly CareTask[]): string | null {
  const said = words.trim().toLowerCase().replaceAll("_", " ");
  const forms = [said, said.replace(/s$/, ""), said.replace(/ (reminder|task)s?$/, "")];
  for (const form of forms) {
    if (WATER.includes(form)) return "water";
    const byKey = tasks.find(({ key }) => key === form);
    const byName = byKey ?? tasks.find(({ called }) => called.includes(form));
    const found = byName ?? tasks.find(({ act }) => act !== "note" && act.replaceAll("_", " ") === form);
    if (found) return found.key;
  }
  return null;
}
