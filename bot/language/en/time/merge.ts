import type { TimeExpr } from "../../calendar/expression.js";

/** Lends the year and month that the end of a range states to its start. */
export function borrowYear(first: TimeExpr, to: TimeExpr): TimeExpr {
  const year = to.day?.kind === "date" ? to.day.year : to.span?.kind === "month" ? to.span.year : undefined;
  if (year === undefined) return first;
  const endMonth = to.day?.kind === "date" ? to.day.month : to.span?.kind === "month" ? to.span.month : 12;
  if (first.day?.kind === "date" && first.day.year === undefined) {
    return { ...first, day: { ...first.day, year: first.day.month > endMonth ? year - 1 : year } };
  }
  if (first.span?.kind === "month" && first.span.year === undefined) {
    return { ...first, span: { ...first.span, year: first.span.month > endMonth ? year - 1 : year } };
  }
  return first;
}

/** Whether a range may run from one to the other. */
export const comparable = (a: TimeExpr, b: TimeExpr): boolean =>
  Boolean((a.day || a.span) && (b.day || b.span)) && a.span?.kind !== "ago";

/** Joins what two neighbouring phrases say of one time; undefined where they contradict. */
export function merge(a: TimeExpr, b: TimeExpr): TimeExpr | undefined {
  if ((a.day && b.day) || (a.clock && b.clock) || (a.span && (b.day || b.span || b.part))) return undefined;
  if (a.part && b.part && !(a.near === undefined && b.near !== undefined)) return undefined;
  if (b.span && (a.day || a.part || a.clock) && b.span.kind !== "ago") return undefined;
  if (b.span?.kind === "ago" && (a.day || a.part)) return undefined;
  return { ...a, ...b };
}
