import { type Item, is, value } from "../item.js";
import type { Clause } from "./clause.js";

/** Whether a clause states what happened, or only plans, denies, wishes, supposes or retells it. */
export type Modality = "stated" | "plan" | "negated" | "condition" | "report" | "habit";

const BLOCKERS: readonly (readonly [cls: string, modality: Modality])[] = [
  ["report", "report"],
  ["condition", "condition"],
  ["negation", "negated"],
  ["plan", "plan"],
  ["habit", "habit"],
];

/**
 * The modality of each clause. A marker counts where it stands before the clause's head; a clause joined by
 * "and" without a doer of its own shares the one before.
 */
export function modalities(clauses: readonly Clause[]): Modality[] {
  const result: Modality[] = [];
  clauses.forEach((clause, index) => {
    const own = modalityOf(clause);
    const before = result[index - 1];
    const shares = clause.before === 1 && before !== undefined && before !== "stated" && !hasDoer(clause);
    result.push(own === "stated" && shares && before ? before : own);
  });
  clauses.forEach((clause, index) => {
    const supposes = clause.items
      .slice(0, clause.head?.at ?? 0)
      .some((item) => value(item, "condition") === "soft");
    if (supposes && result[index + 1] === "plan") result[index] = "condition";
  });
  return result;
}

/** A reading is judged by the words before its number. */
const numberAt = (items: readonly Item[]): number => {
  const at = items.findIndex((item) => item.measure);
  return at < 0 ? items.length : at;
};

const hasDoer = (clause: Clause): boolean => {
  const end = clause.head?.at ?? 0;
  return clause.items.slice(0, end).some((item) => is(item, "self") || is(item, "member") || is(item, "kin"));
};

function modalityOf(clause: Clause): Modality {
  const { items, head } = clause;
  const end = head ? Math.max(head.at, 0) : numberAt(items);
  for (let i = 0; i < end; i++) {
    const item = items[i] as Item;
    if (item.subject || item.quoted || item.measure) continue;
    if (is(item, "second") && (i === 0 || is(items[i - 1], "ask") || is(items[i - 1], "member")))
      return "plan";
    if (
      is(item, "report") &&
      !head &&
      items.slice(0, i).some((one) => is(one, "quantity") || is(one, "equipment"))
    )
      continue;
    for (const [cls, modality] of BLOCKERS) {
      if (!is(item, cls) || (cls === "plan" && is(item, "head"))) continue;
      const repeated = cls === "habit" && /^(every|each)$/.test(item.token.key);
      if (repeated && (head?.form === "past" || head?.form === "state")) continue;
      if (value(item, "condition") === "soft" && head?.form !== "base" && head?.kind !== "noun") continue;
      return modality;
    }
  }
  if (head && (head.kind === "base" || head.kind === "noun")) {
    if (items.some((item) => !item.subject && (is(item, "plan") || is(item, "condition")) && !item.measure))
      return "plan";
  }
  if (
    head?.complement !== undefined &&
    items
      .slice(head.at + 1, head.complement)
      .some((item) => is(item, "negation") && (!is(item, "except") || item.token.key === "not"))
  )
    return "negated";
  const after = head ? items[Math.max(head.at, head.complement ?? 0) + 1] : undefined;
  if (after && is(after, "negation") && !is(after, "except")) return "negated";
  return "stated";
}
