import { subjectCovers } from "../horticulture/coverage.js";
import { type Act, SEEN_ACTS } from "../language/interpretation.js";
import { type Ask, LOOKS_BACK } from "./look-up.js";
import type { Answer } from "./outcome.js";
import type { JournalEntry } from "./ports.js";
import { placeNamed, type Scope } from "./scope.js";
import { atPlace, speaksOf } from "./speaks-of.js";

/** What was seen longer ago than this is taken to be over; seedlings stay up (common practice). */
const HOLDS_DAYS = 30;
const HOLDS_DAYS_OF: Partial<Record<Act, number>> = { germinate: 365, sow: 365, dormant: 120 };
const YOUNG = ["germinate", "sow"] as const;
const DAY_HOURS = 24;

/** "how many aloes have we", "what's in flower in the long house". */
export async function inventoryAsked(scope: Scope, question: Ask<"inventory">): Promise<Answer> {
  const { state, subjects } = question;
  if (state) {
    const acts = state === "any" ? SEEN_ACTS : [state];
    return { about: "inventory", question, plants: [], seen: await seenLately(scope, question, acts) };
  }
  const place = placeNamed(scope.places, question.place);
  const plants = scope.plants
    .filter(
      (plant) =>
        (question.place === undefined || (place !== null && plant.placeId === place.id)) &&
        (!subjects || subjects.some((subject) => subjectCovers(subject, plant, scope.inGroup))),
    )
    .map((plant) => ({ plant, place: scope.places.find(({ id }) => id === plant.placeId) ?? null }));
  // No plants yet, but perhaps seed or seedlings.
  const young = plants.length === 0 && subjects ? await seenLately(scope, question, YOUNG) : [];
  return { about: "inventory", question, plants, seen: young };
}

/** What was seen, the latest entry for each act, subject and place. */
async function seenLately(
  scope: Scope,
  { subjects, place }: Ask<"inventory">,
  acts: readonly Act[],
): Promise<JournalEntry[]> {
  const { filter, fits } = atPlace(scope, place);
  const entries = await scope.store.entries({ acts, ...filter, order: "latest", limit: LOOKS_BACK });
  const now = scope.utterance.at;
  const known = new Set<string>();
  return entries.filter((entry) => {
    const holds = (HOLDS_DAYS_OF[entry.act] ?? HOLDS_DAYS) * DAY_HOURS;
    if (!fits(entry) || now.since(entry.to).total("hours") > holds) return false;
    if (subjects && !subjects.some((subject) => speaksOf(entry, subject, scope))) return false;
    const named = entry.entry.subjects?.map(({ count: _, as: __, ...subject }) => subject);
    const key = JSON.stringify([entry.act, named, entry.placeId]);
    if (known.has(key)) return false;
    known.add(key);
    return true;
  });
}
