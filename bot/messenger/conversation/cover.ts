import { Temporal } from "temporal-polyfill";
import type { CareKnowledge } from "../../horticulture/knowledge.js";
import type { AwayTime } from "../../journal/away.js";
import { dueViewOf } from "../../journal/due-view.js";
import type { Outgoing } from "../../journal/ports.js";
import type { Scope } from "../../journal/scope.js";
import { planCover } from "../../nudges/plan-cover.js";
import { coverPdf } from "../cover-sheet/document.js";
import { coverLines } from "../replies/en/away.js";

export interface Cover {
  /** The sheet in words. */
  lines: string[];
  /** The same to print, on one page. */
  file: NonNullable<Outgoing["file"]>;
}

/** The cover sheet of a time away, from the household as it is now. */
export async function coverOf(
  scope: Scope,
  away: AwayTime,
  knowledge: CareKnowledge,
  now: Temporal.Instant,
): Promise<Cover> {
  const { store, household, zone, places, plants } = scope;
  const view = await dueViewOf(store, { household, zone, places, plants }, now, knowledge.inGroup);
  const sheet = planCover({
    ...view,
    knowledge,
    from: Temporal.PlainDate.from(away.from),
    to: Temporal.PlainDate.from(away.to),
  });
  const manner = { units: household.units, zone, now };
  const where = [scope.chat?.title, household.location].filter(Boolean).join(", ");
  const pdf = await coverPdf({ sheet, away, where: where === "" ? null : where, manner });
  return {
    lines: coverLines(sheet, away.by, manner),
    file: {
      name: `cover-sheet-${away.from}.pdf`,
      mime: "application/pdf",
      base64: pdf.toString("base64"),
      caption: "To print: the same on one page.",
    },
  };
}
