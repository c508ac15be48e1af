import type { Clock } from "../../clock.js";
import type { CareKnowledge } from "../../horticulture/knowledge.js";
import type { Outcome } from "../../journal/outcome.js";
import type { Outgoing } from "../../journal/ports.js";
import type { Scope } from "../../journal/scope.js";
import type { Follower } from "../../nudges/follow.js";
import { dangerEnded, MAY_WAKE } from "../replies/en/danger.js";
import { coverOf } from "./cover.js";

/** What is said beside an outcome. */
export interface Aftermath {
  /** Lines below the answer. */
  lines: string[];
  /** Messages after it. */
  further: Pick<Outgoing, "text" | "buttons" | "file" | "about">[];
}

/**
 * Carries an outcome over to the nudges, in the message's own transaction, and tells what follows at once: a danger
 * that is over, a cover sheet, the one question about the night.
 */
export function createAftermath(parts: { follower: Follower; knowledge: CareKnowledge; clock: Clock }) {
  const { follower, knowledge, clock } = parts;
  return async (outcome: Outcome, scope: Scope): Promise<Aftermath> => {
    const { ended, asksToWake } = await follower.follow(outcome, scope);
    const after: Aftermath = { lines: [], further: [] };
    if (ended.length > 0) after.lines.push(dangerEnded(ended));
    if (outcome.kind === "away") {
      const { lines, file } = await coverOf(scope, outcome.away, knowledge, clock.now());
      after.lines.push(...lines);
      after.further.push({ text: "", file, about: { kind: "cover" } });
    }
    if (asksToWake) after.further.push({ ...MAY_WAKE, about: { kind: "ask" } });
    return after;
  };
}
