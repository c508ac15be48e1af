import type { DuePlace } from "./types.js";

/** Kinds by the words of a place's name, where nobody told the kind; anything else stands under glass. */
const KINDS: readonly (readonly [RegExp, string])[] = [
  [/\b(bench|shelf|staging|propagator|tray)\b/i, "bench"],
  [/\b(frame|tunnel|cloche)s?\b/i, "frame"],
  [/\b(room|sill|window|windowsill|kitchen|study|office|indoors?|flat|hall|stairs?|cellar)\b/i, "room"],
  [/\b(outdoors?|outside|garden|balcony|terrace|patio|yard|wall|border)\b/i, "outdoors"],
];

export const kindOfName = (name: string): string =>
  KINDS.find(([pattern]) => pattern.test(name))?.[1] ?? "glasshouse";

export const kindOf = (place: Pick<DuePlace, "name" | "kind">): string =>
  place.kind ?? kindOfName(place.name);
