import { EMPTY_HOUSEHOLD } from "../../bot/language/context.js";
import { interpret } from "../../bot/language/index.js";
import { vocabulary } from "../language/support/corpus.js";
import type { SetResult } from "./run.js";

export interface NegativeLine {
  text: string;
  hard?: boolean;
  weather?: boolean;
}

const HOUSE = {
  ...EMPTY_HOUSEHOLD,
  places: [{ name: "Long House", aliases: ["LH"], default: true }, { name: "Warm Bench" }],
  members: ["Ines", "Tomasz", "Priya"],
};

/** Utterances that are not about a plant collection: an unaddressed one must be left alone. */
export function checkNegatives(lines: readonly NegativeLine[]): SetResult[] {
  const check = (set: string, part: readonly NegativeLine[]): SetResult => {
    const failures: string[] = [];
    const kinds = new Map<string, number>();
    for (const line of part) {
      const found = interpret(
        line.text,
        { ...HOUSE, now: "2027-01-15T09:00", zone: "Europe/Warsaw", addressed: false },
        vocabulary(),
      );
      if (found.kind === "none") continue;
      kinds.set(found.kind, (kinds.get(found.kind) ?? 0) + 1);
      failures.push(`${found.kind} | ${line.text} | ${JSON.stringify(found)}`);
    }
    const remark = ["log", "unclear", "ask", "instruct"]
      .map((kind) => `${kind} ${kinds.get(kind) ?? 0}`)
      .join(", ");
    return { set, lines: part.length, right: part.length - failures.length, remark, failures };
  };
  return [
    check("negatives", lines),
    check(
      "negatives (hard)",
      lines.filter((line) => line.hard),
    ),
  ];
}
