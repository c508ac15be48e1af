import { type Moment, moment } from "../calendar/civil.js";
import type { TimeExpr } from "../calendar/expression.js";
import { settle } from "../calendar/settle.js";
import type { InterpretContext } from "../context.js";
import type { When } from "../interpretation.js";
import type { Lexicon } from "../lexicon.js";

/** What every stage after marking needs of the sentence's surroundings. */
export interface Circumstances {
  now: Moment;
  imperial: boolean;
  south: boolean;
  context: InterpretContext;
  lexicon: Lexicon;
}

export const circumstancesOf = (context: InterpretContext, lexicon: Lexicon): Circumstances => ({
  now: moment(context.now),
  imperial: context.units === "imperial",
  south: (context.latitude ?? 1) < 0,
  context,
  lexicon,
});

export const settleIn = (
  expr: TimeExpr,
  circumstances: Circumstances,
  mode: "past" | "future",
): When | undefined => settle(expr, circumstances.now, { mode, south: circumstances.south });
