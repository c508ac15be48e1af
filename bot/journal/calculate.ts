import { type CalculationInputs, calculate } from "../horticulture/climate/calculate.js";
import type { Question } from "../language/interpretation.js";
import type { Answer } from "./outcome.js";
import type { JournalEntry } from "./ports.js";
import type { Scope } from "./scope.js";
import { atPlace } from "./speaks-of.js";

type Calculate = Extract<Question, { about: "calculate" }>;

/** Sums of the air, for which a fresh reading of the journal can stand in. */
const OF_AIR = new Set<string>(["dew_point", "vapour_pressure_deficit"]);
const READABLE = { air_temperature: "Cel", relative_humidity: "%" } as const;
/** Air changes: an older reading says nothing of now. */
const FRESH_HOURS = 3;

/** A sum of the trade with the inputs of the question, the household's latitude and, for the air, its last readings. */
export async function calculateAsked(question: Calculate, scope: Scope): Promise<Answer> {
  const { inputs, read } = await withReadings(question, scope);
  const result = calculate(question.calculation, inputs, {
    latitude: scope.household.latitude,
    today: scope.utterance.at.toZonedDateTimeISO(scope.zone).toPlainDate(),
  });
  return { about: "calculated", question, result, read };
}

async function withReadings(
  { calculation, inputs, place }: Calculate,
  scope: Scope,
): Promise<{ inputs: CalculationInputs; read: JournalEntry[] }> {
  const wanted = Object.entries(READABLE).filter(([name]) => inputs[name] === undefined);
  if (!OF_AIR.has(calculation) || wanted.length === 0) return { inputs, read: [] };
  const { filter, fits } = atPlace(scope, place);
  const fresh = await scope.store.entries({
    acts: ["reading"],
    ...filter,
    from: scope.utterance.at.subtract({ hours: FRESH_HOURS }),
    order: "latest",
  });
  const read: JournalEntry[] = [];
  const filled: Record<string, CalculationInputs[string]> = { ...inputs };
  for (const [name, unit] of wanted) {
    // Both of one place: the air of two houses makes no dew point.
    const found = fresh.find(
      (entry) =>
        fits(entry) &&
        entry.reading?.quantity === name &&
        entry.reading.statistic === "current" &&
        (read[0] === undefined || read[0].placeId === entry.placeId),
    );
    if (!found?.reading) continue;
    filled[name] = { value: found.reading.value, unit };
    read.push(found);
  }
  return { inputs: filled, read };
}
