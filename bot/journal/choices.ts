import type { Interpretation } from "../language/interpretation.js";
import type { Choice } from "./outcome.js";
import type { Scope } from "./scope.js";

const AT_MOST = 3;
const UNITS = { metric: ["mL", "L"], imperial: ["[foz_us]", "[cup_us]", "[gal_us]"] } as const;

/** Up to three likely completions of an unclear message. */
export function choicesFor(scope: Scope, interpretation: Interpretation): Choice[] {
  switch (interpretation.missing?.[0]) {
    case "place":
      return scope.places.slice(0, AT_MOST).map(({ name }) => ({ kind: "place", place: name }));
    case "subject":
      return subjectsFor(scope);
    case "unit":
      return UNITS[scope.household.units].map((unit) => ({ kind: "unit", unit }));
    case "act":
      return [
        { kind: "act", act: "water" },
        { kind: "act", act: "feed" },
        { kind: "act", act: "repot" },
      ];
    default:
      return [];
  }
}

/** What was spoken of last, then what stands here; and everything. */
function subjectsFor(scope: Scope): Choice[] {
  const recent = scope.chat?.state.recentGenera ?? [];
  const genera = [...new Set([...recent, ...scope.plants.map(({ genus }) => genus)])].slice(0, AT_MOST - 1);
  const place = scope.places.find(({ isDefault }) => isDefault)?.name ?? null;
  return [
    ...genera.map((genus): Choice => ({ kind: "genus", genus })),
    { kind: "everything", place: scope.places.length > 0 ? place : null },
  ];
}
