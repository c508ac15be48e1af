import { Temporal } from "temporal-polyfill";
import { type DangerCause, type DangerEpisode, nextDangerStep } from "../nudges/plan-danger.js";
import type { SimHousehold } from "./household.js";
import type { Keeper } from "./keeper.js";
import { placeAct, type SimLine, wallClock } from "./lines.js";

/** Minutes from taking a danger to the message that all is well again. */
const MENDED_AFTER = 60;

/** The messages of one danger, from its first sign until somebody took it and mended it. */
export function dangerLines(
  place: string | null,
  cause: DangerCause,
  at: Temporal.PlainDateTime,
  household: SimHousehold,
  keeper: Keeper,
  mendedAfter = MENDED_AFTER,
): SimLine[] {
  const { zone } = household;
  const openedAt = at.toZonedDateTime(zone).toInstant();
  const taken = keeper.takesAfter === null ? null : openedAt.add({ minutes: keeper.takesAfter });
  let episode: DangerEpisode = {
    place,
    cause,
    openedAt,
    saidAt: null,
    times: 0,
    takenBy: null,
    closedAt: null,
  };
  const lines: SimLine[] = [];
  for (;;) {
    const step = nextDangerStep(episode, household, zone);
    const takenFirst =
      taken !== null &&
      episode.takenBy === null &&
      episode.saidAt !== null &&
      (step === null || Temporal.Instant.compare(taken, step.at) <= 0);
    if (takenFirst) {
      episode = {
        ...episode,
        takenBy: household.members[0] ?? "keeper",
        closedAt: taken.add({ minutes: mendedAfter }),
      };
      continue;
    }
    if (step === null) return lines;
    const local = step.at.toZonedDateTimeISO(zone).toPlainDateTime();
    const item = placeAct("danger", place, { say: step.say, ...cause });
    lines.push({ at: wallClock(local), type: "danger", items: [item] });
    if (step.say === "all well") return lines;
    episode = { ...episode, saidAt: step.at, times: episode.times + 1 };
  }
}
