import { settleIn } from "../../entries/circumstances.js";
import type { When } from "../../interpretation.js";
import { type Item, says } from "../../item.js";
import type { InstructionView } from "./view.js";

/** A length of time that the message names. */
export interface Duration {
  unit: "minute" | "hour" | "day" | "month";
  count: number;
  /** Index of its item. */
  at: number;
}

const UNITS: Readonly<Record<string, { unit: Duration["unit"]; times: number }>> = {
  min: { unit: "minute", times: 1 },
  h: { unit: "hour", times: 1 },
  d: { unit: "day", times: 1 },
  wk: { unit: "day", times: 7 },
  mo: { unit: "month", times: 1 },
};

const READING = { monthFirst: false, system: "gb", dollar: "USD" } as const;

/** "for two days", "for a week", "give me an hour". */
export function durationIn(view: InstructionView): Duration | undefined {
  for (let at = 0; at < view.items.length; at++) {
    const item = view.items[at] as Item;
    const { measure } = item;
    const size =
      measure?.dimension === "time" && measure.unit
        ? { value: measure.value, unit: measure.unit }
        : says(item, "counts one")
          ? single(view, item)
          : says(item, "lasts two weeks")
            ? { value: 2, unit: "wk" }
            : undefined;
    if (!size) continue;
    const { unit, times } = UNITS[size.unit] ?? { unit: "day", times: 1 };
    return { unit, count: size.value * times, at };
  }
  return undefined;
}

/** "a week": read as "1 week". */
function single(view: InstructionView, item: Item): { value: number; unit: string } | undefined {
  const { tokens, vocabulary } = view.message;
  const counted = tokens.map((token, at) =>
    at === item.start ? { ...token, kind: "number" as const, value: 1 } : token,
  );
  const found = vocabulary.lexicon.language.readMeasure(counted, item.start, READING)?.measure;
  return found?.dimension === "time" && found.unit ? { value: 1, unit: found.unit } : undefined;
}

/** The time that lies a duration ahead of now. */
export function aheadIn(view: InstructionView): { when: When; at: number } | undefined {
  const found = durationIn(view);
  if (!found) return undefined;
  const { unit, count, at } = found;
  const when = settleIn(
    { span: { kind: "ago", count, unit, ahead: true } },
    view.message.circumstances,
    "future",
  );
  return when ? { when, at } : undefined;
}
