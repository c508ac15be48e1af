import type { NamedPlant, Outcome } from "../../../journal/outcome.js";
import { list } from "./figures.js";
import { fold } from "./fold.js";
import { short } from "./settings.js";
import { plantTaxon } from "./subjects.js";

/** What labels and names mean now, a line each: "L-014: Aloe polyphylla, called Spiral, Long House." */
export function plantsNamedLines({ named, unknown }: Extract<Outcome, { kind: "plants_named" }>): string[] {
  const { lines } = fold(named.map(namedLine), "more plants");
  return unknown.length === 0 ? lines : [...lines, unheardLine(unknown)];
}

function namedLine({ plant, place, before }: NamedPlant): string {
  const called = plant.name ? (plant.tag ? `, called ${plant.name}` : "") : "";
  const head = plant.tag ?? plant.name ?? "";
  return `${before ? "Changed: " : ""}${head}: ${plantTaxon(plant)}${called}${place ? `, ${place.name}` : ""}.`;
}

/** What to say where a label means nothing yet. */
export const unheardLine = (labels: readonly string[]): string =>
  `${list(labels.map(short))} ${labels.length === 1 ? "is" : "are"} new to me: “${short(labels[0] ?? "L-014")} is an Aloe polyphylla” would tell.`;
