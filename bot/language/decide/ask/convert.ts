import type { Quantity } from "../../interpretation.js";
import { type Item, is, value } from "../../item.js";
import type { Sense } from "../../sense.js";
import type { QuestionView } from "./view.js";

export type Inputs = Record<string, Quantity | string | number>;

/** The measures of a question and where they stand. */
export const measures = (view: QuestionView): { item: Item; at: number }[] =>
  view.items.flatMap((item, at) =>
    item.measure && !item.measure.article && !item.quoted ? [{ item, at }] : [],
  );

/** "convert 50 f to c", "what is 12 inches in cm", "how many cm is 4 inches". */
export function convert(view: QuestionView): Inputs | undefined {
  const found = measures(view).find(({ item }) => !item.time);
  if (!found) return undefined;
  const goal = goalAfter(view, found.at) ?? goalBefore(view, found.at);
  if (!goal) return undefined;
  const unit = fluid(found.item.measure?.unit, goal, view);
  const opposite = goal === "Cel" ? "[degF]" : goal === "[degF]" ? "Cel" : undefined;
  const from = unit === undefined || unit === "deg" ? opposite : unit;
  return from && from !== goal
    ? { value: { value: found.item.measure?.value ?? 0, unit: from }, to: goal }
    : undefined;
}

/** Ounces that become millilitres are those of a measuring jug. */
const fluid = (unit: string | undefined, goal: string, view: QuestionView): string | undefined =>
  unit === "[oz_av]" && /^(mL|L|\[(gal|qt|pt)_)/.test(goal)
    ? `[foz_${view.message.circumstances.context.locale === "en-US" ? "us" : "br"}]`
    : unit;

/** "... in cm", "... to celsius" behind the number. */
function goalAfter(view: QuestionView, at: number): string | undefined {
  for (let i = at + 1; i < view.items.length - 1; i++) {
    if (!["in", "to", "into"].includes(value(view.items[i], "prep") ?? "")) continue;
    const goal = targetUnit(view.items[i + 1] as Item, view);
    if (
      goal &&
      (view.items[i + 2] === undefined ||
        view.items[i + 2]?.token.kind === "mark" ||
        is(view.items[i + 2], "courtesy"))
    )
      return goal;
  }
  return undefined;
}

/** "how many cm is 4 inches", "how much is that in cm". */
function goalBefore(view: QuestionView, at: number): string | undefined {
  const many = view.items.findIndex((item) => is(item, "ask") && item.end - item.start > 1);
  const asked = view.items.findIndex((item) => is(item, "calc") && item.end > item.start + 2);
  if (many < 0 && asked >= 0 && asked < at) {
    const last = view.message.tokens[(view.items[asked] as Item).end - 1]?.key ?? "";
    return unitOf(view.message.vocabulary.layers.ask.word(last), view);
  }
  return many >= 0 && many < at
    ? view.items
        .slice(many + 1, at)
        .map((item) => targetUnit(item, view))
        .find((one) => one !== undefined)
    : undefined;
}

const targetUnit = (item: Item, view: QuestionView): string | undefined => unitOf(item.senses, view);

function unitOf(senses: readonly Sense[] | undefined, view: QuestionView): string | undefined {
  const named = senses?.find((sense) => sense.cls === "unitname")?.value;
  if (!named) return undefined;
  const suffix = view.message.circumstances.context.locale === "en-US" ? "us" : "br";
  const custom: Record<string, string> = {
    gal: `[gal_${suffix}]`,
    qt: `[qt_${suffix}]`,
    pt: `[pt_${suffix}]`,
    floz: `[foz_${suffix}]`,
  };
  return custom[named] ?? named;
}
